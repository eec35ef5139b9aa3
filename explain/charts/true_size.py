"""True size: one lens as large as it is, seen from the front, over a line of 50 mm that tells whether it came out so.

The sheet is as narrow as the lens allows, so that a phone shows it without shrinking it.
"""

from __future__ import annotations

import math
from functools import lru_cache

from explain.charts.ink import Table, circle, path, sheet, strokes, table, way, words
from explain.charts.lens_part import Ground, clip
from explain.charts.spacing import Box
from explain.charts.style import ASCENT, DASH, FIRM, HAIR, INK, LINE, PAPER, SOFT, STRONG, THIN, UNITS_PER_MM
from explain.story.drawings import TrueSizeDrawing

RULER_MM = 50
PUPIL_MM = 4.0
"""Width of a pupil indoors as drawn (the eye's own differs; nothing is measured by it)."""
_SIDE, _CROSS, _GAP, _TICK = 3.0, 13.0, 6.0, 8.0


def draw_true_size(drawing: TrueSizeDrawing, salt: str) -> str:
    """Draw the lens with its cross, the place of the pupil, and its height above the lowest point; a ruler below.

    A unit is a CSS pixel, and the sheet's own width and height are given in mm, so that no style shrinks it.
    """
    outline = table(drawing.outline)
    (least_x, least_y), (most_x, most_y) = outline.min(axis=1).tolist(), outline.max(axis=1).tolist()
    room = max(most_x - least_x, RULER_MM) * UNITS_PER_MM
    wide, top = math.ceil(room + 2 * _SIDE), LINE + _GAP
    middle = (most_x + least_x) / 2
    ground = Ground(UNITS_PER_MM, wide / 2 - UNITS_PER_MM * middle, top + UNITS_PER_MM * most_y)
    (left, highest), (right, foot) = ground.at((least_x, most_y)), ground.at((most_x, least_y))
    content = [
        _sides(drawing, wide),
        _lens(drawing, outline, ground, salt),
        _height(drawing, ground, Box(left, highest, right, foot)),
        _centre(drawing, ground),
        _ruler(drawing.ruler_label, wide / 2, foot + 2 * _GAP),
    ]
    high = math.ceil(foot + 2 * _GAP + _TICK + LINE + _GAP)
    size = f"{wide / UNITS_PER_MM:.3f}mm", f"{high / UNITS_PER_MM:.3f}mm"
    true_size = f' width="{size[0]}" height="{size[1]}"'
    return sheet("true-size", drawing.title, drawing.description, salt, high, content, true_size, wide)


def _sides(drawing: TrueSizeDrawing, wide: float) -> str:
    pair = (drawing.nose_word, drawing.outer_word)
    left, right = pair if drawing.nose_side == "left" else pair[::-1]
    return words((_SIDE, ASCENT), [left]) + words((wide - _SIDE, ASCENT), [right], "end")


def _lens(drawing: TrueSizeDrawing, outline: Table, ground: Ground, salt: str) -> str:
    """The outline on paper of its own, and in it the window of a bifocal."""
    edge = way(ground.table(outline), closed=True)
    lens = path(edge, fill=PAPER, kind="ground")
    if drawing.window:
        inside, within = clip("lens", salt, edge)
        window = path(way(ground.all(drawing.window), closed=True), STRONG, FIRM, fill=SOFT, kind="window")
        lens += f"{inside}<g{within}>{window}</g>"
    return lens + path(edge, INK, FIRM, kind="lens")


def _height(drawing: TrueSizeDrawing, ground: Ground, lens: Box) -> str:
    """The upright through the cross: down to the lowest line with its length, or the whole lens where none is known."""
    x, y = ground.at(drawing.centre)
    if not drawing.height_label:
        return path(way([(x, lens.top), (x, lens.bottom)]), STRONG, THIN, dash=DASH, kind="upright")
    upright = path(way([(x, y), (x, lens.bottom)]), STRONG, THIN, dash=DASH, kind="upright")
    level = path(way([(lens.left, lens.bottom), (lens.right, lens.bottom)]), INK, HAIR, kind="foot")
    anchor, aside = ("end", -_GAP) if drawing.nose_side == "right" else ("start", _GAP)
    at = (x + aside, (y + lens.bottom) / 2 + ASCENT / 2)
    return upright + level + words(at, [drawing.height_label], anchor, halo=True)


def _centre(drawing: TrueSizeDrawing, ground: Ground) -> str:
    x, y = ground.at(drawing.centre)
    cross = strokes([((x - _CROSS, y), (x + _CROSS, y)), ((x, y - _CROSS), (x, y + _CROSS))])
    ring = circle((x, y), PUPIL_MM / 2 * UNITS_PER_MM, "", STRONG, FIRM, "pupil") if drawing.has_pupil else ""
    return path(cross, INK, FIRM, kind="cross") + ring


@lru_cache(maxsize=16)
def _ruler(label: str, middle: float, down: float) -> str:
    """A line of 50 mm with a tick each 10 mm, and its length under it. Kept, as it is the same for both lenses."""
    start = middle - RULER_MM / 2 * UNITS_PER_MM
    line = (start, down), (start + RULER_MM * UNITS_PER_MM, down)
    places = (start + step * UNITS_PER_MM for step in range(0, RULER_MM + 1, 10))
    ticks = (((x, down), (x, down + _TICK)) for x in places)
    return path(strokes([line, *ticks]), INK, THIN, kind="ruler") + words(
        (middle, down + _TICK + ASCENT), [label], "middle"
    )
