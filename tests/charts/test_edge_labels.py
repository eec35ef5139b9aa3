"""Labels of the edge chart: all places weighed at once give the box that weighing them one by one gives."""

from __future__ import annotations

import math

import numpy as np
import pytest

from explain.charts.edge_labels import Labelled, best_boxes
from explain.charts.ink import table
from explain.charts.lettering import widest, wrapped
from explain.charts.spacing import Box
from explain.charts.style import DOT_RADIUS, LINE, WIDTH

FIELD = Box(34.0, 40.5, 346.0, 270.25)
TEXTS = ("your lens", "the plainest material of this shop, as thick as that", "right")


def wave(label: str, middle: float, swing: float, turn: float) -> Labelled:
    points = [(32 + 314 * at / 90, middle + swing * math.sin(turn + at / 11)) for at in range(91)]
    return Labelled(label, table(points), min(points, key=lambda point: point[1]))


def cost_of(box: Box, lines: list[Labelled], index: int, taken: list[Box]) -> float:
    """What is wrong with one box for the label of one line, as a sum; written out for one place."""
    x, y = lines[index].marked
    end = min(max(x, box.left), box.right), min(max(y, box.top), box.bottom)
    cost = abs(end[0] - x) + abs(end[1] - y) + 0.2 * abs((box.left + box.right) / 2 - x)
    heights = [heights_of(line) for line in lines]
    for line in heights:
        part = line[max(0, int(box.left) - 7) : int(box.right) + 7]
        cost += 1e6 * (min(part) - 7 < box.bottom and box.top < max(part) + 7)
    leader = Box(min(x, end[0]), min(y, end[1]), max(x, end[0]), max(y, end[1]))
    own = round_the_mark(lines[index])
    cost += 1e6 * sum(box.meets(one, 3.0) or (one != own and leader.meets(one, 2.0)) for one in taken)
    others = [line for at, line in enumerate(heights) if at != index]
    return cost + 500.0 * sum((y < line[round(x)]) != (end[1] < line[round(end[0])]) for line in others)


def heights_of(line: Labelled) -> list[float]:
    return np.interp(range(int(WIDTH) + 1), *line.points).tolist()


def round_the_mark(line: Labelled) -> Box:
    x, y = line.marked
    return Box(x - DOT_RADIUS, y - DOT_RADIUS, x + DOT_RADIUS, y + DOT_RADIUS)


@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("turn", [0.0, 1.3, 2.9, 4.4])
@pytest.mark.parametrize("swing", [4.0, 35.0, 70.0])
def test_a_single_label_gets_the_first_of_the_cheapest_places(text, swing, turn):
    line = wave(text, 150.0, swing, turn)
    lines = wrapped(text, 300.0)
    (box,) = best_boxes([line], [lines], FIELD)

    wide, high = widest(lines), LINE * len(lines)
    lefts = [FIELD.left + 8 * i for i in range(int((FIELD.right - wide - FIELD.left) / 8) + 1)]
    tops = [FIELD.top + 8 * i for i in range(int((FIELD.bottom - high - FIELD.top) / 8) + 1)]
    places = [Box(left, top, left + wide, top + high) for left in lefts for top in tops]
    assert box == min(places, key=lambda place: cost_of(place, [line], 0, [round_the_mark(line)]))


@pytest.mark.parametrize("turn", [0.0, 1.3, 2.9, 4.4])
def test_two_labels_keep_off_both_lines_and_each_other(turn):
    lines = [wave(TEXTS[0], 90.0, 20.0, turn), wave(TEXTS[2], 200.0, 20.0, turn)]
    first, second = best_boxes(lines, [wrapped(line.label, 300.0) for line in lines], FIELD)

    assert not first.meets(second)
    marks = [round_the_mark(line) for line in lines]
    assert cost_of(first, lines, 0, marks) < 1e6
    assert cost_of(second, lines, 1, marks) < 1e6
