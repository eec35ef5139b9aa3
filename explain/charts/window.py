"""Window chart: where the reading window lies in a lined bifocal lens, as its wearer sees it."""

from __future__ import annotations

from explain.charts.ink import Point, group, path, sheet, way
from explain.charts.lens_part import (
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
from explain.charts.placing import room_in
from explain.charts.style import FIRM, INK, PAPER, SOFT, STRONG, UNITS_PER_MM, WIDTH
from explain.story.drawings import WindowDrawing

_HATCH_STEP, _MARGIN, _BELOW = 18.0, 4.0, 8.0


def draw_window(drawing: WindowDrawing, salt: str) -> str:
    """Draw the lens with its window shaded, both parts named in place, and a ruler below.

    Raises ValueError for a lens that does not fit the sheet at the scale asked for.
    """
    ground = ground_for(drawing.outline, drawing.enlarged, sides_height(drawing.nose_word, drawing.outer_word))
    outline, window = ground.all(drawing.outline), ground.all(drawing.window)
    bottom = max(y for _, y in outline)
    names = _names([(label.lines, ground.at(label.at)) for label in drawing.labels], outline, window, bottom + _BELOW)
    down = max([bottom, *(named.box.bottom for named, _ in names)]) + _BELOW
    scale = ruler(drawing.enlarged, drawing.ruler_label)
    content = [
        sides(drawing.nose_side, drawing.nose_word, drawing.outer_word),
        _lens(outline, window, salt),
        names_text(names),
        group(scale.markup, down=down, extra=' class="ruler"'),
    ]
    true_size = f' width="{WIDTH / UNITS_PER_MM:.3f}mm"'
    return sheet("window", drawing.title, drawing.description, salt, down + scale.height, content, true_size)


def _lens(outline: list[Point], window: list[Point], salt: str) -> str:
    shape = way(window, closed=True)
    inside, within = clip("lens", salt, way(outline, closed=True))
    in_window, by_window = clip("window", salt, shape)
    xs, ys = zip(*window, strict=True)
    hatch = path(slanted((min(xs), min(ys)), (max(xs), max(ys)), _HATCH_STEP), STRONG, 1.2, kind="hatch")
    return (
        f"{inside}{in_window}"
        + path(way(outline, closed=True), fill=PAPER, kind="ground")
        + f"<g{within}>{path(shape, fill=SOFT, kind='window')}<g{by_window}>{hatch}</g>"
        + path(shape, STRONG, FIRM, kind="line")
        + "</g>"
        + path(way(outline, closed=True), INK, FIRM, kind="lens")
    )


def _names(labels: list[Label], outline: list[Point], window: list[Point], below: float) -> list[tuple[Named, bool]]:
    """Each label on its part, or under the lens with a leader where it finds no room."""
    names: list[tuple[Named, bool]] = []
    homeless: list[Label] = []
    line = min(y for _, y in window)
    above = room_in(outline, _MARGIN)
    rooms = above.between(above.top, line - 2), room_in(window, _MARGIN, outline)
    for lines, at in labels:
        named = placed_inside(shorter(lines), at, at, rooms[at[1] > line], [])
        if named is None:
            homeless.append((lines, at))
        else:
            names.append((named, False))
    return [*names, *((named, True) for named in placed_below(homeless, below))]
