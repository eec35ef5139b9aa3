"""Board: draws any drawing."""

from __future__ import annotations

from explain.charts.edge import draw_edge
from explain.charts.meridian import draw_meridian
from explain.charts.price import draw_price
from explain.charts.section import draw_section
from explain.charts.sight import draw_sight
from explain.story.drawings import (
    Drawing,
    EdgeDrawing,
    MeridianDrawing,
    PriceDrawing,
    SectionDrawing,
)


def draw(drawing: Drawing, salt: str) -> str:
    """Inline SVG of a drawing: `<svg ...>` without prolog and style block.

    salt: letters, digits and hyphens that no other chart of the page has; ids are made with it. The same drawing
    and salt give the same bytes. Raises ValueError for a thickness above 30 mm or a third line of thickness, KeyError
    for a letter that is not in explain.charts.letters.
    """
    match drawing:
        case SectionDrawing():
            return draw_section(drawing, salt)
        case EdgeDrawing():
            return draw_edge(drawing, salt)
        case MeridianDrawing():
            return draw_meridian(drawing, salt)
        case PriceDrawing():
            return draw_price(drawing, salt)
        case _:
            return draw_sight(drawing, salt)
