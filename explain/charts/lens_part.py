"""Lens parts: what the charts of a lens seen through share: its scale, its two sides, its ruler and names in place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from explain.charts.frame import Frame, bare, broken_line, draw_frame
from explain.charts.ink import Point, circle, escaped, path, way, words
from explain.charts.lettering import widest, wrapped
from explain.charts.placing import Room, free_box
from explain.charts.spacing import Box, spread
from explain.charts.style import ASCENT, INK, LIGHT, LINE, PAPER, THIN, UNITS_PER_MM, WIDTH

if TYPE_CHECKING:
    from matplotlib.axes import Axes

RULER_MM = 20
_EDGE, _GAP, _DOT = 2.0, 6.0, 3.5
_PAD, _CLEAR, _IN_A_ROW = 3.0, 1.5, 2


@dataclass(frozen=True, slots=True)
class Ground:
    """Where millimetres of the lens lie on the sheet."""

    per_mm: float
    right: float
    down: float

    def at(self, point: Point) -> Point:
        """Place of a point given in mm with y up."""
        return self.right + self.per_mm * point[0], self.down - self.per_mm * point[1]

    def all(self, points: Sequence[Point]) -> list[Point]:
        """Places of many points."""
        return [self.at(point) for point in points]


@dataclass(frozen=True, slots=True)
class Named:
    """A label with the box it was given."""

    lines: tuple[str, ...]
    box: Box
    at: Point


def sides_height(nose_word: str, outer_word: str) -> float:
    """Room for the two words over the lens."""
    return LINE * max(len(lines) for lines in _side_lines(nose_word, outer_word)) + _GAP


def sides(nose_side: str, nose_word: str, outer_word: str) -> str:
    """The two words over the lens: at which side the nose is."""
    nose, outer = _side_lines(nose_word, outer_word)
    left, right = (nose, outer) if nose_side == "left" else (outer, nose)
    return words((_EDGE, ASCENT), left) + words((WIDTH - _EDGE, ASCENT), right, "end")


def _side_lines(nose_word: str, outer_word: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    room = WIDTH / 2 - 2 * _GAP
    return wrapped(nose_word, room), wrapped(outer_word, room)


def ground_for(outline: Sequence[Point], enlarged: float, top: float) -> Ground:
    """The outline in the middle of the sheet, its highest point at `top`. Raises ValueError where it is too wide."""
    xs, ys = zip(*outline, strict=True)
    per_mm = enlarged * UNITS_PER_MM
    wide = per_mm * (max(xs) - min(xs))
    if wide > WIDTH - 2 * _EDGE:
        raise ValueError(f"a lens {wide:.0f} units wide does not fit the sheet; enlarge it less")
    return Ground(per_mm, WIDTH / 2 - per_mm * (max(xs) + min(xs)) / 2, top + per_mm * max(ys))


@lru_cache(maxsize=32)
def ruler(enlarged: float, label: str) -> Frame:
    """A line of 20 mm on the enlarged lens, with a tick each 5 mm, numbers each 10 mm and its label."""
    lines = wrapped(label, WIDTH - 2 * _EDGE)
    height = 40.0 + LINE * len(lines) + 4.0
    half = WIDTH / UNITS_PER_MM / enlarged / 2
    unit = UNITS_PER_MM * enlarged

    def furnish(axes: Axes) -> None:
        bare(axes)
        start, y = -RULER_MM / 2, -8.0 / unit
        ticks = [
            [(start + step, y), (start + step, y - (8 if step % 10 == 0 else 5) / unit)]
            for step in range(0, RULER_MM + 1, 5)
        ]
        broken_line(axes, [[(start, y), (-start, y)], *ticks], LIGHT[INK], THIN)
        for step in range(0, RULER_MM + 1, 10):
            axes.text(start + step, -33.0 / unit, str(step), ha="center", va="baseline")

    fixed_words = words((WIDTH / 2, 38.0 + ASCENT), lines, anchor="middle")
    return draw_frame(height, Box(0.0, 0.0, WIDTH, height), (-half, half), (-height / unit, 0.0), furnish, fixed_words)


def clip(name: str, salt: str, data: str) -> tuple[str, str]:
    """A clipping path and the attribute that uses it."""
    key = f"chart-{escaped(salt)}-{name}"
    return f'<clipPath id="{key}"><path transform="scale(.1)" d="{data}"/></clipPath>', f' clip-path="url(#{key})"'


def slanted(low: Point, high: Point, step: float) -> str:
    """Path data of slanted lines over a rectangle given by its upper left and lower right corner."""
    deep, data = high[1] - low[1], ""
    for i in range(int((high[0] - low[0] + deep) / step) + 1):
        x = low[0] - deep + step * i
        data += way([(x, high[1]), (x + deep, low[1])])
    return data


def shorter(lines: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Ways to set a label: its lines one below the other, or all in one line."""
    return [lines, (" ".join(lines),)] if len(lines) > 1 else [lines]


def placed_inside(
    options: Sequence[tuple[str, ...]], at: Point, wanted: Point, room: Room, taken: Sequence[Box]
) -> Named | None:
    """The first setting of a label that finds room near a point inside the lens; None where none does."""
    for lines in options:
        size = widest(lines) + 2 * _PAD, _height(lines)
        box = free_box(size, wanted, room, taken, _CLEAR)
        if box is not None:
            return Named(lines, box, at)
    return None


def placed_below(labels: Sequence[tuple[tuple[str, ...], Point]], top: float) -> list[Named]:
    """Labels that found no room inside, in rows of two under the lens, from left to right as what they name.

    What lies lowest comes first, so that no line to a part runs through words.
    """
    lowest_first = sorted(labels, key=lambda label: -label[1][1])
    named: list[Named] = []
    for start in range(0, len(labels), _IN_A_ROW):
        row = sorted(lowest_first[start : start + _IN_A_ROW], key=lambda label: label[1][0])
        sizes = [widest(lines) + 2 * _PAD for lines, _ in row]
        middles = spread([at[0] for _, at in row], sizes, _EDGE, WIDTH - _EDGE, _GAP)
        named += [
            Named(lines, Box(x - size / 2, top, x + size / 2, top + _height(lines)), at)
            for (lines, at), x, size in zip(row, middles, sizes, strict=True)
        ]
        top = max(one.box.bottom for one in named) + _GAP
    return named


def _height(lines: tuple[str, ...]) -> float:
    """From the top of the capitals of the first line to the tails of the last [units]."""
    return LINE * len(lines) - 2.0


def name_text(named: Named, *, leads: bool) -> str:
    """The words on paper of their own, and, if it leads, a thin line from them to a dot on what they name."""
    box, x = named.box, (named.box.left + named.box.right) / 2
    corners = [(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)]
    markup = path(way(corners, closed=True), fill=PAPER, kind="paper")
    if leads:
        end = min(max(named.at[0], box.left), box.right), min(max(named.at[1], box.top), box.bottom)
        markup = (
            path(way([end, named.at]), INK, THIN, kind="leader") + circle(named.at, _DOT, INK, kind="mark") + markup
        )
    return markup + words((x, box.top + ASCENT), named.lines, "middle", kind="label")
