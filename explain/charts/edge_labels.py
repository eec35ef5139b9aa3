"""Labels of the edge chart: each beside its own line, clear of all lines and of each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np

from explain.charts.ink import Point, circle, path, way, words
from explain.charts.lettering import widest, wrapped
from explain.charts.spacing import Box
from explain.charts.style import ASCENT, DOT_RADIUS, INK, LINE, PAPER, THIN, WIDTH

_CLEAR, _STEP, _LABEL_ROOM = 7, 8, 300.0
_FAR, _ACROSS = 1e6, 500.0


@dataclass(frozen=True, slots=True)
class Labelled:
    """A line of the drawing from left to right, its label, and the point that is marked."""

    label: str
    points: list[Point]
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
    heights = [heights_of(line) for line in lines]
    tries = [_boxes_in_order(order, lines, heights, texts, field) for order in permutations(range(len(lines)))]
    return min(tries, key=lambda found: found[0])[1]


def _boxes_in_order(
    order: tuple[int, ...],
    lines: Sequence[Labelled],
    heights: Sequence[list[float]],
    texts: Sequence[tuple[str, ...]],
    field: Box,
) -> tuple[float, list[Box]]:
    taken, boxes, total = [_mark_box(line.marked) for line in lines], {}, 0.0
    for index in order:
        cost, box = _best_place(index, lines[index].marked, heights, texts[index], field, taken)
        taken += [box, _leader_box(box, lines[index].marked)]
        boxes[index], total = box, total + cost
    return total, [boxes[index] for index in range(len(lines))]


def heights_of(line: Labelled) -> list[float]:
    """Height of a line at every whole unit across the drawing."""
    xs, ys = zip(*line.points, strict=True)
    heights: list[float] = np.interp(np.arange(int(WIDTH) + 1), xs, ys).tolist()
    return heights


def _best_place(
    index: int,
    marked: Point,
    heights: Sequence[list[float]],
    text: tuple[str, ...],
    field: Box,
    taken: Sequence[Box],
) -> tuple[float, Box]:
    """Free box nearest to the marked point of line `index`, on the side where no other line lies between."""
    wide, high = widest(text), LINE * len(text)
    others = [line for i, line in enumerate(heights) if i != index]
    best, least = Box(field.left, field.top, field.left + wide, field.top + high), float("inf")
    for left in _steps(field.left, field.right - wide):
        spans = [_span(line, left, left + wide) for line in heights]
        for top in _steps(field.top, field.bottom - high):
            box = Box(left, top, left + wide, top + high)
            cost = _distance(box, marked) + _FAR * sum(low < box.bottom and box.top < high_ for low, high_ in spans)
            if cost < least:
                cost += _FAR * _collisions(box, _leader_box(box, marked), taken, marked)
                cost += _ACROSS * sum(_changes_side(marked, _nearest(box, marked), line) for line in others)
            if cost < least:
                best, least = box, cost
    return least, best


def _collisions(box: Box, leader: Box, taken: Sequence[Box], marked: Point) -> int:
    """How many boxes of others the label or its leader meets (its own mark not counted for the leader)."""
    own = _mark_box(marked)
    return sum(box.meets(other, 3.0) or (other != own and leader.meets(other, 2.0)) for other in taken)


def _span(line: list[float], left: float, right: float) -> tuple[float, float]:
    """Room that a line takes up over a stretch, with a little air."""
    part = line[max(0, int(left) - _CLEAR) : int(right) + _CLEAR]
    return min(part) - _CLEAR, max(part) + _CLEAR


def _distance(box: Box, marked: Point) -> float:
    """How far a box is from the mark; one that is not centred on it counts as a little farther."""
    end = _nearest(box, marked)
    aside = abs((box.left + box.right) / 2 - marked[0])
    return abs(end[0] - marked[0]) + abs(end[1] - marked[1]) + 0.2 * aside


def _changes_side(start: Point, end: Point, line: list[float]) -> bool:
    """Tell whether the way from start to end crosses a line that runs from left to right."""
    return (start[1] < line[round(start[0])]) != (end[1] < line[round(end[0])])


def _nearest(box: Box, point: Point) -> Point:
    """Point of the box nearest to a point."""
    return min(max(point[0], box.left), box.right), min(max(point[1], box.top), box.bottom)


def _steps(low: float, high: float) -> list[float]:
    return [low + _STEP * i for i in range(max(1, int((high - low) / _STEP) + 1))]


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
