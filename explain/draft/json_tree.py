"""JSON read with care: bounded in depth, numbers with their digits, no name twice, no value that is no number."""

from __future__ import annotations

import json
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from explain.draft.taken import DraftError
from explain.order import limits

DEEPEST = limits.RECORD_DEPTH


class TreeError(DraftError):
    """JSON that cannot be read; the text says where and why."""


def tree_of(text: str, name: str) -> Any:
    """The content of a JSON text; every number as a Decimal, so that -2.00 keeps its places. Raises TreeError."""
    if _depth(text) > DEEPEST:
        raise TreeError(
            f"{name}: there are more than {DEEPEST} brackets inside each other.\n"
            "A prescription is a few levels deep.\nCheck that this is the right file."
        )
    try:
        return json.loads(
            text, parse_float=Decimal, parse_int=Decimal, parse_constant=_refuse, object_pairs_hook=_once_each
        )
    except json.JSONDecodeError as error:
        raise TreeError(
            f"{name}:{error.lineno}: this is not whole JSON ({error.msg.lower()}).\n"
            "A health record is sent as one JSON text, from the first { to the last }.\n"
            "Export it again, or paste the prescription as words."
        ) from None
    except _UnusableError as error:
        raise TreeError(
            f"{name}: {error}.\nA record names each thing once, with plain numbers.\nExport it again."
        ) from None
    except (ValueError, ArithmeticError, RecursionError):
        raise TreeError(
            f"{name}: a number in it cannot be read.\nPowers are plain numbers.\nExport it again."
        ) from None


def resources_of(tree: Any, kind: str) -> Iterator[dict[str, Any]]:
    """Every resource of a kind in a tree, alone, in a bundle or contained in another."""
    if isinstance(tree, dict):
        if tree.get("resourceType") == kind:
            yield tree
            return
        for inner in tree.values():
            yield from resources_of(inner, kind)
    elif isinstance(tree, list):
        for inner in tree:
            yield from resources_of(inner, kind)


class _UnusableError(Exception):
    pass


def _refuse(constant: str) -> None:
    raise _UnusableError(f"{constant} stands where a number belongs")


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise _UnusableError("a name stands twice in one place, with two values")
    return found


def _depth(text: str) -> int:
    """How many brackets are open at most; those inside quotation marks do not count."""
    depth = deepest = 0
    inside = escaped = False
    for sign in text:
        if inside:
            inside, escaped = escaped or sign != '"', sign == "\\" and not escaped
        elif sign == '"':
            inside = True
        elif sign in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif sign in "]}":
            depth -= 1
    return deepest
