"""Section chart: lenses cut level, one below the other, at true size on paper, with a ruler line below."""

from __future__ import annotations

from bisect import bisect_left
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from explain.charts.frame import Frame, bare, broken_line, draw_frame
from explain.charts.ink import Table, group, path, sheet, strokes, way, words
from explain.charts.kept import kept
from explain.charts.lens_part import clip, slanted
from explain.charts.lettering import widest, wrapped
from explain.charts.spacing import Box, spread
from explain.charts.style import (
    ASCENT,
    FIRM,
    HAIR,
    INK,
    LIGHT,
    LINE,
    SOFT,
    STRONG,
    THIN,
    UNITS_PER_MM,
    WIDTH,
)
from explain.optics.lens import Section
from explain.story.drawings import SectionDrawing, SectionRow

if TYPE_CHECKING:
    from matplotlib.axes import Axes

RULER_MM = 50
_EDGE, _GAP, _ROW_GAP = 2.0, 8.0, 26.0
_HATCH_STEP = 9.0
_LABEL_ROOM = 112.0


class _Part(Struct, frozen=True):
    """A piece of the chart and how high it is."""

    markup: str
    height: float


def draw_section(drawing: SectionDrawing, salt: str) -> str:
    """Draw the cut lenses; the sheet is as many mm wide as its units are, so that paper shows them at true size."""
    frame = _ruler(drawing.ruler_label)
    middle = _middle_mm(drawing.rows)
    content, down, told = [], 0.0, ""
    for index, row in enumerate(drawing.rows):
        if row.nose_side != told:
            sides = _sides(drawing, row, frame, middle)
            content.append(group(sides.markup, down=down))
            down, told = down + sides.height, row.nose_side
        part = _row(row, frame, middle, f"{salt}-{index}")
        content.append(group(part.markup, down=down))
        down += part.height + _ROW_GAP
    content.append(group(frame.markup, down=down, extra=' class="ruler"'))
    true_size = f' width="{WIDTH / UNITS_PER_MM:.3f}mm"'
    return sheet("section", drawing.title, drawing.description, salt, down + frame.height, content, true_size)


def _middle_mm(rows: tuple[SectionRow, ...]) -> float:
    """Middle of all the cuts together [mm]: it is put in the middle of the sheet."""
    return (min(row.section.x_mm[0] for row in rows) + max(row.section.x_mm[-1] for row in rows)) / 2


@lru_cache(maxsize=32)
@kept
def _ruler(label: str) -> Frame:
    """A line of 50 mm with a tick each 10 mm and its label; its x axis counts mm from the middle of the sheet."""
    lines = wrapped(label, WIDTH - 2 * _EDGE)
    height = 40.0 + LINE * len(lines) + 6.0
    half = WIDTH / UNITS_PER_MM / 2
    start = -RULER_MM / 2

    def furnish(axes: Axes) -> None:
        bare(axes)
        y = -10.0 / UNITS_PER_MM
        ticks = [[(start + step, y), (start + step, y - 2)] for step in range(0, RULER_MM + 1, 10)]
        broken_line(axes, [[(start, y), (-start, y)], *ticks], LIGHT[INK], THIN)
        for step in range(0, RULER_MM + 1, 10):
            axes.text(start + step, -32.0 / UNITS_PER_MM, str(step), ha="center", va="baseline")

    sheet_mm, depths_mm = (-half, half), (-height / UNITS_PER_MM, 0.0)
    fixed_words = words((WIDTH / 2, 40.0 + ASCENT), lines, anchor="middle")
    return draw_frame(height, Box(0.0, 0.0, WIDTH, height), sheet_mm, depths_mm, furnish, fixed_words)


def _sides(drawing: SectionDrawing, row: SectionRow, frame: Frame, middle_mm: float) -> _Part:
    """The two small words over the ends of the lenses: which end is at the nose."""
    pair = (drawing.outer_word, drawing.nose_word)
    lines = [wrapped(word, WIDTH / 2 - _GAP) for word in (pair if row.nose_side == "right" else pair[::-1])]
    ends = [frame.x.at(x - middle_mm) for x in (row.section.x_mm[0], row.section.x_mm[-1])]
    places = spread(ends, [widest(part) for part in lines], _EDGE, WIDTH - _EDGE, _GAP)
    markup = "".join(words((x, ASCENT), part, anchor="middle") for x, part in zip(places, lines, strict=True))
    return _Part(markup, LINE * max(len(part) for part in lines) + _GAP)


