"""Fade chart: the light that light-reactive lenses let through over time, as bands, one below the other."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from explain.charts.frame import Frame, bare, draw_frame
from explain.charts.ink import Point, group, path, sheet, way, words
from explain.charts.kept import kept
from explain.charts.lettering import text_width, wrapped
from explain.charts.spacing import Box
from explain.charts.style import ASCENT, FIRM, GRID, HAIR, INK, LIGHT, LINE, SOFT, STRONG, THIN, WIDTH
from explain.story.drawings import FadeDrawing, FadePanel

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_EDGE, _LEFT, _RIGHT, _PLOT_HEIGHT = 2.0, 46.0, 336.0, 104.0
_OVER, _TICKS_BELOW, _TICK_GAP, _BETWEEN, _GAP, _INSET = 12.0, 34.0, 13.0, 14.0, 5.0, 3.0
_LIGHT_TICKS = (0, 50, 100)
_TIME_ENDS = {4.0: 1, 10.0: 2, 20.0: 5, 40.0: 10}


def draw_fade(drawing: FadeDrawing, salt: str) -> str:
    """Draw every panel at one scale; each band is labelled at its end and has its name above.

    Raises ValueError for a time beyond 40 minutes.
    """
    frame = _frame(time_end_minutes(max(panel.points[-1][0] for panel in drawing.panels)))
    content, down = [words((_EDGE, ASCENT), lines := wrapped(drawing.unit_label, _room()))], 0.0
    down += LINE * len(lines) + _GAP
    for panel in drawing.panels:
        names = wrapped(panel.label, _room(), bold=True)
        content.append(words((_EDGE, down + ASCENT), names, kind="label", bold=True))
        down += LINE * len(names)
        content.append(group(frame.markup + _band(panel, frame), down=down))
        down += frame.height + _BETWEEN
    lines = wrapped(drawing.time_label, _room())
    content.append(words(((_LEFT + _RIGHT) / 2, down - _BETWEEN + ASCENT), lines, "middle"))
    return sheet("fade", drawing.title, drawing.description, salt, down - _BETWEEN + LINE * len(lines), content)


def time_end_minutes(longest: float) -> float:
    """End of the axis of time: the first step of a short ladder that is not passed.

    >>> time_end_minutes(10.0), time_end_minutes(11.0)
    (10.0, 20.0)
    """
    for end in _TIME_ENDS:
        if longest <= end:
            return end
    raise ValueError(f"a time of {longest:.1f} minutes does not fit the chart; the longest axis is {end:.0f}")


def _room() -> float:
    return WIDTH - 2 * _EDGE


@lru_cache(maxsize=8)
@kept
def _frame(end_minutes: float) -> Frame:
    """Axes from 0 to 100 parts of light and from 0 to end_minutes, with numbers at both."""
    box = Box(_LEFT, _OVER, _RIGHT, _OVER + _PLOT_HEIGHT)

    def furnish(axes: Axes) -> None:
        bare(axes, keep=("bottom",))
        axes.spines["bottom"].set(color=LIGHT[INK], linewidth=THIN)
        minutes = list(range(0, int(end_minutes) + 1, _TIME_ENDS[end_minutes]))
        axes.set_yticks(_LIGHT_TICKS, [str(tick) for tick in _LIGHT_TICKS])
        axes.set_xticks(minutes, [str(tick) for tick in minutes])
        axes.tick_params(axis="x", pad=_TICK_GAP)
        axes.grid(axis="y", color=LIGHT[GRID], linewidth=HAIR, clip_on=False)

    return draw_frame(box.bottom + _TICKS_BELOW, box, (0.0, end_minutes), (0.0, 100.0), furnish)


def _band(panel: FadePanel, frame: Frame) -> str:
    """The band, filled, with firm edges, and the label of its end."""
    low = frame.places((minutes, least) for minutes, least, _ in panel.points)
    high = frame.places((minutes, most) for minutes, _, most in panel.points)
    markup = path(way([*low, *reversed(high)], closed=True), fill=SOFT, kind="band")
    for edge, kind in ((low, "edge least"), (high, "edge most")):
        markup += path(way(edge), STRONG, FIRM, kind=kind)
    return markup + _end_label(panel.end_label, low, high, frame)


def _end_label(text: str, low: list[Point], high: list[Point], frame: Frame) -> str:
    """Set the label at the end of the band: above it, below it or inside, where there is most room."""
    right = low[-1][0] - _INSET
    left = right - text_width(text) - _GAP
    most, least = _heights_from(left, high), _heights_from(left, low)
    above, below = min(most) - frame.y.at(100.0), frame.y.at(0.0) - max(least)
    inside = min(least) - max(most)
    if inside > max(above, below):
        middle = (min(least) + max(most) - LINE) / 2
        return words((right, middle + ASCENT), (text,), "end", kind="end")
    top = min(most) - _GAP - LINE if above >= below else max(least) + _GAP
    return words(
        (right, _off_the_grid(top, frame, above=above >= below) + ASCENT), (text,), "end", kind="end", halo=True
    )


def _heights_from(left: float, edge: list[Point]) -> list[float]:
    """Heights of an edge from `left` on: where it passes there, and at all its later points."""
    xs, ys = zip(*edge, strict=True)
    return [float(np.interp(left, xs, ys)), *(y for x, y in edge if x >= left)]


def _off_the_grid(top: float, frame: Frame, *, above: bool) -> float:
    """Move a line of text away from the band if a grid line crosses it; grid lines lie more than a line apart."""
    crossing = [y for y in map(frame.y.at, _LIGHT_TICKS) if top < y < top + LINE]
    if not crossing:
        return top
    return crossing[0] - LINE if above else crossing[0] + _GAP
