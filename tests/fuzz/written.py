"""Names and values as the text of a YAML file, in the ways people lay one out."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from hypothesis import strategies as st

PLAIN = re.compile(r"[A-Za-z0-9+\-\u2212$](?:[^\s:#{}\[\],]|(?<=\S) (?=\S)|,(?=\S))*")
PLAIN_INSIDE = re.compile(r"[A-Za-z0-9+\-\u2212$](?:[^\s:#{}\[\],]|(?<=\S) (?=\S))*")


@st.composite
def yaml_text(draw: st.DrawFn, content: Mapping[str, Any], *, careful: bool = True) -> str:
    """The text of a file. careful: values that would be read as something else stand in quotation marks."""
    lines = list(_block(draw, content, "", careful=careful))
    if draw(st.integers(0, 5)) == 0:
        lines.insert(draw(st.integers(0, len(lines))), draw(st.sampled_from(("", "# a remark", "   # another one"))))
    start, end = draw(st.sampled_from(("", "", "", "\ufeff"))), draw(st.sampled_from(("\n", "\n", "\n", "\r\n")))
    return start + end.join([*lines, ""])


def _block(draw: st.DrawFn, content: Mapping[str, Any], indent: str, *, careful: bool) -> Iterator[str]:
    for name, value in content.items():
        if isinstance(value, Mapping) and value and draw(st.integers(0, 2)):
            yield f"{indent}{_scalar(draw, name, careful=careful)}:"
            yield from _block(draw, value, f"{indent}  ", careful=careful)
        elif isinstance(value, list) and value and draw(st.integers(0, 1)):
            yield f"{indent}{_scalar(draw, name, careful=careful)}:"
            yield from (f"{indent}  - {_flow(draw, item, careful=careful)}" for item in value)
        else:
            yield f"{indent}{_scalar(draw, name, careful=careful)}: {_flow(draw, value, careful=careful, inside=False)}"


def _flow(draw: st.DrawFn, value: Any, *, careful: bool, inside: bool = True) -> str:
    if isinstance(value, Mapping):
        named = [
            (_scalar(draw, name, careful=careful), _flow(draw, one, careful=careful)) for name, one in value.items()
        ]
        return "{" + ", ".join(f"{name}: {one}" for name, one in named) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_flow(draw, item, careful=careful) for item in value) + "]"
    return _scalar(draw, str(value), careful=careful, inside=inside)


def _scalar(draw: st.DrawFn, text: str, *, careful: bool, inside: bool = True) -> str:
    plain = PLAIN_INSIDE if inside else PLAIN
    if not careful and draw(st.booleans()):
        return text
    if plain.fullmatch(text) and draw(st.integers(0, 5)):
        return text
    if "'" not in text and "\n" not in text and text.isprintable() and draw(st.booleans()):
        return f"'{text}'"
    return json.dumps(text, ensure_ascii=False)
