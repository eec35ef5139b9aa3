"""Board: draws any drawing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from explain.charts.edge import draw_edge
from explain.charts.fade import draw_fade
from explain.charts.meridian import draw_meridian
from explain.charts.price import draw_price
from explain.charts.section import draw_section
from explain.charts.sight import draw_sight
from explain.charts.true_size import draw_true_size
from explain.charts.window import draw_window
from explain.charts.zones import draw_zones
from explain.story.drawings import (
    Drawing,
    EdgeDrawing,
    FadeDrawing,
    MeridianDrawing,
    PriceDrawing,
    SectionDrawing,
    SightDrawing,
    TrueSizeDrawing,
    WindowDrawing,
    ZonesDrawing,
)

_DRAW: dict[type[Any], Callable[[Any, str], str]] = {
    SectionDrawing: draw_section,
    EdgeDrawing: draw_edge,
    MeridianDrawing: draw_meridian,
    PriceDrawing: draw_price,
    SightDrawing: draw_sight,
    FadeDrawing: draw_fade,
    ZonesDrawing: draw_zones,
    WindowDrawing: draw_window,
    TrueSizeDrawing: draw_true_size,
}


def draw(drawing: Drawing, salt: str) -> str:
    """Inline SVG of a drawing: `<svg ...>` without prolog and style block.

    salt: letters, digits and hyphens that no other chart of the page has; ids are made with it. The same drawing
    and salt give the same bytes. Raises ValueError for a thickness above 30 mm, a third line of thickness or a lens
    too wide for the sheet, KeyError for a letter that is not in explain.charts.letters.
    """
    return _DRAW[type(drawing)](drawing, salt)
