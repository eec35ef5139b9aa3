"""Labels of the edge chart: each beside its own line, clear of all lines and of each other."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import permutations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from explain.charts.ink import Point, Table, circle, path, way, words
from explain.charts.lettering import widest, wrapped
from explain.charts.spacing import Box
from explain.charts.style import ASCENT, DOT_RADIUS, INK, LINE, PAPER, THIN, WIDTH

_CLEAR, _STEP, _LABEL_ROOM = 7, 8, 300.0
_FAR, _ACROSS = 1e6, 500.0
_ACROSS_DRAWING = np.arange(WIDTH + 2)

Heights = NDArray[np.float64]
Flags = NDArray[np.bool_]
Counts = NDArray[np.intp]


class Labelled(Struct, frozen=True):
    """A line of the drawing from left to right, its label, and the point that is marked."""

    label: str
    points: Table
    marked: Point


def labels(lines: Sequence[Labelled], field: Box, colours: Sequence[str]) -> str:
    """Marks and labels of all lines, inside `field`. A thin leader runs from a label to the mark of its line."""
    texts = [wrapped(line.label, min(_LABEL_ROOM, field.right - field.left)) for line in lines]
    boxes = best_boxes(lines, texts, field)
    markup = ""
    for line, box, text in zip(lines, boxes, texts, strict=True):
        markup += path(way([line.marked, _nearest(box, line.marked)]), INK, 1.0, kind="leader")
        markup += words(((box.left + box.right) / 2, box.top + ASCENT), text, "middle", kind="label", halo=True)
    for line, colour, mark in zip(lines, colours, (_dot, _square), strict=False):
        markup += mark(line.marked, colour)
    return markup


def best_boxes(lines: Sequence[Labelled], texts: Sequence[tuple[str, ...]], field: Box) -> list[Box]:
    """Boxes of all labels; the label that is placed first has first choice, so every order is tried."""
    heights = np.array([heights_of(line) for line in lines])
    marked = [line.marked for line in lines]
    weighed = [_weighed(index, marked, heights, text, field) for index, text in enumerate(texts)]
    tries = [_boxes_in_order(order, weighed) for order in permutations(range(len(lines)))]
    return min(tries, key=lambda found: found[0])[1]


def _boxes_in_order(order: tuple[int, ...], weighed: Sequence[_Weighed]) -> tuple[float, list[Box]]:
    taken: list[Box] = []
    boxes, total = {}, 0.0
    for index in order:
        cost, box = _best_place(weighed[index], taken)
        taken += [box, _leader_box(box, weighed[index].marked)]
        boxes[index], total = box, total + cost
    return total, [boxes[index] for index in range(len(order))]


def heights_of(line: Labelled) -> Heights:
    """Height of a line at every whole unit across the drawing, and one unit beyond."""
    heights: Heights = np.interp(_ACROSS_DRAWING, *line.points)
    return heights


class _Boxes(Struct, frozen=True):
    """Many boxes at once: sides as columns (left and right) and rows (top and bottom) of one table, or as tables."""

    left: Heights
    top: Heights
    right: Heights
    bottom: Heights

    def meet(self, other: Box, gap: float) -> Flags:
        """Tell of each whether it comes nearer to another than `gap`, as Box.meets does."""
        across = (self.left < other.right + gap) & (other.left < self.right + gap)
        return across & (self.top < other.bottom + gap) & (other.top < self.bottom + gap)

    def nearest(self, point: Point) -> tuple[Heights, Heights]:
        """Of each, the place across and down that is nearest to a point."""
        across = np.minimum(np.maximum(point[0], self.left), self.right)
        return across, np.minimum(np.maximum(point[1], self.top), self.bottom)


class _Places(Struct, frozen=True):
    """All places of a label of one size. Not to be written to.

    middles: how far across each column of them has its middle. stretches: of each column in turn, the first unit across
    in which a line may run through it, and the first one beyond.
    """

    boxes: _Boxes
    middles: Heights
    stretches: Counts


@lru_cache(maxsize=64)
def _places(wide: float, high: float, field: Box) -> _Places:
    """Places each 8 units inside a field. Kept, as most pages have the same labels."""
    left, top = _steps(field.left, field.right - wide)[:, None], _steps(field.top, field.bottom - high)[None, :]
    starts = np.maximum(left.astype(np.intp) - _CLEAR, 0)
    ends = np.minimum((left + wide).astype(np.intp) + _CLEAR, int(WIDTH) + 1)
    stretches = np.hstack((starts, ends)).ravel()
    return _Places(_Boxes(left, top, left + wide, top + high), (left + (left + wide)) / 2, stretches)


class _Weighed(Struct, frozen=True):
    """All places of one label and what is wrong with each, whatever other labels are placed first.

    near: way to the mark, lines run through counted in. met: marks that are met. across: the sum for lines between.
    best: the cheapest place while no other label is placed.
    """

    marked: Point
    boxes: _Boxes
    leaders: _Boxes
    near: Heights
    met: Counts
    across: Heights
    best: tuple[float, Box]


def _weighed(index: int, marked: Sequence[Point], heights: Heights, text: tuple[str, ...], field: Box) -> _Weighed:
    """Weigh all places for the label of line `index` at once."""
    places, mark = _places(widest(text), LINE * len(text), field), marked[index]
    boxes = places.boxes
    end = boxes.nearest(mark)
    leaders = _leaders(end, mark)
    aside = abs(places.middles - mark[0])
    way_to = abs(end[0] - mark[0]) + abs(end[1] - mark[1]) + 0.2 * aside  # off the middle counts as a little farther
    between = sum(_changes_side(mark, end, line) for i, line in enumerate(heights) if i != index)
    met = _collisions(boxes, leaders, [_mark_box(one) for one in marked], mark)
    near, across = way_to + _FAR * _covers(places, heights), np.asarray(_ACROSS * between)
    return _Weighed(mark, boxes, leaders, near, met, across, _cheapest(boxes, near + _FAR * met + across))


def _best_place(weighed: _Weighed, taken: Sequence[Box]) -> tuple[float, Box]:
    """The cheapest place with other labels placed. It is the best of all where that one is still free."""
    if not _meets_any(weighed.best[1], weighed.marked, taken):
        return weighed.best
    met = weighed.met + _collisions(weighed.boxes, weighed.leaders, taken, weighed.marked)
    return _cheapest(weighed.boxes, weighed.near + _FAR * met + weighed.across)


def _meets_any(box: Box, marked: Point, taken: Sequence[Box]) -> bool:
    """Tell whether a label or its leader meets a box that is taken, as _collisions counts it."""
    leader = _leader_box(box, marked)
    return any(box.meets(other, 3.0) or leader.meets(other, 2.0) for other in taken)


def _cheapest(boxes: _Boxes, costs: Heights) -> tuple[float, Box]:
    """The place that costs least, with its cost; of equal ones the first counts, from the left, then from the top."""
    column, row = np.unravel_index(np.argmin(costs), costs.shape)
    sides = (boxes.left[column, 0], boxes.top[0, row], boxes.right[column, 0], boxes.bottom[0, row])
    return float(costs[column, row]), Box(*map(float, sides))


def _collisions(boxes: _Boxes, leaders: _Boxes, taken: Sequence[Box], marked: Point) -> Counts:
    """How many boxes of others each label or its leader meets (its own mark not counted for the leader)."""
    own, count = _mark_box(marked), np.zeros(1, dtype=np.intp)
    for other in taken:
        met = boxes.meet(other, 3.0)
        count = count + (met if other == own else met | leaders.meet(other, 2.0))
    return count


def _covers(places: _Places, lines: Heights) -> Counts:
    """How many lines run through each box, with a little air round each line."""
    low, high = (one.reduceat(lines, places.stretches, axis=1)[:, ::2, None] for one in (np.minimum, np.maximum))
    covered: Counts = ((low - _CLEAR < places.boxes.bottom) & (places.boxes.top < high + _CLEAR)).sum(axis=0)
    return covered


def _changes_side(start: Point, end: tuple[Heights, Heights], line: Heights) -> Counts:
    """1 where the way from the start to an end crosses a line that runs from left to right; else 0."""
    below = end[1] < line[np.rint(end[0]).astype(np.intp)]
    changed: Counts = ((start[1] < line[round(start[0])]) != below).astype(np.intp)
    return changed


def _nearest(box: Box, point: Point) -> Point:
    """Point of the box nearest to a point."""
    return min(max(point[0], box.left), box.right), min(max(point[1], box.top), box.bottom)


def _leaders(end: tuple[Heights, Heights], marked: Point) -> _Boxes:
    """Boxes round the leaders from the mark to each end."""
    (x, y), (at_x, at_y) = end, marked
    return _Boxes(np.minimum(x, at_x), np.minimum(y, at_y), np.maximum(x, at_x), np.maximum(y, at_y))


def _steps(low: float, high: float) -> Heights:
    return low + _STEP * np.arange(max(1, int((high - low) / _STEP) + 1), dtype=np.float64)


def _leader_box(box: Box, marked: Point) -> Box:
    x, y = _nearest(box, marked)
    return Box(min(x, marked[0]), min(y, marked[1]), max(x, marked[0]), max(y, marked[1]))


def _mark_box(at: Point) -> Box:
    return Box(at[0] - DOT_RADIUS, at[1] - DOT_RADIUS, at[0] + DOT_RADIUS, at[1] + DOT_RADIUS)


def _dot(at: Point, colour: str) -> str:
    return circle(at, DOT_RADIUS, colour, stroke=PAPER, width=THIN, kind="mark")


def _square(at: Point, colour: str) -> str:
    r, (x, y) = DOT_RADIUS, at
    corners = [(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)]
    return path(way(corners, closed=True), stroke=PAPER, width=THIN, fill=colour, kind="mark")
