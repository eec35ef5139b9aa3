"""An order file to finish: what was taken stands in it, every other key of an order waits with a word about it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path

from explain.draft.taken import DraftError, Taken, Value
from explain.order.keys import ORDER_KEYS, Key
from explain.order.order import NOT_YET

SCHEMA_NAME = "order.schema.json"
TO_TYPE = "TO TYPE:"
TRACES = "traces"
WORDS_FROM = 40
PLAIN = re.compile(r"(?![-?:,\[\]{}#&*!|>'\"%@`~ ])(?!-\s)[^\x00-\x1f:#{}\[\],]+")
SIGNED = re.compile(r"-[\d.][^:#{}\[\],]*")
READ_AS_SOMETHING_ELSE = re.compile(r"(?i:true|false|yes|no|on|off|null|none|~)")


class TakenPlaceError(DraftError):
    """There is a file already, or no folder for it; the text says so."""


def order_text(taken: Taken, source: str) -> str:
    """The whole order file. source: where it comes from, in a few words for its second line.

    Whatever an order needs and is not known stands there with nothing behind it: the reader of orders then asks for
    exactly that.
    """
    head = [
        f"# yaml-language-server: $schema={SCHEMA_NAME}",
        f"# A draft, from {source}. Complete the lines that say {TO_TYPE} then run explain check.",
        "# Lines that start with # are optional: take the # away to use one.",
    ]
    return "\n".join([*head, *_lines("", taken, "")]) + "\n"


def open_paths(taken: Taken) -> list[str]:
    """The paths that an order needs and the draft leaves open: what a check will ask for."""
    return [key.path for key in ORDER_KEYS.keys if _is_open(key, taken)]


def write_all(files: Sequence[tuple[Path, bytes]]) -> None:
    """Write files that must not be there yet: all of them, or none. A copy that is there already, the same, is kept.

    Raises TakenPlaceError where one is there, or cannot be written.
    """
    written: list[Path] = []
    try:
        for path, data in files:
            if not _is_there(path, data):
                _write_new(path, data)
                written.append(path)
    except TakenPlaceError:
        for path in written:
            path.unlink(missing_ok=True)
        raise


def _is_there(path: Path, data: bytes) -> bool:
    """True for a copy of a trace that needs no second one."""
    try:
        return path.suffix != ".yaml" and path.is_file() and path.read_bytes() == data
    except (OSError, ValueError):
        return False


def _write_new(path: Path, data: bytes) -> None:
    try:
        if path.parent.name == TRACES and path.parent.parent.is_dir():
            path.parent.mkdir(exist_ok=True)
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError:
        raise TakenPlaceError(
            f"{path.as_posix()}: there is such a file already, and a draft never replaces one.\n"
            "Give the order another number, or name another file:   --to FILE"
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name cannot be used"
        raise TakenPlaceError(
            f"{path.as_posix()}: this cannot be written ({reason}).\nName another:   --to FILE"
        ) from None


def as_typed(value: Value) -> str:
    """A value as it is typed in an order file.

    >>> as_typed(("driving", "desk at 65 cm")), as_typed("yes"), as_typed({"right": "1.75"})
    ('[driving, desk at 65 cm]', '"yes"', '{right: 1.75}')
    """
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{name}: {as_typed(inner)}" for name, inner in value.items()) + "}"
    return "[" + ", ".join(as_typed(item) for item in value) + "]"


def _text(text: str) -> str:
    words = " ".join(text.split())
    safe = PLAIN.fullmatch(words) or SIGNED.fullmatch(words)
    return words if safe and not READ_AS_SOMETHING_ELSE.fullmatch(words) else json.dumps(words, ensure_ascii=False)


def _lines(group: str, taken: Taken, indent: str) -> Iterator[str]:
    for key in ORDER_KEYS.under(group):
        value = taken.values.get(key.path)
        if isinstance(value, tuple) and _inner(key):
            yield _line(indent, f"{key.name}:", key.meaning)
            yield from (f"{indent}  - {as_typed(item)}" for item in value)
        elif key.kind == "group":
            used = _is_used(key, taken)
            yield _line(indent, f"{key.name}:" if used else f"# {key.name}:", key.meaning)
            yield from _lines(key.path, taken, f"{indent}  " if used else f"{indent}#   ")
        else:
            yield from _key_lines(key, taken, indent)


def _key_lines(key: Key, taken: Taken, indent: str) -> Iterator[str]:
    value, waits = taken.values.get(key.path), "" if indent.lstrip() else "# "
    if value is not None:
        yield _line(indent, f"{key.name}: {_always_text(key, value)}", key.meaning)
    elif _is_open(key, taken):
        yield _line(indent, f"{key.name}:", _to_type(key, taken))
    else:
        later = " (may wait until the lenses are made)" if key.path in NOT_YET else ""
        yield _line(indent, f"{waits}{key.name}:", f"{key.meaning}{later}, for example: {_example(key)}")
    parts = _inner(key)
    if parts:
        words = f"or in parts: {parts}" if key.kind != "list" else f"each line: - {parts}"
        yield f"{indent}  {words}" if not waits else f"{indent}#   {words}"


def _always_text(key: Key, value: Value) -> str:
    typed = as_typed(value)
    return json.dumps(value) if key.path == "order" and isinstance(value, str) and not typed.startswith('"') else typed


def _to_type(key: Key, taken: Taken) -> str:
    asked = taken.questions.get(key.path)
    if asked:
        return " ".join(f"{TO_TYPE} {asked.message}. {asked.advice}".split())
    if key.choices:
        return f"{TO_TYPE} {key.meaning}. {key.allowed}"
    return f"{TO_TYPE} {key.meaning}, for example: {_example(key)}"


def _line(indent: str, start: str, words: str) -> str:
    left = f"{indent}{start}"
    return f"{left:{WORDS_FROM}}# {words}" if len(left) < WORDS_FROM else f"{left}  # {words}"


def _example(key: Key) -> str:
    return key.example.partition(": ")[2]


@cache
def _inner(key: Key) -> str:
    """The names inside a value that may be written in parts, as one line to type; empty where there are none."""
    group = f"{key.path}[]" if key.kind == "list" else key.path
    inner = [one for one in ORDER_KEYS.keys if one.group == group]
    if not inner or key.kind == "group":
        return ""
    parts = []
    for one in inner:
        deeper = _inner(one)
        parts.append(f"{one.name}: {deeper}" if deeper else one.example)
    return "{" + ", ".join(parts) + "}"


def _is_used(key: Key, taken: Taken) -> bool:
    known = {*taken.values, *taken.questions}
    return key.required or any(path.startswith(f"{key.path}.") for path in known)


def _is_open(key: Key, taken: Taken) -> bool:
    """True for a key that must be typed: an order needs it, or it was not clear. Groups are open by their parts.

    What may wait until the lenses are made does not count. An eye of the prescription does: left out, its lens would
    not be ordered, and nobody said so. What a frame needs unless it is traced counts too.
    """
    if key.path in taken.values or key.kind == "group" or "[]" in key.path:
        return False
    if key.path in taken.questions:
        return True
    if key.path in NOT_YET:
        return False
    if key.path.rpartition(".")[0] == "prescription" and key.kind == "eye":
        return True
    if key.path in ("frame.size", "frame.depth"):
        return not _is_traced(taken)
    return key.required and _group_is_used(key, taken)


def _group_is_used(key: Key, taken: Taken) -> bool:
    if not key.group:
        return True
    return key.group in ORDER_KEYS and ORDER_KEYS[key.group].kind == "group" and _is_used(ORDER_KEYS[key.group], taken)


def _is_traced(taken: Taken) -> bool:
    outline = taken.text("frame.outline") or ""
    return "/" in outline or "." in outline
