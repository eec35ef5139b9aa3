"""The sketch of a progressive lens: against print, against the surface it comes from, and by law."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.convergence import near_pd_mm
from explain.optics.outline import mirrored_outline, shape_outline
from explain.optics.progression import BELOW_THE_CORRIDOR_MM, approximate_progression_sag_mm, corridor_mm
from explain.optics.progressive import (
    CLEAR_CYLINDER_DPT,
    MARKS_APART_MM,
    ProgressiveLens,
    added_dpt,
    added_prism_dpt,
    approximate_reach_cm,
    clear_span,
    corridor_half_width_mm,
    cylinder_rate_dpt_per_mm,
    down_for_distance_mm,
    engraved_marks_mm,
    eye_turn_deg,
    has_little_reading_part,
    is_cut_short,
    is_inside,
    level_span_mm,
    looked_at_cm,
    middle_mm,
    most_added_dpt,
    own_focus_dpt,
    power_rate_dpt_per_mm,
    progressive_lens,
    reading_cm,
    reading_part_mm,
    sharp_range_cm,
)
from tests.published.reader import examples, ours

INDEX = 1.60
ADDS = st.sampled_from([0.75 + 0.25 * step for step in range(12)])


def lens(add_dpt=2.25, height_mm=20.0, depth_mm=38.0, width_mm=52.0, shape="rounded", side="right", inset_mm=4.0):
    right = shape_outline(shape, width_mm, depth_mm)
    nose = 1 if side == "right" else -1
    outline = right if side == "right" else mirrored_outline(right)
    return progressive_lens(outline, (nose * inset_mm, height_mm - depth_mm / 2), nose, 31.0, add_dpt, height_mm)


def box(half_width_mm, above_mm, below_mm, add_dpt=2.0, length_mm=14.0):
    corners = (
        (-half_width_mm, -below_mm),
        (half_width_mm, -below_mm),
        (half_width_mm, above_mm),
        (-half_width_mm, above_mm),
    )
    return ProgressiveLens(corners, 1, 31.0, add_dpt, length_mm)


@pytest.mark.parametrize("example", examples("corridor"))
def test_corridor_agrees_with_the_printed_answer(example):
    assert example["given"]["near_zone_mm"] == BELOW_THE_CORRIDOR_MM

    answer = corridor_mm(example["given"]["fitting_height_mm"])
    assert answer == pytest.approx(example["printed"]["corridor_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("minkwitz"))
def test_the_rate_of_unwanted_cylinder_agrees_with_the_printed_answer(example):
    answer = cylinder_rate_dpt_per_mm(example["given"]["power_rate_dpt_per_mm"])

    assert answer == pytest.approx(example["printed"]["cylinder_rate_dpt_per_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", ours("minkwitz"))
def test_corridor_width_agrees_with_a_separate_program(example):
    add, length = example["given"]["add_dpt"], example["given"]["corridor_mm"]
    rate = power_rate_dpt_per_mm(add, length)

    found = (rate, cylinder_rate_dpt_per_mm(rate), corridor_half_width_mm(add, length))

    assert found == pytest.approx(tuple(example["expected"].values()), abs=example["tolerance"])


@given(ADDS, st.floats(10, 14))
def test_at_the_edge_of_the_clear_strip_the_surface_itself_has_half_a_dioptre_of_cylinder(add_dpt, length_mm):
    """The surface of explain.optics.progression, bent twice by small steps."""
    x, y, step = corridor_half_width_mm(add_dpt, length_mm), -length_mm / 2, 0.01

    def sag(across, up):
        at = np.array([x + across * step]), np.array([y + up * step])
        return float(approximate_progression_sag_mm(*at, add_dpt, length_mm, INDEX)[0])

    level = sag(1, 0) - 2 * sag(0, 0) + sag(-1, 0)
    upright = sag(0, 1) - 2 * sag(0, 0) + sag(0, -1)
    twist = (sag(1, 1) - sag(1, -1) - sag(-1, 1) + sag(-1, -1)) / 4
    cylinder = math.hypot(level - upright, 2 * twist) / step**2 * 1000 * (INDEX - 1)

    assert cylinder == pytest.approx(CLEAR_CYLINDER_DPT, abs=0.01)


@pytest.mark.parametrize("down_mm", [3.0, 10.0, 14.0, 18.0])
def test_prism_of_the_added_power_is_the_slope_of_the_surface(down_mm):
    made, step = lens(), 0.001

    def sag(down):
        at = np.array([0.0]), np.array([-down])
        return float(approximate_progression_sag_mm(*at, made.add_dpt, made.corridor_mm, INDEX)[0])

    slope = (sag(down_mm + step) - sag(down_mm - step)) / (2 * step)

    assert added_prism_dpt(made, down_mm) == pytest.approx(100 * (INDEX - 1) * slope, rel=1e-4)


@given(ADDS, st.floats(10, 14))
def test_a_stronger_add_or_a_shorter_corridor_makes_the_strip_narrower(add_dpt, length_mm):
    width = corridor_half_width_mm(add_dpt, length_mm)

    assert corridor_half_width_mm(add_dpt + 0.25, length_mm) < width
    assert corridor_half_width_mm(add_dpt, length_mm - 1) < width


@pytest.mark.parametrize(("height_mm", "corridor"), [(6, 10), (14, 10), (14.5, 10.5), (18, 14), (30, 14)])
def test_the_corridor_is_four_shorter_than_the_height_but_no_usual_design_is_shorter_than_ten(height_mm, corridor):
    assert corridor_mm(height_mm) == corridor


@pytest.mark.parametrize("add_dpt", [0.75, 2.0, 2.5, 3.5])
def test_full_reading_power_is_sharp_at_the_reading_distance(add_dpt):
    made = lens(add_dpt)
    nearest, furthest = sharp_range_cm(made, made.corridor_mm)

    assert nearest == pytest.approx(reading_cm(add_dpt)) == pytest.approx(looked_at_cm(made, made.corridor_mm))
    assert furthest == pytest.approx(100 / add_dpt)


@pytest.mark.parametrize(("add_dpt", "own"), [(0.75, 1.75), (2.25, 0.25), (2.5, 0.0), (3.5, 0.0)])
def test_the_eye_keeps_the_focus_that_the_add_does_not_replace_at_forty_centimetres(add_dpt, own):
    assert own_focus_dpt(add_dpt) == own


@given(ADDS, st.floats(0, 20))
def test_what_is_looked_at_lies_within_what_is_sharp(add_dpt, down_mm):
    made = lens(add_dpt)
    nearest, furthest = sharp_range_cm(made, down_mm)

    assert nearest * (1 - 1e-9) <= looked_at_cm(made, down_mm) <= furthest * (1 + 1e-9)


def test_far_is_sharp_at_the_cross_and_above():
    for down in (0.0, -5.0):
        assert sharp_range_cm(lens(), down)[1] == math.inf
        assert added_dpt(lens(), down) == 0


@given(ADDS, st.floats(45, 400))
def test_a_distance_is_looked_at_through_the_height_it_was_found_at(add_dpt, distance_cm):
    made = lens(add_dpt)

    assert looked_at_cm(made, down_for_distance_mm(made, distance_cm)) == pytest.approx(distance_cm)


def test_a_distance_nearer_than_reading_is_looked_at_through_full_power():
    assert down_for_distance_mm(lens(), 20.0) == 14.0


@pytest.mark.parametrize(("side", "nose"), [("right", 1), ("left", -1)])
def test_the_middle_line_leans_to_the_nose_by_as_much_as_the_eye_turns_in(side, nose):
    made = lens(side=side)

    assert middle_mm(made, 0.0) == 0
    assert middle_mm(made, 14.0) == pytest.approx(nose * (31.0 - near_pd_mm(31.0, 40.0)))
    assert middle_mm(made, 20.0) == middle_mm(made, 14.0)


def test_a_left_lens_is_the_mirror_of_a_right_one():
    right, left = lens(side="right"), lens(side="left")

    assert left.bottom_mm == pytest.approx(right.bottom_mm)
    for down in (-5.0, 0.0, 7.0, 16.0):
        one, other = clear_span(right, down), clear_span(left, down)
        assert (one.left_mm, one.right_mm) == pytest.approx((-other.right_mm, -other.left_mm))


def test_what_remains_of_full_power_is_counted_to_the_rim_under_the_middle_line():
    made = box(25.0, 18.0, 20.0)

    assert made.bottom_mm == pytest.approx(20.0)
    assert reading_part_mm(made) == pytest.approx(6.0)
    assert most_added_dpt(made) == 2.0


def test_a_rounded_rim_leaves_less_than_the_fitting_height_says():
    assert 0 < reading_part_mm(lens(shape="round", inset_mm=8.0)) < 20.0 - 14.0 - 0.5


def test_a_frame_that_ends_in_the_corridor_leaves_less_than_the_add():
    made = box(25.0, 18.0, 10.5)

    assert reading_part_mm(made) == pytest.approx(-3.5)
    assert most_added_dpt(made) == pytest.approx(1.5)


@pytest.mark.parametrize(
    ("below_mm", "short", "little"),
    [(13.9, True, False), (14.1, False, True), (16.9, False, True), (17.1, False, False)],
)
def test_a_frame_that_leaves_none_or_little_of_full_power_is_told(below_mm, short, little):
    made = box(25.0, 18.0, below_mm)

    assert (is_cut_short(made), has_little_reading_part(made)) == (short, little)


def test_the_strip_ends_by_law_and_far_and_near_by_the_edge():
    made = box(25.0, 18.0, 20.0)
    strip, far, near = (clear_span(made, down) for down in (7.0, 0.0, 16.0))

    assert strip.width_mm == pytest.approx(2 * 1.75)
    assert (strip.left_mm + strip.right_mm) / 2 == pytest.approx(middle_mm(made, 7.0))
    assert strip.ends_by_law
    for part in (far, near):
        assert (part.left_mm, part.right_mm, part.ends_by_law) == (-25.0, 25.0, False)


def test_a_lens_narrower_than_the_strip_ends_it_at_its_edge():
    span = clear_span(box(2.0, 18.0, 20.0, add_dpt=0.75), 7.0)

    assert (span.left_mm, span.right_mm, span.ends_by_law) == (-2.0, 2.0, False)


def test_there_is_no_clear_stretch_outside_the_lens():
    assert clear_span(box(25.0, 18.0, 20.0), 21.0) is None
    assert clear_span(box(25.0, 18.0, 20.0), -19.0) is None


@given(st.floats(-20, 20), st.floats(0, 20))
def test_the_eye_turns_as_far_to_either_side(start, step):
    assert eye_turn_deg(start, start + step) == pytest.approx(eye_turn_deg(-start, -start - step))


@given(st.floats(0.5, 25), st.floats(25, 600), st.floats(-10, 6))
def test_a_plus_lens_shows_less_to_the_side_and_a_minus_lens_more(aside_mm, distance_cm, power_dpt):
    bare = approximate_reach_cm(aside_mm, distance_cm, 0.0)

    with_lens = approximate_reach_cm(aside_mm, distance_cm, power_dpt)

    # Prentice: 1 prism dioptre shifts by 1 cm at 1 m
    assert bare - with_lens == pytest.approx(aside_mm / 10 * power_dpt * distance_cm / 100, abs=1e-6)


@given(st.floats(0.5, 25), st.floats(25, 600))
def test_without_power_the_reach_is_that_of_the_turned_eye(aside_mm, distance_cm):
    turn = math.radians(eye_turn_deg(0.0, aside_mm))

    assert approximate_reach_cm(aside_mm, distance_cm, 0.0) == pytest.approx((distance_cm + 2.7) * math.tan(turn))


@pytest.mark.parametrize(("side", "nose"), [("right", 1), ("left", -1)])
def test_the_engraved_marks_stand_level_either_side_of_the_cross_the_inner_one_first(side, nose):
    (inner, low), (outer, same) = engraved_marks_mm(lens(side=side))

    assert inner - outer == pytest.approx(nose * MARKS_APART_MM)
    assert inner == -outer
    assert low == same < 0


def test_a_small_frame_cuts_the_inner_mark_away_and_keeps_the_outer():
    made = lens(width_mm=40.0, depth_mm=32.0, height_mm=16.0, shape="round", inset_mm=4.0)
    inner, outer = engraved_marks_mm(made)

    assert not is_inside(made.outline, inner)
    assert is_inside(made.outline, outer)


@given(st.floats(-30, 30), st.floats(-22, 22))
def test_a_point_is_inside_an_oval_when_its_equation_says_so(x, y):
    outline = shape_outline("round", 50.0, 36.0)
    distance = math.hypot(x / 25, y / 18)

    if abs(distance - 1) > 0.01:
        assert is_inside(outline, (x, y)) == (distance < 1)


def test_of_a_level_line_that_leaves_and_comes_back_the_stretch_with_the_point_is_taken():
    notched = ((0, 0), (10, 0), (10, 5), (6, 5), (5, 1), (4, 5), (0, 5))

    assert level_span_mm(notched, 4.0, 2.0) == pytest.approx((0.0, 4.25))
    assert level_span_mm(notched, 4.0, 8.0) == pytest.approx((5.75, 10.0))
    assert level_span_mm(notched, 4.0, 5.0) is None
