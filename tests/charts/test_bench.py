"""The bench drawing: everything at its true place and size, counted from the middle of the lens box."""

from __future__ import annotations

import re

import pytest

from explain.charts.bench import across_mm, draw_bench
from explain.language import speaking
from explain.story.bench import WIDEST_DRAWN_MM, bench_drawing
from explain.story.pair import eyes_of
from tests.charts.reading import SVG, lines_of_text, root_of, shapes
from tests.story.invented import pair_in

PROGRESSIVE = {
    "lenses": {"design": "progressive"},
    "prescription": {"right": "-4.00 -1.00 x 30", "add": "2.00", "heights": "20 / 22", "pd": "31 / 33"},
}
MM = 25.4 / 96


@pytest.fixture
def drawings(tmp_path):
    """Both lenses of a progressive pair, by side."""
    pair = pair_in(tmp_path, **PROGRESSIVE)
    with speaking("en_US"):
        return {
            eye.side: (eye, bench_drawing(pair, eye), draw_bench(bench_drawing(pair, eye), "a")) for eye in pair.eyes
        }


def middle_of(svg):
    """The middle of the lens box on the sheet: where the datum line and the upright middle line cross [units]."""
    (datum,), (upright,) = shapes(svg, "datum"), shapes(svg, "middle")
    return upright.points[0][0], datum.points[0][1]


def in_mm(point, svg):
    x, y = middle_of(svg)
    return (point[0] - x) * MM, (y - point[1]) * MM


@pytest.mark.parametrize("side", ["right", "left"])
def test_the_sheet_is_as_large_in_mm_as_its_units_say(drawings, side):
    root = root_of(drawings[side][2])
    wide, tall = (float(part) for part in root.get("viewBox").split()[2:])

    given = [float(re.fullmatch("([0-9.]+)mm", root.get(name))[1]) for name in ("width", "height")]
    assert given == pytest.approx([wide * MM, tall * MM], abs=0.02)


@pytest.mark.parametrize("side", ["right", "left"])
def test_outline_and_cross_lie_where_the_order_puts_them(drawings, side):
    eye, _, svg = drawings[side]
    (lens,), (cross,) = shapes(svg, "lens"), shapes(svg, "cross")
    level, upright = cross.pieces

    xs, ys = zip(*(in_mm(point, svg) for point in lens.points), strict=True)
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((50, 38), abs=0.1)
    assert in_mm((upright[0][0], level[0][1]), svg) == pytest.approx(eye.reference_point, abs=0.1)
    assert eye.reference_point == pytest.approx({"right": (3.0, 1.0), "left": (-1.0, 3.0)}[side])


@pytest.mark.parametrize("side", ["right", "left"])
def test_the_blank_lies_about_the_cross_and_holds_the_outline(drawings, side):
    eye, _, svg = drawings[side]
    (blank,) = shapes(svg, "blank")
    points = [in_mm(point, svg) for point in blank.points]
    x, y = eye.reference_point

    assert [((a - x) ** 2 + (b - y) ** 2) ** 0.5 for a, b in points] == pytest.approx(
        [eye.smallest_blank_mm / 2] * len(points), abs=0.15
    )


def test_the_engraved_marks_are_34_mm_apart_and_4_mm_below_the_cross(drawings):
    eye, _, svg = drawings["right"]
    rings = [ring for ring in root_of(svg).iter(f"{SVG}circle") if ring.get("class") == "mark"]
    (x0, y0), (x1, y1) = (in_mm((float(ring.get("cx")), float(ring.get("cy"))), svg) for ring in rings)

    assert abs(x1 - x0) == pytest.approx(34, abs=0.1)
    assert (y0, y1) == pytest.approx((eye.reference_point[1] - 4,) * 2, abs=0.1)


def test_the_axis_leans_as_the_cylinder_does_counter_clockwise_from_the_viewer_s_right(drawings):
    _, drawing, svg = drawings["right"]
    (axis,) = shapes(svg, "axis")
    (x0, y0), (x1, y1) = axis.points

    assert drawing.axis_deg == 30
    assert -(y1 - y0) / (x1 - x0) == pytest.approx(0.5774, abs=0.002)
    assert shapes(drawings["left"][2], "axis") == []


def test_one_datum_line_runs_through_both_lenses(drawings):
    assert middle_of(drawings["right"][2])[1] == middle_of(drawings["left"][2])[1]


def test_eight_figures_of_thickness_stand_at_the_edge(drawings):
    _, drawing, svg = drawings["right"]
    told = [word.text for word in lines_of_text(svg) if word.kind == "thickness"]

    assert told == [place.label for place in drawing.places]
    assert len(told) == 8


@pytest.mark.parametrize(
    "frame", [{"size": "72-20-140", "depth": "60", "outline": "square"}, {"size": "30-14", "depth": "22"}]
)
def test_the_widest_and_the_narrowest_lens_fit_side_by_side_on_a_sheet(tmp_path, frame):
    pair = pair_in(tmp_path, frame=frame, prescription={"pd": "25 / 25", "right": "-1.00 DS", "left": "-1.00 DS"})
    drawn = [bench_drawing(pair, eye) for eye in eyes_of(pair.order)]

    assert all(right - left <= WIDEST_DRAWN_MM + 2 for left, right in map(across_mm, drawn))
    assert all(f"{50} mm" in [word.text for word in lines_of_text(draw_bench(one, "a"))] for one in drawn)
