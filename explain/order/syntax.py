"""Lines that cannot be taken apart: a bracket left open, a tab, a colon too many; said in plain words."""

from __future__ import annotations

from collections.abc import Sequence

import yaml

from explain.order.faults import Remark

QUOTES = 'put it in quotation marks, for example:   item: "Frame: Rowan"'

# What the parser says -> (use the line where the thing began?, what we say). First match wins.
SENTENCES: tuple[tuple[str, bool, Remark], ...] = (
    (
        "mapping values are not allowed",
        False,
        Remark(
            "this line has a colon where none is expected",
            "A name is followed by one colon and one space. Lines of one group start equally far from the left edge.",
            f"Line it up with the line above. If the colon is part of the text, {QUOTES}",
        ),
    ),
    (
        "sequence entries are not allowed",
        False,
        Remark(
            "a minus sign and a space stand at the start of this value",
            "A dash followed by a space starts a list.",
            'Take the space out (-2.00), or use quotation marks, for example:   right: "- 2.00"',
        ),
    ),
    (
        "expected ',' or '}'",
        True,
        Remark(
            "a curly bracket { is opened here and not closed",
            "Between { and } stand names and values, with commas between them.",
            "Close it, for example:   frame: {name: Rowan, size: 52-18-140, depth: 38, outline: rounded}",
        ),
    ),
    (
        "expected ',' or ']'",
        True,
        Remark(
            "a square bracket [ is opened here and not closed",
            "Between [ and ] stand values with commas between them.",
            "Close it, for example:   add-ons: [anti-reflective, hard-layer]",
        ),
    ),
    (
        "end of stream",
        True,
        Remark(
            "a quotation mark is opened here and not closed",
            "Text in quotation marks ends with the same mark it began with.",
            'Close it, for example:   item: "Frame, second pair"',
        ),
    ),
    (
        "could not find expected ':'",
        True,
        Remark(
            "this line has no colon",
            "Each line holds a name, a colon, a space and a value.",
            "Add the colon, for example:   design: progressive",
        ),
    ),
    (
        "unknown escape character",
        False,
        Remark(
            "a backslash \\ stands inside double quotation marks",
            "Between double quotation marks a backslash has a special meaning.",
            "Use single quotation marks, or a forward slash /.",
        ),
    ),
    (
        "expected key",
        False,
        Remark(
            "this line does not fit the group it stands in",
            "Lines of one group start equally far from the left edge, and nothing follows a closing quotation "
            "mark or bracket.",
            "Line it up with the lines around it, with spaces, and look for a stray mark.",
        ),
    ),
    (
        "expected <block end>",
        False,
        Remark(
            "this line does not fit the group it stands in",
            "Lines of one group start equally far from the left edge, and nothing follows a closing quotation "
            "mark or bracket.",
            "Line it up with the lines around it, with spaces, and look for a stray mark.",
        ),
    ),
    (
        "expected '-' indicator",
        False,
        Remark(
            "this line does not fit the list it stands in",
            "Each item of a list starts with a dash and a space, equally far from the left edge.",
            "Start it with a dash, for example:   - {item: Frame, amount: 148.00}",
        ),
    ),
    (
        "alphabetic or numeric character",
        False,
        Remark(
            "a value starts with & or *", "Each of these signs has a special meaning at the start of a value.", QUOTES
        ),
    ),
)
OTHERWISE = Remark(
    "this line cannot be read",
    "Each line holds a name, a colon, a space and a value. Text with unusual signs stands in quotation marks.",
    'Compare it with an order that works. For text with signs:   item: "Frame @ half price"',
)
TAB = Remark(
    "this line starts with a tab",
    "Lines are moved to the right with spaces; tabs cannot be used.",
    "Replace the tab with two spaces.",
)


def syntax_fault(error: yaml.YAMLError, lines: Sequence[str]) -> tuple[int, Remark]:
    """The line (from 1) and the words for a file that cannot be taken apart."""
    line = _line(getattr(error, "problem_mark", None), lines)
    if "\t" in _indent(lines[line - 1]):
        return line, TAB
    problem = str(getattr(error, "problem", ""))
    if "cannot start any token" in problem:
        return line, _bad_start(getattr(error, "problem_mark", None), lines[line - 1])
    for said, at_start, remark in SENTENCES:
        if said in problem:
            began = getattr(error, "context_mark", None) if at_start else None
            return _line(began, lines) if began else line, remark
    return line, OTHERWISE


def _line(mark: yaml.Mark | None, lines: Sequence[str]) -> int:
    return min(mark.line + 1, len(lines)) if mark else 1


def _indent(text: str) -> str:
    return text[: len(text) - len(text.lstrip())]


def _bad_start(mark: yaml.Mark | None, text: str) -> Remark:
    sign = text[mark.column : mark.column + 1] if mark else ""
    allowed = f"The sign {sign} has a special meaning at the start of a value."
    advice = f'Put the text in quotation marks, for example:   item: "{sign} Rowan"'
    return Remark(f"a value starts with {sign}", allowed, advice) if sign.strip() else OTHERWISE
