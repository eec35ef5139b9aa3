"""Placing: a free place for words inside an outline, as near as possible to where they are wanted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from explain.charts.ink import Point
from explain.charts.spacing import Box

_ROW, _STEP_ACROSS, _STEP_DOWN = 3.0, 4.0, 2.0
_NONE = (math.inf, -math.inf)


class Room(Struct, frozen=True):
    """The inside of an outline, as left and right end of each row of 3 units, from `top` down."""

    top: float
    rows: tuple[tuple[float, float], ...]

    def holds(self, box: Box) -> bool:
        """Tell whether a box lies inside."""
        first, last = math.floor((box.top - self.top) / _ROW), math.ceil((box.bottom - self.top) / _ROW)
        if first < 0 or last >= len(self.rows):
            return False
        return all(left <= box.left and box.right <= right for left, right in self.rows[first : last + 1])

    def between(self, top: float, bottom: float) -> Room:
        """The same room without what lies above `top` or below `bottom`."""
        heights = [self.top + _ROW * row for row in range(len(self.rows))]
        kept = [ends if top <= y <= bottom else _NONE for ends, y in zip(self.rows, heights, strict=True)]
        return Room(self.top, tuple(kept))


def room_in(outline: Sequence[Point], margin: float, inside: Sequence[Point] | None = None) -> Room:
    """Room inside an outline, `margin` units away from its sides; with `inside`, only where it lies in that one too."""
    top, bottom = min(y for _, y in outline), max(y for _, y in outline)
    rows = [_row_ends(outline, top + _ROW * row, margin) for row in range(int((bottom - top) / _ROW) + 1)]
    if inside is not None:
        others = [_row_ends(inside, top + _ROW * row, margin) for row in range(len(rows))]
        rows = [(max(a[0], b[0]), min(a[1], b[1])) for a, b in zip(rows, others, strict=True)]
    return Room(top, tuple(rows))


def _row_ends(outline: Sequence[Point], y: float, margin: float) -> tuple[float, float]:
    ends = [
        a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1])
        for a, b in pairwise((*outline, outline[0]))
        if (a[1] <= y) != (b[1] <= y)
    ]
    return (min(ends) + margin, max(ends) - margin) if ends else _NONE


def free_box(size: Point, wanted: Point, room: Room, taken: Sequence[Box], gap: float) -> Box | None:
    """Box of a size inside the room, clear of all that is taken, its middle nearest to a point; None if there is none.

    Being off in height counts double, since words name what lies beside them.
    """
    wide, high = size
    left, right = min(row[0] for row in room.rows), max(row[1] for row in room.rows)
    bottom = room.top + _ROW * len(room.rows)
    middles = [
        (x, y)
        for x in _steps(left + wide / 2, right - wide / 2, wanted[0], _STEP_ACROSS)
        for y in _steps(room.top + high / 2, bottom - high / 2, wanted[1], _STEP_DOWN)
    ]
    for x, y in sorted(middles, key=lambda at: abs(at[0] - wanted[0]) + 2 * abs(at[1] - wanted[1])):
        box = Box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
        if room.holds(box) and not any(box.meets(other, gap) for other in taken):
            return box
    return None


def _steps(low: float, high: float, through: float, step: float) -> list[float]:
    """Places from low to high, one of them at `through` where it lies between."""
    start = through - step * math.floor((through - low) / step)
    return [start + step * i for i in range(int((high - start) / step) + 1)] if high >= start else []
