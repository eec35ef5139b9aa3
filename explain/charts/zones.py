"""Zones chart: where far, arm's length and near lie in a progressive lens, as its wearer sees it.

Clean: clear by the general law. Hatched: soft by it. Broken lines: the law sets no limit there.
"""

from __future__ import annotations

from collections.abc import Sequence

from explain.charts.ink import Point, circle, group, path, sheet, way
from explain.charts.lens_part import (
    Ground,
    Label,
    Named,
    clip,
    ground_for,
    names_text,
    placed_below,
    placed_inside,
    ruler,
    shorter,
    sides,
    sides_height,
    slanted,
)
from explain.charts.placing import Room, room_in
from explain.charts.spacing import Box
from explain.charts.style import DASH, FIRM, GRID, INK, PAPER, SOFT, STRONG, THIN, UNITS_PER_MM, WIDTH
from explain.story.drawings import ZoneLabel, ZonesDrawing

_HATCH_STEP, _CROSS, _MARK, _BESIDE = 9.0, 8.0, 4.5, 6.0
_MARGIN, _BELOW, _DEEPEST = 5.0, 8.0, 1000.0
_ABOVE_STRIP, _BESIDE_STRIP, _BELOW_STRIP = 0, 1, 2


def draw_zones(drawing: ZonesDrawing, salt: str) -> str:
    """Draw the lens with its parts named in place, the fitting cross, the engraved marks and a ruler below.

    Raises ValueError for a lens that does not fit the sheet at the scale asked for.
    """
    ground = ground_for(drawing.outline, drawing.enlarged, sides_height(drawing.nose_word, drawing.outer_word))
    outline = ground.all(drawing.outline)
    bottom = max(y for _, y in outline)
    names, outside = _names(drawing, ground, outline, bottom + _BELOW)
    down = max([bottom, *(named.box.bottom for named in outside)]) + _BELOW
    scale = ruler(drawing.enlarged, drawing.ruler_label)
    content = [
        sides(drawing.nose_side, drawing.nose_word, drawing.outer_word),
        _lens(drawing, ground, outline, salt),
        _points(drawing, ground),
        names_text(names),
        group(scale.markup, down=down, extra=' class="ruler"'),
    ]
    true_size = f' width="{WIDTH / UNITS_PER_MM:.3f}mm"'
    return sheet("zones", drawing.title, drawing.description, salt, down + scale.height, content, true_size)


def _lens(drawing: ZonesDrawing, ground: Ground, outline: list[Point], salt: str) -> str:
    """The outline; its sides hatched beside the clear stretch, and with broken lines below it."""
    left, right = ground.all(drawing.left_wall), ground.all(drawing.right_wall)
    xs, ys = zip(*outline, strict=True)
    low, high = (min(xs) - 1, min(ys) - 1), (max(xs) + 1, max(ys) + 1)
    end = left[-1][1]
    beside = _beside(left, right, low[0], high[0])
    below = _beside([left[-1], (left[-1][0], high[1])], [right[-1], (right[-1][0], high[1])], low[0], high[0])
    inside, within = clip("lens", salt, way(outline, closed=True))
    in_sides, by_sides = clip("sides", salt, beside)
    in_below, by_below = clip("below", salt, below)
    soft = path(beside, fill=SOFT, kind="soft")
    hatch = path(slanted((low[0], left[0][1]), (high[0], end), _HATCH_STEP), STRONG, 1.2, kind="hatch")
    broken = path(slanted((low[0], end), high, 2 * _HATCH_STEP), GRID, 1.2, dash="4 6", kind="hatch")
    walls = path(way(left) + way(right), STRONG, THIN, kind="wall")
    levels = path(
        way([(low[0], left[0][1]), left[0]])
        + way([right[0], (high[0], left[0][1])])
        + way([(low[0], end), (high[0], end)]),
        STRONG,
        THIN,
        dash=DASH,
        kind="level",
    )
    shaded = f"{soft}<g{by_sides}>{hatch}</g><g{by_below}>{broken}</g>{levels}{walls}"
    return (
        f"{inside}{in_sides}{in_below}"
        + path(way(outline, closed=True), fill=PAPER, kind="ground")
        + f"<g{within}>{shaded}</g>"
        + path(way(outline, closed=True), INK, FIRM, kind="lens")
    )


