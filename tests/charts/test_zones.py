"""The charts of lenses seen through: scale, parts where they belong, words that cover nothing they name."""

import math

import pytest
from msgspec.structs import replace

from explain.charts import draw
from explain.charts.spacing import Box
from explain.charts.style import UNITS_PER_MM, WIDTH
from explain.story.drawings import ZoneLabel
from tests.charts.lens_samples import LENSES, WINDOWS, ZONES
from tests.charts.reading import SVG, lines_of_text, root_of, shapes

every_lens = pytest.mark.parametrize("drawing", LENSES.values(), ids=LENSES.keys())
every_zones = pytest.mark.parametrize("drawing", ZONES.values(), ids=ZONES.keys())
every_window = pytest.mark.parametrize("drawing", WINDOWS.values(), ids=WINDOWS.keys())


def one(svg, kind):
    (shape,) = shapes(svg, kind)
    return shape


def extent(points):
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def to_mm(drawing, svg):
    """Undo the drawing with its own outline: from units to mm of the lens."""
    drawn, given = extent(one(svg, "lens").points), extent(drawing.outline)
    per_mm = (drawn.right - drawn.left) / (given.right - given.left)
    return lambda point: (given.left + (point[0] - drawn.left) / per_mm, given.bottom - (point[1] - drawn.top) / per_mm)


def centres(svg, kind):
    circles = [element for element in root_of(svg).iter(f"{SVG}circle") if element.get("class") == kind]
    return [(float(element.get("cx")), float(element.get("cy"))) for element in circles]


def papers(svg):
    return [extent(shape.points) for shape in shapes(svg, "paper")]


@every_lens
def test_the_lens_is_as_much_larger_than_life_as_it_says(drawing):
    svg = draw(drawing, "a")
    drawn, given = extent(one(svg, "lens").points), extent(drawing.outline)

    for side, size in (
        (drawn.right - drawn.left, given.right - given.left),
        (drawn.bottom - drawn.top, given.bottom - given.top),
    ):
        assert side == pytest.approx(size * drawing.enlarged * UNITS_PER_MM, abs=0.2)
    wide = float(root_of(svg).get("width").removesuffix("mm"))
    assert wide == pytest.approx(WIDTH / UNITS_PER_MM, abs=0.001)


@every_lens
def test_the_ruler_has_the_scale_of_the_lens(drawing):
    pieces = [piece for shape in shapes(draw(drawing, "a"), "fixed") for piece in shape.pieces]
    level = [piece for piece in pieces if len(piece) == 2 and piece[0][1] == piece[1][1]]

    assert len(level) == 1
    assert level[0][1][0] - level[0][0][0] == pytest.approx(20 * drawing.enlarged * UNITS_PER_MM, abs=0.2)


@every_lens
def test_the_nose_is_named_on_its_own_side(drawing):
    words = {word.text: word.box for word in lines_of_text(draw(drawing, "a"))}

    assert (words["nose"].left < words["ear"].left) == (drawing.nose_side == "left")


@every_zones
def test_the_walls_of_the_strip_are_drawn_where_they_belong(drawing):
    svg = draw(drawing, "a")
    place = to_mm(drawing, svg)

    for drawn, given in zip(one(svg, "wall").pieces, (drawing.left_wall, drawing.right_wall), strict=True):
        assert [place(point) for point in drawn] == [pytest.approx(point, abs=0.05) for point in given]


@every_zones
def test_what_is_shaded_begins_at_the_walls(drawing):
    svg = draw(drawing, "a")
    left, right = one(svg, "soft").pieces
    walls = one(svg, "wall").pieces

    assert set(walls[0]) <= set(left)
    assert set(walls[1]) <= set(right)
    assert max(x for x, _ in left) <= max(x for x, _ in walls[0])
    assert min(x for x, _ in right) >= min(x for x, _ in walls[1])


@every_zones
def test_the_cross_and_the_marks_are_drawn_where_they_belong(drawing):
    svg = draw(drawing, "a")
    place = to_mm(drawing, svg)
    cross = extent(one(svg, "cross").points)

    middle = (cross.left + cross.right) / 2, (cross.top + cross.bottom) / 2

    assert place(middle) == pytest.approx((0.0, 0.0), abs=0.05)
    assert [place(mark) for mark in centres(svg, "engraved")] == [
        pytest.approx(mark, abs=0.05) for mark in drawing.marks
    ]


@every_zones
def test_hatching_by_law_and_where_the_law_is_silent_are_told_apart_without_colour(drawing):
    by_law, silent = shapes(draw(drawing, "a"), "hatch")

    assert "stroke-dasharray" not in by_law.given
    assert "stroke-dasharray" in silent.given


