"""Lens parts: what the charts of a lens seen through share: its scale, its two sides, its ruler and names in place."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from msgspec import Struct

from explain.charts.frame import Frame, bare, broken_line, draw_frame
from explain.charts.ink import Point, Table, circle, escaped, path, strokes, way, words
from explain.charts.kept import kept
from explain.charts.lettering import widest, wrapped
from explain.charts.placing import Room, free_box
from explain.charts.spacing import Box, spread
from explain.charts.style import ASCENT, INK, LIGHT, LINE, PAPER, THIN, UNITS_PER_MM, WIDTH

if TYPE_CHECKING:
    from matplotlib.axes import Axes

RULER_MM = 20
_EDGE, _GAP, _DOT = 2.0, 6.0, 3.5
_PAD, _CLEAR, _IN_A_ROW = 3.0, 1.5, 2


Label = tuple[tuple[str, ...], Point]
"""The lines of a name and the point it names [units]."""


class Ground(Struct, frozen=True):
    """Where millimetres of the lens lie on the sheet."""

    per_mm: float
    right: float
    down: float

    def at(self, point: Point) -> Point:
        """Place of a point given in mm with y up."""
        return self.right + self.per_mm * point[0], self.down - self.per_mm * point[1]

    def all(self, points: Sequence[Point]) -> list[Point]:
        """Places of many points."""
        return [(self.right + self.per_mm * x, self.down - self.per_mm * y) for x, y in points]

    def table(self, points: Table) -> Table:
        """The same of a whole table."""
        return points * ((self.per_mm,), (-self.per_mm,)) + ((self.right,), (self.down,))


class Named(Struct, frozen=True):
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
@kept
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
    deep = high[1] - low[1]
    starts = (low[0] - deep + step * i for i in range(int((high[0] - low[0] + deep) / step) + 1))
    return strokes(((x, high[1]), (x + deep, low[1])) for x in starts)


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


def placed_below(labels: Sequence[Label], top: float) -> list[Named]:
    """Labels that found no room inside, in rows of two under the lens, what lies lowest first and nearest to it."""
    lowest_first = sorted(labels, key=lambda label: -label[1][1])
    named: list[Named] = []
    for start in range(0, len(labels), _IN_A_ROW):
        named += _row_below(lowest_first[start : start + _IN_A_ROW], top)
        top = max(one.box.bottom for one in named) + _GAP
    return named


def _row_below(row: Sequence[Label], top: float) -> list[Named]:
    """The first label under what it names, the second at the side where the sheet has more room."""
    x = row[0][1][0]
    turn = 1 if x <= WIDTH / 2 else -1
    sizes = [widest(lines) + 2 * _PAD for lines, _ in row]
    ends = (_EDGE, WIDTH - _EDGE) if turn > 0 else (_EDGE - WIDTH, -_EDGE)
    middles = [turn * middle for middle in spread([turn * x] * len(row), sizes, *ends, _GAP)]
    return [
        Named(lines, Box(middle - size / 2, top, middle + size / 2, top + _height(lines)), at)
        for (lines, at), middle, size in zip(row, middles, sizes, strict=True)
    ]


def _height(lines: tuple[str, ...]) -> float:
    """From the top of the capitals of the first line to the tails of the last [units]."""
    return LINE * len(lines) - 2.0


def names_text(names: Sequence[tuple[Named, bool]]) -> str:
    """The words on paper of their own; a thin line, behind all words, leads from some to a dot on what they name."""
    return "".join(_leader(named) for named, leads in names if leads) + "".join(_words(named) for named, _ in names)


def _leader(named: Named) -> str:
    box, (x, y) = named.box, named.at
    end = min(max(x, box.left), box.right), min(max(y, box.top), box.bottom)
    return path(way([end, named.at]), INK, THIN, kind="leader") + circle(named.at, _DOT, INK, kind="mark")


def _words(named: Named) -> str:
    box = named.box
    corners = [(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)]
    paper = path(way(corners, closed=True), fill=PAPER, kind="paper")
    return paper + words(((box.left + box.right) / 2, box.top + ASCENT), named.lines, "middle", kind="label")
