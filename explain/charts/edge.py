"""Edge chart: thickness round the edge, from the nose over the top, the outside and below back to the nose."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from functools import lru_cache
from operator import itemgetter
from typing import TYPE_CHECKING

from explain.charts.edge_labels import Labelled, labels
from explain.charts.frame import Frame, bare, broken_line, draw_frame
from explain.charts.ink import path, sheet, table, way, words
from explain.charts.kept import kept
from explain.charts.lettering import text_width, widest, wrapped
from explain.charts.spacing import Box, spread
from explain.charts.style import (
    ASCENT,
    DASH,
    FIRM,
    GRID,
    HAIR,
    INK,
    LIGHT,
    LIGHTER,
    LINE,
    STRONG,
    THIN,
    WIDTH,
    axis_end_mm,
)
from explain.story.drawings import EdgeDrawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes

PLACES_DEG = (0.0, 90.0, 180.0, 270.0, 360.0)
_LEFT, _RIGHT, _PLOT_HEIGHT, _HEADROOM, _WORDS_BELOW, _MARK = 32.0, 346.0, 210.0, 34.0, 12.0, 6.0
_DEGREES = itemgetter(0)
_TICK_STEPS = {2.0: 1, 4.0: 1, 6.0: 2, 8.0: 2, 10.0: 2, 14.0: 2, 20.0: 5, 30.0: 10}
_STROKES = ((STRONG, FIRM, ""), (LIGHTER, FIRM + 0.5, DASH))


def draw_edge(drawing: EdgeDrawing, salt: str) -> str:
    """Draw one or two lines of thickness on one axis from 0 mm, each labelled and marked where it is thickest.

    Raises ValueError for more than two lines: they could not be told apart.
    """
    if len(drawing.lines) > len(_STROKES):
        raise ValueError(f"the edge chart has {len(drawing.lines)} lines; it can show {len(_STROKES)}")
    thickest = [line.thickest for line in drawing.lines]
    frame = _frame(axis_end_mm(max(thickness for _, thickness in thickest)), drawing.place_words, drawing.unit_label)
    lines = [
        Labelled(line.label, frame.table(table(whole_turn(line.points))), marked)
        for line, marked in zip(drawing.lines, frame.places(thickest), strict=True)
    ]
    strokes = [
        path(way(line.points), stroke=colour, width=width, dash=dash, kind="line")
        for line, (colour, width, dash) in zip(lines, _STROKES, strict=False)
    ]
    field = Box(_LEFT + 2, _unit_height(drawing.unit_label), _RIGHT, frame.y.at(0))
    content = [frame.markup, *strokes, labels(lines, field, tuple(colour for colour, _, _ in _STROKES))]
    return sheet("edge", drawing.title, drawing.description, salt, frame.height, content)


def whole_turn(points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """The same line from exactly 0 to exactly 360 degrees: ends that are missing are taken from the other side."""
    around = sorted(points)
    inside = around[bisect_left(around, 0, key=_DEGREES) : bisect_right(around, 360, key=_DEGREES)]
    first, last = inside[0], inside[-1]
    start = [] if first[0] == 0 else [(0.0, _between(0.0, (last[0] - 360, last[1]), first))]
    end = [] if last[0] == 360 else [(360.0, _between(360.0, last, (first[0] + 360, first[1])))]
    return [*start, *inside, *end]


def _between(at: float, a: tuple[float, float], b: tuple[float, float]) -> float:
    return a[1] + (b[1] - a[1]) * (at - a[0]) / (b[0] - a[0])


def _unit_height(unit_label: str) -> float:
    return LINE * len(wrapped(unit_label, WIDTH - 8)) + 4.0


@lru_cache(maxsize=64)
@kept
def _frame(end_mm: float, place_words: tuple[str, ...], unit_label: str) -> Frame:
    """Axes from 0 to end_mm, level grid lines with numbers, upright ones at the five places, with their words."""
    unit_lines = wrapped(unit_label, WIDTH - 8)
    top = _unit_height(unit_label) + _HEADROOM
    bottom = top + _PLOT_HEIGHT
    rows = _place_rows(place_words)
    height = bottom + _WORDS_BELOW + LINE * (max(row + len(lines) for _, row, lines in rows)) + 2.0
    fixed_words = words((2.0, ASCENT), unit_lines) + "".join(
        words((middle, bottom + _WORDS_BELOW + ASCENT + LINE * row), lines, anchor="middle")
        for middle, row, lines in rows
    )

    def furnish(axes: Axes) -> None:
        bare(axes, keep=("bottom",))
        axes.spines["bottom"].set(color=LIGHT[INK], linewidth=THIN)
        ticks = list(range(0, int(end_mm) + 1, _TICK_STEPS[end_mm]))
        axes.set_yticks(ticks, [str(tick) for tick in ticks])
        axes.grid(axis="y", color=LIGHT[GRID], linewidth=HAIR, clip_on=False)
        below = -_MARK * end_mm / _PLOT_HEIGHT
        broken_line(axes, [[(place, below), (place, end_mm)] for place in PLACES_DEG], LIGHT[GRID], HAIR)

    return draw_frame(height, Box(_LEFT, top, _RIGHT, bottom), (0.0, 360.0), (0.0, end_mm), furnish, fixed_words)


def _place_rows(place_words: tuple[str, ...]) -> list[tuple[float, int, tuple[str, ...]]]:
    """Middle, first row and lines of each place word: in one row where they fit, else every second one lower."""
    step = (_RIGHT - _LEFT) / 4
    one_row = all(text_width(part) <= step - 6 for word in place_words for part in word.split(" "))
    room = step - 6 if one_row else 2 * step - 12
    lines = [wrapped(word, room) for word in place_words]
    wanted = [_LEFT + step * i for i in range(5)]
    upper_rows = 0 if one_row else max(len(lines[i]) for i in (0, 2, 4))
    middles = list(wanted)
    for group in ((0, 1, 2, 3, 4),) if one_row else ((0, 2, 4), (1, 3)):
        moved = spread([wanted[i] for i in group], [widest(lines[i]) for i in group], 2.0, WIDTH - 2.0, 6.0)
        for i, middle in zip(group, moved, strict=True):
            middles[i] = middle
    return [(middles[i], upper_rows if i % 2 else 0, lines[i]) for i in range(5)]
