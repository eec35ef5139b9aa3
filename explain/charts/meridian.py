"""Meridian chart: a dial for each astigmatic eye, with the directions in which its lens is strongest and weakest."""

from __future__ import annotations

import math
from bisect import bisect_left
from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING

from msgspec import Struct

from explain.charts.frame import Frame, bare, broken_line, draw_frame
from explain.charts.ink import Point, group, path, sheet, way, words
from explain.charts.kept import kept
from explain.charts.lettering import widest, wrapped
from explain.charts.spacing import Box
from explain.charts.style import ASCENT, DASH, FIRM, GRID, INK, LIGHT, LIGHTER, LINE, STRONG, THIN, WIDTH
from explain.story.drawings import MeridianDrawing, MeridianEye

if TYPE_CHECKING:
    from matplotlib.axes import Axes

RADIUS = 66.0
_GAP, _BETWEEN = 7.0, 26.0
_LABEL_ROOM = 100.0
_HALF = WIDTH / 2


class _Label(Struct, frozen=True):
    lines: tuple[str, ...]
    box: Box


def draw_meridian(drawing: MeridianDrawing, salt: str) -> str:
    """Draw the dials one below the other in the order given: two beside each other leave no room for the words."""
    content, down = [], 0.0
    for eye in drawing.eyes:
        markup, height = _eye(eye, _dial())
        content.append(group(markup, down=down, extra=' class="eye"'))
        down += height + _BETWEEN
    return sheet("meridian", drawing.title, drawing.description, salt, down - _BETWEEN, content)


@lru_cache(maxsize=1)
@kept
def _dial() -> Frame:
    """A circle with a tick each 15 degrees, longer each 45; x and y count radii from its middle."""
    side = 2 * _HALF

    def furnish(axes: Axes) -> None:
        bare(axes)
        turn = [math.radians(step * 3) for step in range(121)]
        circle = [(math.cos(t), math.sin(t)) for t in turn]
        ticks = [((0.86 if step % 3 == 0 else 0.93), *circle[step * 5]) for step in range(24)]
        broken_line(axes, [circle], LIGHT[INK], THIN)
        broken_line(axes, [[(inner * x, inner * y), (x, y)] for inner, x, y in ticks], LIGHT[GRID], THIN)

    ends = (-_HALF / RADIUS, _HALF / RADIUS)
    return draw_frame(side, Box(0.0, 0.0, side, side), ends, ends, furnish)


def _eye(eye: MeridianEye, dial: Frame) -> tuple[str, float]:
    """One dial with its label above, and its height. Boxes are counted from the middle of the dial, y downwards."""
    heading = wrapped(eye.label, WIDTH - 4)
    labels = _best_labels(eye)
    top = min(-RADIUS, *(label.box.top for label in labels))
    bottom = max(RADIUS, *(label.box.bottom for label in labels))
    down = LINE * len(heading) + _GAP - top
    markup = words((_HALF, ASCENT), heading, anchor="middle", bold=True)
    markup += group(dial.markup, down=down - _HALF) + group(_lines(eye) + _words(labels), _HALF, down)
    return markup, down + bottom + 4


def _lines(eye: MeridianEye) -> str:
    """Two lines right across; the stronger one heavier and solid, the weaker one thinner and dashed."""
    first_is_stronger = abs(eye.first_dpt) >= abs(eye.second_dpt)
    strong, weak = (eye.first_deg, eye.second_deg) if first_is_stronger else (eye.second_deg, eye.first_deg)
    return path(way(_across(weak)), stroke=LIGHTER, width=FIRM, dash=DASH, kind="weaker") + path(
        way(_across(strong)), stroke=STRONG, width=2 * FIRM, kind="stronger"
    )


def _across(degrees: float) -> list[Point]:
    x, y = _direction(degrees)
    return [(-RADIUS * x, -RADIUS * y), (RADIUS * x, RADIUS * y)]


def _words(labels: tuple[_Label, ...]) -> str:
    return "".join(
        words(((label.box.left + label.box.right) / 2, label.box.top + ASCENT), label.lines, "middle", kind="label")
        for label in labels
    )


def _best_labels(eye: MeridianEye) -> tuple[_Label, ...]:
    """Each label at that end of its line where both fit and the chart stays lowest; upper ends where equal."""
    firsts, seconds = (
        [_label_at(turned, text) for turned in (degrees, degrees + 180)]
        for degrees, text in ((eye.first_deg, eye.first_label), (eye.second_deg, eye.second_label))
    )
    return min(product(firsts, seconds), key=_badness)


def _badness(labels: tuple[_Label, ...]) -> float:
    first, second = (label.box for label in labels)
    top, bottom = min(first.top, second.top, -RADIUS), max(first.bottom, second.bottom, RADIUS)
    aside = sum(max(0.0, abs(box.left + box.right) / 2 + (box.right - box.left) / 2 - _HALF) for box in (first, second))
    return bottom - top + 1000 * first.meets(second, 4.0) + 100 * aside + 0.01 * (first.top + second.top)


def _label_at(degrees: float, text: str) -> _Label:
    """Label outside the end of a line: pushed out along it until it is clear of the circle."""
    x, y = _direction(degrees)
    room = _LABEL_ROOM if abs(x) > 0.5 else 2 * _LABEL_ROOM
    lines = wrapped(text, room)
    wide, high = widest(lines), LINE * len(lines)

    def clear(steps: int) -> float:
        """From the middle of the dial to the label; it grows with each step that the label is pushed out."""
        across, down = abs((RADIUS + steps) * x), abs((RADIUS + steps) * y)
        return math.hypot(max(0.0, across - wide / 2), max(0.0, down - high / 2))

    out = RADIUS + bisect_left(range(math.ceil(_GAP + wide + high)), RADIUS + _GAP, key=clear)
    box = _box_about(out * x, out * y, wide, high)
    inward = min(0.0, _HALF - box.right) + max(0.0, -_HALF - box.left)
    return _Label(lines, Box(box.left + inward, box.top, box.right + inward, box.bottom))


def _box_about(x: float, y: float, wide: float, high: float) -> Box:
    return Box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)


def _direction(degrees: float) -> Point:
    """Unit step in the drawing (y downwards) for an angle counted counter-clockwise from the right."""
    return math.cos(math.radians(degrees)), -math.sin(math.radians(degrees))