def _row(row: SectionRow, frame: Frame, middle_mm: float, salt: str) -> _Part:
    """One lens: its label, the cut, and three thicknesses under it."""
    heading = wrapped(row.label, WIDTH - 2 * _EDGE, bold=row.is_chosen)
    highest = -min(row.section.front_mm) * UNITS_PER_MM
    top = LINE * len(heading) + _GAP + highest
    front, back = _faces(row.section, frame, middle_mm, top)
    lowest = float(back[1].max())
    below = _thicknesses(row, front, back, lowest + _GAP, frame.x.at(-middle_mm))
    above = words((_EDGE, ASCENT), heading, bold=row.is_chosen)
    lens = _lens(front, back, salt, is_chosen=row.is_chosen)
    return _Part(above + lens + below.markup, lowest + _GAP + below.height)


def _faces(section: Section, frame: Frame, middle_mm: float, top: float) -> tuple[Table, Table]:
    """Front and back face as points of the drawing; `top` is where depth 0 lies, depth runs down."""
    faces = np.empty((2, 2, len(section.x_mm)))
    faces[:, 0] = frame.x.offset + frame.x.per_unit * (np.array(section.x_mm) - middle_mm)
    faces[:, 1] = top - frame.y.per_unit * np.array((section.front_mm, section.back_mm))
    return faces[0], faces[1]


def _lens(front: Table, back: Table, salt: str, *, is_chosen: bool) -> str:
    outline = way(np.concatenate((front, back[:, ::-1]), axis=1), closed=True)
    if not is_chosen:
        return path(outline, stroke=INK, width=THIN, fill=SOFT, kind="lens")
    return path(outline, stroke=STRONG, width=FIRM, fill=SOFT, kind="lens") + _hatch(front, back, outline, salt)


def _hatch(front: Table, back: Table, outline: str, salt: str) -> str:
    """Slanted lines inside the outline, clipped to it."""
    inside, within = clip("clip", salt, outline)
    upper_left, lower_right = (float(front[0, 0]), float(front[1].min())), (float(front[0, -1]), float(back[1].max()))
    return f"{inside}<g{within}>{path(slanted(upper_left, lower_right, _HATCH_STEP), STRONG, 1.2, kind='hatch')}</g>"


def _thicknesses(row: SectionRow, front: Table, back: Table, top: float, reference: float) -> _Part:
    """Three labels in a line under the lens, each with a thin line up to where it is measured."""
    ends = (row.outer_label, row.nose_label) if row.nose_side == "right" else (row.nose_label, row.outer_label)
    labels = [wrapped(text, _LABEL_ROOM) for text in (ends[0], row.middle_label, ends[1])]
    (xs, over), under = front.tolist(), back[1].tolist()
    measured = [xs[0], reference, xs[-1]]
    upper, lower = _height_at(xs, over, reference), _height_at(xs, under, reference)
    starts = [under[0], lower, under[-1]]
    places = spread(measured, [widest(lines) for lines in labels], _EDGE, WIDTH - _EDGE, _GAP)
    leaders = (((x, y + 2), (x, top)) for x, y in zip(measured, starts, strict=True))
    markup = path(strokes(leaders), INK, HAIR, kind="leader")
    markup += path(way([(reference, upper), (reference, lower)]), INK, THIN, dash="3 3", kind="leader")
    for place, lines in zip(places, labels, strict=True):
        markup += words((place, top + ASCENT + 1), lines, anchor="middle", kind="thickness")
    return _Part(markup, LINE * max(len(lines) for lines in labels))


def _height_at(xs: list[float], ys: list[float], x: float) -> float:
    """Height of a face in the drawing at x, straight between its points from left to right."""
    at = bisect_left(xs, x, 1) - 1
    if x < xs[0] or x > xs[-1]:
        return ys[-1]
    x0, x1, y0, y1 = xs[at], xs[at + 1], ys[at], ys[at + 1]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0) if x1 > x0 else y0