def _beside(left: Sequence[Point], right: Sequence[Point], low: float, high: float) -> str:
    """Path data of all that lies beside two walls, out to `low` and `high`."""
    one = [(low, left[0][1]), *left, (low, left[-1][1])]
    other = [(high, right[0][1]), *right, (high, right[-1][1])]
    return way(one, closed=True) + way(other, closed=True)


def _points(drawing: ZonesDrawing, ground: Ground) -> str:
    """The fitting cross and the two engraved marks."""
    x, y = ground.at((0.0, 0.0))
    cross = way([(x - _CROSS, y), (x + _CROSS, y)]) + way([(x, y - _CROSS), (x, y + _CROSS)])
    marks = "".join(
        circle(ground.at(mark), _MARK, PAPER, stroke=INK, width=FIRM, kind="engraved") for mark in drawing.marks
    )
    return path(cross, INK, FIRM, kind="cross") + marks


def _names(
    drawing: ZonesDrawing, ground: Ground, outline: list[Point], below: float
) -> tuple[list[tuple[Named, bool]], list[Named]]:
    """Every label with whether it needs a leader, and those that had to go under the lens."""
    bands = _bands(drawing, ground, room_in(outline, _MARGIN))
    taken = _taken(drawing, ground)
    names: list[tuple[Named, bool]] = []
    homeless: list[Label] = []
    for label in drawing.labels:
        at = ground.at(label.at)
        part = _part_of(drawing, label)
        room = None if part == _BELOW_STRIP and _leads_past(homeless, at) else bands[part]
        options = [label.lines] if part == _BESIDE_STRIP else shorter(label.lines)
        named = placed_inside(options, at, at, room, taken) if room else None
        if named is None:
            homeless.append((label.lines, at))
        else:
            taken = [*taken, named.box]
            names.append((named, part == _BESIDE_STRIP))
    outside = placed_below(homeless, below)
    return [*names, *((named, True) for named in outside)], outside


def _leads_past(homeless: Sequence[Label], at: Point) -> bool:
    """Tell whether a line will run down past a place, from what lies above it to its name under the lens."""
    return any(y < at[1] for _, (_, y) in homeless)


def _part_of(drawing: ZonesDrawing, label: ZoneLabel) -> int:
    if label.at[1] >= drawing.left_wall[0][1]:
        return _ABOVE_STRIP
    return _BESIDE_STRIP if label.at[1] > drawing.left_wall[-1][1] else _BELOW_STRIP


def _bands(drawing: ZonesDrawing, ground: Ground, room: Room) -> tuple[Room, Room, Room]:
    """Room above the strip, beside it and below it, its level ends left clear."""
    start, end = ground.at(drawing.left_wall[0])[1], ground.at(drawing.left_wall[-1])[1]
    far = room.between(room.top, start - 2)
    return far, room.between(start + 2, end - 2), room.between(end + 2, end + _DEEPEST)


def _taken(drawing: ZonesDrawing, ground: Ground) -> list[Box]:
    """What words must keep clear of: the cross, the marks and the clear strip."""
    left, right = ground.all(drawing.left_wall), ground.all(drawing.right_wall)
    points = [(ground.at((0.0, 0.0)), _CROSS), *((ground.at(mark), _MARK + FIRM) for mark in drawing.marks)]
    boxes = [Box(x - half, y - half, x + half, y + half) for (x, y), half in points]
    strip = Box(min(x for x, _ in left) - _BESIDE, left[0][1], max(x for x, _ in right) + _BESIDE, left[-1][1])
    return [*boxes, strip]
