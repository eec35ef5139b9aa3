"""Outlines as a trace file sends them: what a TRCFMT line announces, and the radii and angles that follow it."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct, field

from explain.order.numbers import cut
from explain.order.trace_records import Record

PLAIN_TEXT = "1"
NO_OUTLINE = ("0", "", "?")
SIDES = {"R": "right", "L": "left", "B": "both"}


class Sent(Struct, frozen=True):
    """One value of a list, and the line of the file it stands on."""

    line: int
    text: str


class SentOutline(Struct, frozen=True):
    """One outline before it is understood: the fields of its TRCFMT line as text, empty where they are missing.

    form "1" is plain text, anything else is packed. spacing: E for equal angles, U or A for listed ones. side: R, L
    or B. source: F for a frame, P for the maker's pattern, D for the lens that came in the frame.
    """

    line: int
    form: str
    count: str
    spacing: str
    side: str
    source: str
    radii: list[Sent] = field(default_factory=list)
    angles: list[Sent] = field(default_factory=list)

    @property
    def is_plain(self) -> bool:
        """True for plain text, the only form that can be read."""
        return self.form == PLAIN_TEXT

    @property
    def is_packed(self) -> bool:
        """True for an outline in bytes or in hexadecimal digits."""
        return not self.is_plain and self.form not in NO_OUTLINE

    @property
    def form_in_words(self) -> str:
        """The form as it is told: short, in signs that a screen shows."""
        return f"format {cut(self.form, 8)[1:-1]}"

    @property
    def lens(self) -> str:
        """The lens in words."""
        side = SIDES.get(self.side)
        return "lenses" if side == "both" else f"{side} lens" if side else "lens"


def sent_outlines(records: Iterable[Record]) -> list[SentOutline]:
    """Every outline that the file announces, with the lists after it, up to the next announcement."""
    found: list[SentOutline] = []
    for record in records:
        if record.label == "TRCFMT":
            found.append(_announced(record))
        elif found and record.label == "R":
            found[-1].radii.extend(_sent(record))
        elif found and record.label == "A":
            found[-1].angles.extend(_sent(record))
    return found


def _announced(record: Record) -> SentOutline:
    form, count, spacing, side, source = (*record.values, "", "", "", "", "")[:5]
    return SentOutline(record.line, form, count, spacing.upper(), side.upper(), source.upper())


def _sent(record: Record) -> list[Sent]:
    """The values of one line; what closes the line (a stray semicolon) is no value."""
    values = list(record.values)
    while values and not values[-1]:
        values.pop()
    return [Sent(record.line, value) for value in values]
