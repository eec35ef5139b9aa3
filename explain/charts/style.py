"""House style of the charts: sizes, colours and how a colour is named to the page.

Every chart is 350 units wide, so that a unit is one CSS pixel in the column of a phone and text is as large as the
page's own. Colours are CSS variables with the light colour as fallback; words and firm lines are `currentColor`.
"""

from __future__ import annotations

from types import MappingProxyType

VERSION = "1"
"""Raise it whenever a chart looks different for the same drawing (a cache of charts has it in its key)."""

WIDTH = 350.0
TEXT = 18.0
LINE = 22.0
ASCENT = 15.0
"""From the top of a line of text to its baseline; the rest of LINE hangs below."""

UNITS_PER_MM = 96 / 25.4
"""A CSS pixel is 1/96 inch (CSS Values and Units Level 3, section 5.2)."""

INK, PAPER, STRONG, LIGHTER, SOFT, GRID = "ink", "paper", "chart-a", "chart-b", "chart-soft", "grid"

LIGHT = MappingProxyType(
    {
        INK: "#1a1a1a",
        PAPER: "#ffffff",
        STRONG: "#002f56",
        LIGHTER: "#cc8000",
        SOFT: "#dbe8f2",
        GRID: "#8c8c8c",
    }
)
"""Colours on white; the fallbacks, and what print should use."""

DARK = MappingProxyType(
    {
        INK: "#f2f2f2",
        PAPER: "#121212",
        STRONG: "#b9dbff",
        LIGHTER: "#985a08",
        SOFT: "#23384a",
        GRID: "#7d7d7d",
    }
)
"""Colours for `prefers-color-scheme: dark`."""

FIRM, THIN, HAIR = 2.5, 1.5, 0.8
DASH = "8 5"
DOT_RADIUS = 5.0

_LADDER = (1.0, 1.4, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0)
_MM_LADDER = (2.0, 4.0, 6.0, 8.0, 10.0, 14.0, 20.0, 30.0)


def paint(colour: str) -> str:
    """Name of a colour as an SVG paint: the page's variable, or the light colour where the page has none.

    >>> paint("grid")
    'var(--grid,#8c8c8c)'
    """
    if colour == INK:
        return "currentColor"
    return f"var(--{colour},{LIGHT[colour]})"


def axis_end_mm(largest_mm: float) -> float:
    """End of an axis of thickness: the first step of a short ladder that is not passed [mm].

    Raises ValueError above 30 mm, thicker than any spectacle lens.

    >>> axis_end_mm(4.4), axis_end_mm(6.0)
    (6.0, 6.0)
    """
    for end in _MM_LADDER:
        if largest_mm <= end:
            return end
    raise ValueError(f"a thickness of {largest_mm:.1f} mm does not fit the chart; the longest axis is 30 mm")


def axis_end_money(largest: float) -> float:
    """End of an axis of money: 1, 1.4, 2, 3, 4, 6 or 8 times a power of ten, not passed by `largest` (0 gives 0).

    >>> axis_end_money(312.5), axis_end_money(9), axis_end_money(0)
    (400.0, 10.0, 0.0)
    """
    if largest <= 0:
        return 0.0
    power = 1.0
    while largest > 10 * power:
        power *= 10
    while largest <= power:
        power /= 10
    return next(step * power for step in _LADDER if largest <= step * power * (1 + 1e-9))
