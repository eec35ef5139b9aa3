"""Price chart: one level bar for each line of the bill, its label above, its amount at the end."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from explain.charts.frame import Frame, bare, broken_line, draw_frame
from explain.charts.ink import path, sheet, way, words
from explain.charts.kept import kept
from explain.charts.lettering import text_width, wrapped
from explain.charts.spacing import Box
from explain.charts.style import ASCENT, FIRM, INK, LIGHT, LINE, SOFT, STRONG, THIN, WIDTH, axis_end_money
from explain.story.drawings import PriceBar, PriceDrawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_BAR, _GAP, _ROW_GAP, _EDGE = 18.0, 7.0, 18.0, 2.0
_OVER = 3.0
"""How far the line at 0 stands out over a bar."""
_ROOM_STEP = 20.0


def draw_price(drawing: PriceDrawing, salt: str) -> str:
    """Draw the bars in the order given; what is taken off the price runs to the left of the line at 0."""
    labels = [wrapped(bar.label, WIDTH - 2 * _EDGE) for bar in drawing.bars]
    tops = _bar_tops(labels)
    height = tops[-1] + _BAR + _ROW_GAP
    amounts = [bar.amount for bar in drawing.bars]
    ends = (-axis_end_money(-min(amounts)), axis_end_money(max(amounts)))
    widest = max(text_width(bar.amount_label) for bar in drawing.bars)
    frame = _frame(ends, math.ceil((widest + _GAP) / _ROOM_STEP) * _ROOM_STEP, tuple(tops), height)
    content = [frame.markup]
    for bar, lines, top in zip(drawing.bars, labels, tops, strict=True):
        content.append(words((_EDGE, top - 8 - LINE * (len(lines) - 1)), lines, kind="label"))
        content.append(_bar(bar, frame, top))
    return sheet("price", drawing.title, drawing.description, salt, height, content)


def _bar_tops(labels: list[tuple[str, ...]]) -> list[float]:
    tops, down = [], 0.0
    for lines in labels:
        tops.append(down + LINE * len(lines) + _OVER)
        down = tops[-1] + _BAR + _ROW_GAP
    return tops


@lru_cache(maxsize=64)
@kept
def _frame(ends: tuple[float, float], amount_room: float, tops: tuple[float, ...], height: float) -> Frame:
    """The line at 0, a piece for each bar; at the right there is room for the amounts. y counts units downwards."""
    low, high = ends if ends != (0.0, 0.0) else (0.0, 1.0)
    if high == 0.0:
        high = -low / 10

    def furnish(axes: Axes) -> None:
        bare(axes)
        pieces = [[(0.0, top - _OVER), (0.0, top + _BAR + _OVER)] for top in tops]
        broken_line(axes, pieces, LIGHT[INK], FIRM)

    return draw_frame(height, Box(_EDGE, 0.0, WIDTH - amount_room, height), (low, high), (height, 0.0), furnish)


def _bar(bar: PriceBar, frame: Frame, top: float) -> str:
    """The bar, and the amount right of it (of the line at 0 when the bar runs to the left)."""
    start, end = frame.x.at(0), frame.x.at(bar.amount)
    corners = [(start, top), (end, top), (end, top + _BAR), (start, top + _BAR)]
    fill, kind = (STRONG, "bar") if bar.amount >= 0 else (SOFT, "bar less")
    markup = path(way(corners, closed=True), stroke=STRONG, width=THIN, fill=fill, kind=kind)
    return markup + words((max(start, end) + _GAP, top + ASCENT), (bar.amount_label,), kind="amount")
