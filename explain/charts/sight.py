"""Sight chart: computed pictures of rows of letters, sharp and blurred, all at one scale.

Ink and paper are 0 and 1 in light, not in screen values: blur adds up light. Around the letters is white paper.
There is nothing fixed in this chart (no axes, no ticks), so it has no frame.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

from explain.charts.greys import data_address, png_bytes
from explain.charts.ink import number, sheet, way, words
from explain.charts.kernel import Ellipse, Field, Part, blurred, field_of, inked_part, reached_part, roomy
from explain.charts.lettering import wrapped
from explain.charts.letters import Ink, ink_part, placed_rows, ring_points, rows_size
from explain.charts.style import ASCENT, LINE, THIN, WIDTH
from explain.story.drawings import SightDrawing, SightPicture

Rows = tuple[tuple[str, float], ...]

_TALLEST, _MARGIN, _EDGE, _GAP, _BETWEEN = 48.0, 18.0, 1.0, 6.0, 14.0
_WIDE = WIDTH - 2 * _EDGE
_FINEST, _COARSEST, _PIXELS_PER_BLUR = 1.0, 4.0, 12.0


def draw_sight(drawing: SightDrawing, salt: str) -> str:
    """Draw the sharp letters, then each eye's picture below, every one under its label."""
    scale = units_per_arcmin(drawing)
    content, down = [], 0.0
    rows = drawing.pictures[0].rows
    for label, picture in [(drawing.sharp_label, None), *((each.label, each) for each in drawing.pictures)]:
        lines = wrapped(label, WIDTH - 2 * _EDGE)
        content.append(words((_EDGE, down + ASCENT), lines, kind="label"))
        down += LINE * len(lines) + _GAP
        shown = rows if picture is None else picture.rows
        high = picture_height(shown, scale)
        content.append(_sharp(shown, scale, down, high) if picture is None else _blurred(picture, scale, down, high))
        down += high + _EDGE + _BETWEEN
    return sheet("sight", drawing.title, drawing.description, salt, down - _BETWEEN, content)


def units_per_arcmin(drawing: SightDrawing) -> float:
    """Scale of all pictures: the tallest letters readable, and the widest row inside the picture."""
    rows = [row for picture in drawing.pictures for row in picture.rows]
    tallest = max(height for _, height in rows)
    return min(_TALLEST / tallest, (_WIDE - 2 * _MARGIN) / rows_size(tuple(rows))[0])


def picture_height(rows: Rows, scale: float) -> float:
    """Height of a picture [whole units]."""
    return float(math.ceil(rows_size(rows)[1] * scale + 2 * _MARGIN))


@lru_cache(maxsize=16)
def _sharp(rows: Rows, scale: float, down: float, high: float) -> str:
    """Letters as shapes: as sharp as the screen or the printer. Kept, as most pages show the same ones."""
    letters = placed_rows(rows, WIDTH / 2, down + _MARGIN, scale)
    data = "".join(way(ring, closed=True) for letter in letters for ring in ring_points(letter))
    shapes = f'<path class="letters" transform="scale(.1)" d="{data}" fill="#000" fill-rule="evenodd"/>'
    return _paper(down, high, 'fill="#fff"') + shapes + _paper(down, high, 'fill="none"')


def _blurred(picture: SightPicture, scale: float, down: float, high: float) -> str:
    png = blurred_png(picture, scale, high)
    place = f'x="{number(_EDGE)}" y="{number(down)}" width="{number(_WIDE)}" height="{number(high)}"'
    image = f'<image {place} preserveAspectRatio="none" href="{data_address(png)}"/>'
    return image + _paper(down, high, 'fill="none"')


def blurred_png(picture: SightPicture, scale: float, high: float) -> bytes:
    """The picture as 16 greys; pixels are larger where blur leaves nothing fine to show."""
    pixel = min(max(picture.blur_short_arcmin * scale / _PIXELS_PER_BLUR, _FINEST), _COARSEST)
    wide_px, high_px = round(_WIDE / pixel), round(high / pixel)
    per_unit = wide_px / _WIDE
    to_px = scale * per_unit
    letters = _Letters(picture.rows, wide_px, high_px, _MARGIN * high_px / high, to_px)
    ellipse = Ellipse(picture.blur_long_arcmin * to_px, picture.blur_short_arcmin * to_px, picture.long_direction_deg)
    ink, inked = _sharp_picture(letters)
    field = _field(letters, roomy(ink.shape, ellipse))
    part = reached_part(inked, ellipse, (high_px, wide_px))
    rows, columns = (
        slice(reached.start - whole.start + at, reached.stop - whole.start + at)
        for reached, whole, at in zip(part, inked, field.ink_at, strict=True)
    )
    light = 1.0 - blurred(field, ellipse)[rows, columns]
    return png_bytes(light, (high_px, wide_px), (part[0].start, part[1].start))


class _Letters(NamedTuple):
    """Rows of letters on a sheet of pixels."""

    rows: Rows
    wide_px: int
    high_px: int
    margin_px: float
    px_per_arcmin: float


@lru_cache(maxsize=16)
def _sharp_picture(letters: _Letters) -> tuple[Ink, Part]:
    """All ink of the letters before it is blurred, and the part of the sheet that it takes. Not to be written to."""
    placed = placed_rows(letters.rows, letters.wide_px / 2, letters.margin_px, letters.px_per_arcmin)
    ink, corner = ink_part(placed)
    part = inked_part(ink)
    rows, columns = (slice(one.start + at, one.stop + at) for one, at in zip(part, corner, strict=True))
    return ink[part], (rows, columns)


@lru_cache(maxsize=16)
def _field(letters: _Letters, size: tuple[int, int]) -> Field:
    """The same ink, ready to be blurred. Kept, as both eyes mostly see the same letters, and many eyes at one scale."""
    return field_of(_sharp_picture(letters)[0], size)


def _paper(down: float, high: float, fill: str) -> str:
    place = f'x="{number(_EDGE)}" y="{number(down)}" width="{number(_WIDE)}" height="{number(high)}"'
    edge = "" if fill == 'fill="#fff"' else f' stroke="currentColor" stroke-width="{number(THIN)}"'
    return f"<rect {place} {fill}{edge}/>"
