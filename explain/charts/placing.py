"""Placing: a free place for words inside an outline, as near as possible to where they are wanted."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from explain.charts.ink import Point
from explain.charts.spacing import Box

_ROW, _STEP_ACROSS, _STEP_DOWN = 3.0, 4.0, 2.0

Places = NDArray[np.float64]


class Room(Struct, frozen=True):
    """The inside of an outline, as left and right end of each row of 3 units, from `top` down; right of left: none."""

    top: float
    left: Places
    right: Places

    def between(self, top: float, bottom: float) -> Room:
        """The same room without what lies above `top` or below `bottom`."""
        heights = _heights(self.top, self.left.size)
        kept = (top <= heights) & (heights <= bottom)
        return Room(self.top, np.where(kept, self.left, math.inf), np.where(kept, self.right, -math.inf))

    def beside(self, tops: Places, bottoms: Places) -> tuple[Places, Places]:
        """Left and right end of the room that stays free all the way from each top to its bottom."""
        first = np.floor((tops - self.top) / _ROW).astype(np.intp)
        last = np.ceil((bottoms - self.top) / _ROW).astype(np.intp)
        within = (first >= 0) & (last < self.left.size)
        stretches = np.column_stack((first, last + 1))[within].ravel()
        left, right = np.full(tops.size, math.inf), np.full(tops.size, -math.inf)
        left[within] = np.maximum.reduceat(np.append(self.left, 0.0), stretches)[::2]
        right[within] = np.minimum.reduceat(np.append(self.right, 0.0), stretches)[::2]
        return left, right


def room_in(outline: Sequence[Point], margin: float, inside: Sequence[Point] | None = None) -> Room:
    """Room inside an outline, `margin` units away from its sides; with `inside`, only where it lies in that one too."""
    top, bottom = min(y for _, y in outline), max(y for _, y in outline)
    heights = _heights(top, int((bottom - top) / _ROW) + 1)
    left, right = _row_ends(outline, heights, margin)
    if inside is not None:
        other_left, other_right = _row_ends(inside, heights, margin)
        left, right = np.maximum(left, other_left), np.minimum(right, other_right)
    return Room(top, left, right)


def _heights(top: float, rows: int) -> Places:
    return top + _ROW * np.arange(rows, dtype=np.float64)


def _row_ends(outline: Sequence[Point], heights: Places, margin: float) -> tuple[Places, Places]:
    """First and last crossing of an outline with level lines, both moved inwards."""
    starts = np.array(outline)
    ends = np.roll(starts, -1, axis=0)
    above = starts[:, 1] <= heights[:, None]
    row, side = np.nonzero(above != np.roll(above, -1, axis=1))
    (ax, ay), (bx, by) = starts[side].T, ends[side].T
    crossings = ax + (bx - ax) * (heights[row] - ay) / (by - ay)
    left, right = np.full(heights.size, math.inf), np.full(heights.size, -math.inf)
    np.minimum.at(left, row, crossings)
    np.maximum.at(right, row, crossings)
    return left + margin, right - margin


def free_box(size: Point, wanted: Point, room: Room, taken: Sequence[Box], gap: float) -> Box | None:
    """Box of a size inside the room, clear of all that is taken, its middle nearest to a point; None if there is none.

    Being off in height counts double, since words name what lies beside them. Of equal places the first counts, from
    the left and then from the top.
    """
    wide, high = size
    bottom = room.top + _ROW * room.left.size
    xs = _steps(float(room.left.min()) + wide / 2, float(room.right.max()) - wide / 2, wanted[0], _STEP_ACROSS)
    ys = _steps(room.top + high / 2, bottom - high / 2, wanted[1], _STEP_DOWN)
    left, top, right, down = xs[:, None] - wide / 2, ys - high / 2, xs[:, None] + wide / 2, ys + high / 2
    free_from, free_to = room.beside(top, down)
    free = (free_from <= left) & (right <= free_to)
    for other in taken:
        across = (left < other.right + gap) & (other.left < right + gap)
        free &= ~(across & (top < other.bottom + gap) & (other.top < down + gap))
    if not free.any():
        return None
    far = np.where(free, abs(xs - wanted[0])[:, None] + 2 * abs(ys - wanted[1]), math.inf)
    column, row = np.unravel_index(np.argmin(far), far.shape)
    return Box(float(left[column, 0]), float(top[row]), float(right[column, 0]), float(down[row]))


def _steps(low: float, high: float, through: float, step: float) -> Places:
    """Places from low to high, one of them at `through` where it lies between; none where there is no room."""
    if not low <= high:
        return np.empty(0)
    start = through - step * math.floor((through - low) / step)
    return start + step * np.arange(int((high - start) / step) + 1 if high >= start else 0, dtype=np.float64)
