"""An order file as text with line numbers: groups, lists and the words exactly as they were typed.

We check the file ourselves, rather than with a general schema library, for three reasons. A fault must name the line
it stands on. A value must be the text that was typed: a ready-made reader turns `axis: 045` into 37 and `base: NO`
into false. And checks that look at several values together must come out in the same list as all the others.
PyYAML gives us the stream of events; what it would make of the values is never asked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from explain.order import limits
from explain.order.bounded import bytes_of, leads_out
from explain.order.faults import Findings, Remark
from explain.order.nodes import Entry, Group, Node, Series, Text, places
from explain.order.numbers import cut
from explain.order.syntax import syntax_fault

LARGEST_BYTES = limits.DOCUMENT_BYTES
DEEPEST = limits.DOCUMENT_DEPTH
MOST_VALUES = limits.DOCUMENT_VALUES
LINE_BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ufffe\uffff]")
TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")
"""Marks that turn the writing direction: a line with one can show something else than it holds, even in a remark."""


NAMES_AND_VALUES = (
    "Each line holds a name, a colon, a space and a value.",
    "Start with the number of the order, for example:   order: A-0001",
)

NOT_UTF_16 = Remark(
    "the file is saved as UTF-16, which some editors call Unicode",
    "The file must be plain text saved as UTF-8, the usual choice of a text editor.",
    "Open it in your editor and save it again, with UTF-8 as its encoding.",
)


def read_document(path: Path) -> tuple[Group, Findings]:
    """Read a file into its outermost group, and the findings noted so far.

    Raises OrderError when the file cannot be opened or its text cannot be taken apart at all.
    """
    findings = Findings(path.as_posix())
    return group_in(read_text(path, findings), findings), findings


def read_text(path: Path, findings: Findings, start: tuple[str, str] = NAMES_AND_VALUES) -> str:
    """Text of a file; its lines are then known to the findings. start: what the file must begin with, in words.

    Raises OrderError when the file cannot be opened or read, is empty, or holds what cannot be seen.
    """
    text = _text_of(path, findings, start)
    _show_lines(text, findings)
    return text


def document_in(text: str, findings: Findings) -> Group:
    """The outermost group in a text that need not be in a file. Raises OrderError when it cannot be taken apart."""
    _show_lines(text, findings)
    return group_in(text, findings)


def _show_lines(text: str, findings: Findings) -> None:
    findings.lines = LINE_BREAK.split(text)
    _refuse_unprintable(text, findings)


def group_in(text: str, findings: Findings, start: tuple[str, str] = NAMES_AND_VALUES) -> Group:
    """The outermost group in a text, whose lines the findings know. Raises OrderError when there is none."""
    root = _Builder(text, findings, start).root()
    if not isinstance(root, Group):
        findings.stop(root.line, Remark("the file does not start with a name and a colon", *start))
    findings.places = dict(places(root))
    return root


def _text_of(path: Path, findings: Findings, start: tuple[str, str]) -> str:
    data = _bytes_of(path, findings)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or data[1:8:2] == bytes(4) or data[:7:2] == bytes(4):
        findings.stop(0, NOT_UTF_16)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        findings.lines = LINE_BREAK.split(data.decode("utf-8", errors="replace"))
        findings.stop(
            line,
            Remark(
                f"there is a character here that cannot be read (byte {error.start} of the file)",
                "The file must be plain text saved as UTF-8, the usual choice of a text editor.",
                "Open it in your editor and save it again as UTF-8, then look at this line.",
            ),
        )
    if not text.strip():
        findings.stop(0, Remark("the file is empty", *start))
    return text


def _bytes_of(path: Path, findings: Findings) -> bytes:
    data = b""
    try:
        if leads_out(path):
            allowed = "No file may lead out of the folder that it lies in."
            findings.stop(
                0, Remark("this is a link to a file elsewhere", allowed, "Put a copy of the file here instead.")
            )
        data = bytes_of(path, LARGEST_BYTES)
    except OSError as error:
        cannot = f"the file cannot be opened ({error.strerror or error})"
        reason = "there is no such file" if isinstance(error, FileNotFoundError) else cannot
        findings.stop(0, Remark(reason, "", "Check its name and its folder."))
    except (ValueError, RuntimeError):
        findings.stop(0, Remark("this cannot be the name of a file", "", "Check its name and its folder."))
    if len(data) > LARGEST_BYTES:
        findings.stop(
            0,
            Remark(
                f"the file is too large: {path.stat().st_size} bytes",
                f"An order is a page of text; at most {LARGEST_BYTES} bytes are read.",
                "Check that this is the right file.",
            ),
        )
    return data


def _refuse_unprintable(text: str, findings: Findings) -> None:
    turning = TURNING.search(text)
    found = turning or UNPRINTABLE.search(text)
    if not found:
        return
    what = "invisible mark that turns the writing direction" if turning else "invisible character on this line"
    line = len(LINE_BREAK.findall(text, 0, found.start())) + 1
    findings.stop(
        line,
        Remark(
            f"there is an {what} (code {ord(found.group()):04X})",
            "Only letters, figures, signs and spaces can be read.",
            "Type the line again instead of copying it.",
        ),
    )


class _Builder:
    """Turns PyYAML's events into our nodes, and notes what an order file must not hold."""

    def __init__(self, text: str, findings: Findings, start: tuple[str, str]) -> None:
        self._findings = findings
        self._start = start
        self._events = _events(text)
        self._count = 0

    def root(self) -> Node:
        try:
            return self._whole()
        except yaml.YAMLError as error:
            line, remark = syntax_fault(error, self._findings.lines)
            self._findings.fault("", line, remark)
            self._findings.raise_if_faulty()
            raise AssertionError from error

    def _whole(self) -> Node:
        event = next(self._events)
        while isinstance(event, (yaml.StreamStartEvent, yaml.DocumentStartEvent)):
            event = next(self._events)
        if isinstance(event, yaml.StreamEndEvent):
            self._findings.stop(0, Remark("the file holds nothing but remarks", *self._start))
        root = self._node(event, 1)
        next(self._events)
        following = next(self._events)
        if not isinstance(following, yaml.StreamEndEvent):
            self._findings.stop(
                _line(following),
                Remark(
                    "a second order starts here",
                    "A file holds one order; a line of three dashes starts another.",
                    "Take the dashes out, or put the second order in a file of its own.",
                ),
            )
        return root

    def _node(self, event: yaml.Event, depth: int) -> Node:
        self._count += 1
        if self._count > MOST_VALUES:
            allowed = f"At most {MOST_VALUES} names and values are read; an order has some dozens."
            advice = "Check that this is the right file."
            self._findings.stop(_line(event), Remark("the file holds too many values", allowed, advice))
        if depth > DEEPEST:
            self._findings.stop(
                _line(event),
                Remark(
                    "there are too many brackets or lists inside each other here",
                    "An order has groups such as frame and lenses, and nothing deeper than a list inside a group.",
                    "Take this line apart, or look for a bracket too many.",
                ),
            )
        if isinstance(event, yaml.ScalarEvent) and not (event.anchor or event.tag):
            return Text(_line(event), event.value)
        self._refuse_shortcuts(event)
        if isinstance(event, yaml.MappingStartEvent):
            return self._group(event, depth)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._series(event, depth)
        return Text(_line(event), event.value if isinstance(event, yaml.ScalarEvent) else "")

    def _series(self, start: yaml.Event, depth: int) -> Series:
        items = []
        while not isinstance(event := next(self._events), yaml.SequenceEndEvent):
            items.append(self._node(event, depth + 1))
        return Series(_line(start), tuple(items))

    def _group(self, start: yaml.MappingStartEvent, depth: int) -> Group:
        entries: dict[str, Entry] = {}
        while not isinstance(event := next(self._events), yaml.MappingEndEvent):
            name = self._node(event, depth + 1)
            value = self._node(next(self._events), depth + 1)
            self._enter(entries, name, value)
        return Group(_line(start), entries, bool(start.flow_style))

    def _enter(self, entries: dict[str, Entry], name: Node, value: Node) -> None:
        if not isinstance(name, Text):
            self._findings.fault(
                "",
                name.line,
                Remark(
                    "a bracket stands where a name should be",
                    "A name is a plain word, followed by a colon.",
                    "Take the brackets before the colon away.",
                ),
            )
        elif name.text == "<<":
            self._findings.fault(
                "",
                name.line,
                Remark(
                    "<< cannot be used here",
                    "An order repeats nothing from elsewhere; each value is written out.",
                    "Write the values out.",
                ),
            )
        elif name.text in entries:
            first, shown = entries[name.text].line, name.text if name.text.isprintable() else cut(name.text)
            self._findings.fault(
                name.text,
                name.line,
                Remark(
                    f"{shown} is written twice (first on line {first})",
                    "Each name may stand once.",
                    "Keep the line that is right and take the other one out.",
                ),
            )
        else:
            entries[name.text] = Entry(name.text, name.line, _at_its_name(value, name.line))

    def _refuse_shortcuts(self, event: yaml.Event) -> None:
        sign = _shortcut(event)
        if not sign:
            return
        remark = Remark(
            f"the text starts with {sign}, which has a special meaning here",
            "Each value is written out, as plain text or as a number.",
            f'If the sign is part of the text, put the text in quotation marks, for example:   item: "{sign} Rowan"',
        )
        self._findings.stop(_line(event), remark)


def _shortcut(event: yaml.Event) -> str:
    """The sign of something that repeats or retypes a value: *, & or !; empty for anything else."""
    if isinstance(event, yaml.AliasEvent):
        return "*"
    return "&" if getattr(event, "anchor", None) else "!" if getattr(event, "tag", None) else ""


def _events(text: str) -> Iterator[yaml.Event]:
    loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    yield from iter(loader(text).get_event, None)


def _line(event: yaml.Event) -> int:
    mark = event.start_mark
    return mark.line + 1 if mark else 1


def _at_its_name(value: Node, line: int) -> Node:
    """An empty value is shown at its name: nothing of it stands anywhere else."""
    return Text(line, "") if isinstance(value, Text) and not value.text else value
