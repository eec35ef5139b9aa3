"""Bench: one lens at true size as a workshop lays it out, on a sheet of its own width."""

from __future__ import annotations

import math

from explain.charts.ink import Point, circle, path, sheet, way, words
from explain.charts.lens_part import Ground
from explain.charts.style import DASH, FIRM, GRID, HAIR, INK, SOFT, STRONG, THIN, UNITS_PER_MM
from explain.story.bench_drawing import BenchDrawing

RULER_MM = 50
LETTER = 12.0
"""Height of a line of text [units]: 9 points on paper, enough for a figure at the bench."""
_SIDE_MM, _BEYOND_MM, _CROSS_MM, _MARK_MM, _DOT = 1.0, 2.0, 3.0, 1.0, 1.6
_OUTWARDS_MM = 4.0
"""How far beyond the edge a figure of thickness stands."""
_DOT_DASH = "14 4 2 4"


def draw_bench(drawing: BenchDrawing, salt: str) -> str:
    """Draw the lens in its blank over a line of 50 mm; a unit is a CSS pixel, and the sheet gives its size in mm."""
    (left, right), low, high = across_mm(drawing), -drawing.below_mm, drawing.above_mm
    wide = UNITS_PER_MM * max(right - left, RULER_MM + 2 * _SIDE_MM)
    top = LETTER + 6
    ground = Ground(UNITS_PER_MM, wide / 2 - UNITS_PER_MM * (left + right) / 2, top + UNITS_PER_MM * high)
    foot = ground.at((0.0, low))[1]
    tall = math.ceil(foot + 8 + 2 * LETTER)
    content = [
        f'<g font-size="{LETTER:.0f}">',
        _sides(drawing, wide),
        _lens(drawing, ground),
        _box(drawing, ground),
        _axis(drawing, ground),
        _cross(drawing, ground),
        _thickness(drawing, ground),
        _ruler(wide / 2, foot + 8),
        "</g>",
    ]
    size = f"{wide / UNITS_PER_MM:.3f}mm", f"{tall / UNITS_PER_MM:.3f}mm"
    true_size = f' width="{size[0]}" height="{size[1]}"'
    return sheet("bench", drawing.title, drawing.description, salt, tall, content, true_size, wide)


def across_mm(drawing: BenchDrawing) -> tuple[float, float]:
    """Ends of all that is drawn, sideways from the middle of the lens box [mm]."""
    xs = [x for x, _ in drawing.outline]
    half, more = (drawing.blank_mm or 0.0) / 2, 2 * _OUTWARDS_MM
    return min(min(xs) - more, drawing.cross[0] - half - _SIDE_MM), max(
        max(xs) + more, drawing.cross[0] + half + _SIDE_MM
    )


def _sides(drawing: BenchDrawing, wide: float) -> str:
    left, right = ("nose", "outer") if drawing.nose_side == "left" else ("outer", "nose")
    return words((2, LETTER), [left]) + words((wide - 2, LETTER), [right], "end")


def _lens(drawing: BenchDrawing, ground: Ground) -> str:
    blank = "" if drawing.blank_mm is None else _blank(drawing.cross, drawing.blank_mm / 2, ground)
    outline = path(way(ground.all(drawing.outline), closed=True), INK, FIRM, kind="lens")
    if not drawing.window:
        return blank + outline
    window = path(way(ground.all(drawing.window), closed=True), STRONG, THIN, fill=SOFT, kind="window")
    return blank + window + outline


def _blank(cross: Point, radius_mm: float, ground: Ground) -> str:
    turns = (2 * math.pi * at / 120 for at in range(120))
    ring = [(cross[0] + radius_mm * math.cos(turn), cross[1] + radius_mm * math.sin(turn)) for turn in turns]
    return path(way(ground.all(ring), closed=True), GRID, THIN, dash=DASH, kind="blank")


def _box(drawing: BenchDrawing, ground: Ground) -> str:
    """The lens box, its upright middle line, and the datum line a little beyond both sides."""
    xs, ys = zip(*drawing.outline, strict=True)
    corners = [(min(xs), min(ys)), (max(xs), min(ys)), (max(xs), max(ys)), (min(xs), max(ys))]
    level, upright = (min(ys) + max(ys)) / 2, (min(xs) + max(xs)) / 2
    datum = way(ground.all([(min(xs) - _BEYOND_MM, level), (max(xs) + _BEYOND_MM, level)]))
    middle = way(ground.all([(upright, min(ys) - _BEYOND_MM), (upright, max(ys) + _BEYOND_MM)]))
    box = path(way(ground.all(corners), closed=True), GRID, HAIR, kind="box")
    return box + path(datum, INK, HAIR, kind="datum") + path(middle, GRID, HAIR, kind="middle")


def _axis(drawing: BenchDrawing, ground: Ground) -> str:
    if drawing.axis_deg is None:
        return ""
    xs, _ = zip(*drawing.outline, strict=True)
    half = (drawing.blank_mm or max(xs) - min(xs)) / 2
    turn, (x, y) = math.radians(drawing.axis_deg), drawing.cross
    ends = [(x + s * half * math.cos(turn), y + s * half * math.sin(turn)) for s in (-1, 1)]
    return path(way(ground.all(ends)), STRONG, THIN, dash=_DOT_DASH, kind="axis")


def _cross(drawing: BenchDrawing, ground: Ground) -> str:
    x, y = drawing.cross
    level = way(ground.all([(x - _CROSS_MM, y), (x + _CROSS_MM, y)]))
    upright = way(ground.all([(x, y - _CROSS_MM), (x, y + _CROSS_MM)]))
    marks = "".join(
        circle(ground.at(mark.at), _MARK_MM * UNITS_PER_MM, "", INK if mark.is_inside else GRID, THIN, "mark")
        for mark in drawing.marks
    )
    return path(level + upright, INK, FIRM, kind="cross") + marks


def _thickness(drawing: BenchDrawing, ground: Ground) -> str:
    """A dot at each place, and its figure straight out from the middle of the box."""
    drawn = []
    for place in drawing.places:
        further = 1 + _OUTWARDS_MM / math.hypot(*place.at)
        x, y = ground.at((further * place.at[0], further * place.at[1]))
        drawn.append(circle(ground.at(place.at), _DOT, INK, kind="place"))
        drawn.append(words((x, y + LETTER / 3), [place.label], "middle", "thickness", halo=True))
    return "".join(drawn)


def _ruler(middle: float, down: float) -> str:
    start = middle - RULER_MM / 2 * UNITS_PER_MM
    line = way([(start, down), (start + RULER_MM * UNITS_PER_MM, down)])
    ticks = (start + step * UNITS_PER_MM for step in range(0, RULER_MM + 1, 10))
    marks = "".join(way([(x, down), (x, down + 5)]) for x in ticks)
    label = words((middle, down + 6 + LETTER), [f"{RULER_MM} mm"], "middle")
    return path(line + marks, INK, THIN, kind="ruler") + label