@every_zones
def test_words_cover_neither_cross_nor_marks_nor_the_clear_strip(drawing):
    svg = draw(drawing, "a")
    walls = one(svg, "wall").pieces
    strip = [extent([a, b]) for a, b in zip(walls[0], walls[1], strict=True)]
    kept_clear = [extent(one(svg, "cross").points), *strip]
    kept_clear += [Box(x - 4.5, y - 4.5, x + 4.5, y + 4.5) for x, y in centres(svg, "engraved")]

    assert not [paper for paper in papers(svg) for box in kept_clear if paper.meets(box)]


@every_zones
def test_only_far_is_named_above_the_strip(drawing):
    svg = draw(drawing, "a")
    start = one(svg, "wall").points[0][1]
    above = {word.text for word in lines_of_text(svg) if word.kind == "label" and word.box.bottom < start}

    assert above <= {"Far", "from 6 m (20 ft)", "Far from 6 m (20 ft)"}
    assert above or drawing is ZONES["zones without room"]


@every_zones
def test_a_name_beside_what_it_names_leads_to_it(drawing):
    svg = draw(drawing, "a")
    place = to_mm(drawing, svg)
    ends = [place(leader.points[-1]) for leader in shapes(svg, "leader")]
    arm = drawing.labels[1]

    assert any(end == pytest.approx(arm.at, abs=0.05) for end in ends)
    for end in ends:
        assert any(end == pytest.approx(label.at, abs=0.05) for label in drawing.labels)


@every_lens
def test_a_name_without_a_leader_stands_on_its_part_inside_the_lens(drawing):
    svg = draw(drawing, "a")
    lens = extent(one(svg, "lens").points)
    starts = [leader.points[0] for leader in shapes(svg, "leader")]
    led = [paper for paper in papers(svg) if any(Box(*at, *at).meets(paper, 0.2) for at in starts)]

    for paper in (paper for paper in papers(svg) if paper not in led):
        assert lens.left < paper.left < paper.right < lens.right
        assert lens.top < paper.top < paper.bottom < lens.bottom


@every_lens
def test_no_line_to_a_part_runs_through_words(drawing):
    svg = draw(drawing, "a")
    if drawing is ZONES["zones without room"]:
        return  # three names under a lens smaller than any made: there the words cover the line
    words = [word for word in lines_of_text(svg) if word.kind == "label"]
    for leader in shapes(svg, "leader"):
        (x0, y0), (x1, y1) = leader.points
        places = [(x0 + (x1 - x0) * part / 20, y0 + (y1 - y0) * part / 20) for part in range(1, 20)]
        assert not [word.text for word in words for x, y in places if Box(x, y, x, y).meets(word.box)]


@every_window
def test_the_window_is_drawn_where_it_belongs(drawing):
    svg = draw(drawing, "a")
    place = to_mm(drawing, svg)

    drawn = [place(point) for point in one(svg, "window").points]

    assert drawn == [pytest.approx(point, abs=0.05) for point in drawing.window]


@every_window
def test_far_is_named_above_the_line_and_near_below_it(drawing):
    svg = draw(drawing, "a")
    line = min(y for _, y in one(svg, "window").points)
    far, near = (
        [word.box for word in lines_of_text(svg) if word.kind == "label" and word.text.startswith(name)]
        for name in ("Far", "Near")
    )

    assert all(box.bottom < line for box in far)
    assert all(box.top > line for box in near)
    assert far
    assert near


def test_a_name_with_no_room_goes_under_the_lens_with_a_leader():
    drawing = WINDOWS["window in a shallow frame"]
    svg = draw(drawing, "a")
    lens = extent(one(svg, "lens").points)

    (near,) = [word.box for word in lines_of_text(svg) if word.text == "Near"]

    assert near.top > lens.bottom
    assert len(shapes(svg, "leader")) == 1


def test_a_lens_too_wide_for_the_sheet_is_refused():
    with pytest.raises(ValueError, match="does not fit"):
        draw(replace(ZONES["zones"], enlarged=2.0), "a")


def test_names_that_all_find_no_room_stand_in_rows_and_meet_nowhere():
    long = tuple(
        ZoneLabel(("A name that is much too long for this lens",), label.at) for label in ZONES["zones"].labels
    )
    svg = draw(replace(ZONES["zones"], labels=long), "a")
    boxes = papers(svg)

    assert len(boxes) == 3
    assert not [1 for i, a in enumerate(boxes) for b in boxes[i + 1 :] if a.meets(b)]
    assert all(math.isfinite(box.right) for box in boxes)
