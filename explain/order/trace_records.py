"""Records of a trace file: lines LABEL=value;value, in whatever way a machine or a program wrote them down."""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator

from msgspec import Struct

from explain.order.faults import Remark

LINE_END = re.compile("\r\n|\n|\r")
LABEL = re.compile(r"[A-Z0-9_.]{1,40}")
NUMBER = re.compile(r"[+-]?(?:[0-9]{1,9}(?:\.[0-9]{0,9})?|\.[0-9]{1,9})")
NOT_KNOWN = ("", "?")
AROUND = "".join(map(chr, range(33))) + '"\x7f'
"""What may stand round a label or a value without meaning: spaces, quotation marks, marks of the wire."""


class UnusableError(Exception):
    """An outline that must not be used; the remark says why, line where in the trace file (0: the file as a whole)."""

    def __init__(self, line: int, remark: Remark) -> None:
        self.line = line
        self.remark = remark
        super().__init__(remark.message)


class Record(Struct, frozen=True):
    """One line of a trace file: its number from 1, its label in capitals, and what stands after the equals sign."""

    line: int
    label: str
    text: str

    @property
    def values(self) -> tuple[str, ...]:
        """The values, without spaces and quotation marks round them; "" and "?" mean "not known"."""
        return tuple(part.strip(AROUND) for part in self.text.split(";"))


def lines_of(data: bytes) -> list[str]:
    """The lines of a file. Bytes that are no letters become a sign that no number holds, so they do no harm."""
    return LINE_END.split(data.decode(_encoding(data), errors="replace"))


def records_of(lines: list[str]) -> Iterator[Record]:
    """Every line that is a record; others (empty ones, marks of the wire, packed bytes) are passed over.

    >>> [record.values for record in records_of(["TRCFMT=  4;512 ;E; R;F", "", "CRC"])]
    [('4', '512', 'E', 'R', 'F')]
    """
    for number, line in enumerate(lines, 1):
        label, equals, text = line.partition("=")
        label = label.strip(AROUND).upper()
        if equals and LABEL.fullmatch(label):
            yield Record(number, label, text)


def number_in(text: str) -> float | None:
    """A plain number; None for anything else, also for "?".

    >>> number_in("51.00"), number_in("?")
    (51.0, None)
    """
    return float(text) + 0.0 if NUMBER.fullmatch(text) else None


def _encoding(data: bytes) -> str:
    """UTF-8 with or without its mark, or two-byte text with or without one; only the ASCII part matters."""
    start = data[:64]
    if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    if len(start) > 3 and not any(start[1::2]):
        return "utf-16-le"
    return "utf-16-be" if len(start) > 3 and not any(start[::2]) else "utf-8-sig"
