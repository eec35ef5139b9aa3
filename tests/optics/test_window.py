"""The reading window of a lined bifocal: where it ends, and how far its line makes the picture jump."""

from __future__ import annotations

import math

import pytest

from explain.optics.outline import mirrored_outline, shape_outline
from explain.optics.prism import image_jump_prism_dpt
from explain.optics.progressive import is_inside
from explain.optics.window import (
    CENTRE_BELOW_LINE_MM,
    DISC_MM,
    WINDOW_DEPTH_MM,
    is_window_short,
    jump_cm,
    line_middle_mm,
    reading_window,
    window_shape,
)

BOX = ((-25.0, -25.0), (25.0, -25.0), (25.0, 20.0), (-25.0, 20.0))


@pytest.mark.parametrize(
    ("line_mm", "tall_mm", "at_rim"), [(-13.0, 12.0, True), (-6.5, 18.5, True), (-5.5, 19.0, False)]
)
def test_the_window_ends_at_the_rim_or_by_itself_after_nineteen(line_mm, tall_mm, at_rim):
    window = reading_window(BOX, (2.0, line_mm))

    assert (window.tall_mm, window.ends_at_rim) == (tall_mm, at_rim)
    assert window.far_part_mm == 20.0 - line_mm


@pytest.mark.parametrize(("line_mm", "short"), [(-15.1, True), (-15.0, False)])
def test_a_window_under_ten_tall_is_told(line_mm, short):
    assert is_window_short(reading_window(BOX, (2.0, line_mm))) == short


def test_the_line_is_a_chord_of_the_disc_as_far_as_the_lens_is_wide():
    wide, narrow = reading_window(BOX, (2.0, -4.0)), reading_window(BOX, (20.0, -4.0))

    assert (wide.line_mm / 2) ** 2 + CENTRE_BELOW_LINE_MM**2 == pytest.approx((DISC_MM / 2) ** 2)
    assert narrow.right_mm == 25.0
    assert narrow.left_mm == pytest.approx(20.0 - wide.line_mm / 2)


def test_a_line_outside_the_lens_has_no_window():
    assert reading_window(BOX, (2.0, 21.0)) is None
    assert reading_window(BOX, (30.0, 0.0)) is None


def test_the_shape_has_its_line_on_top_and_its_disc_below():
    top = (3.0, -4.0)
    start, end, *below = window_shape(top)

    assert (start[1], end[1]) == pytest.approx((top[1], top[1]))
    assert (start[0] + end[0]) / 2 == pytest.approx(top[0])
    assert start[0] < end[0]
    assert all(math.dist(point, (3.0, -9.0)) == pytest.approx(DISC_MM / 2) for point in (start, end, *below))
    assert min(y for _, y in below) == pytest.approx(top[1] - WINDOW_DEPTH_MM, abs=0.02)


def test_the_left_window_mirrors_the_right_one():
    right = shape_outline("aviator-like", 54.0, 42.0)
    one, other = reading_window(right, (6.0, -4.0)), reading_window(mirrored_outline(right), (-6.0, -4.0))

    assert (one.left_mm, one.right_mm) == pytest.approx((-other.right_mm, -other.left_mm))
    assert one.tall_mm == pytest.approx(other.tall_mm)
    assert is_inside(right, (6.0, one.bottom_mm + 0.01))
    assert not is_inside(right, (6.0, one.bottom_mm - 0.01))


def test_the_window_stands_nearer_the_nose_than_the_far_pupil():
    assert line_middle_mm(50.0, 18.0, 29.0, 1) == 5.0
    assert line_middle_mm(50.0, 18.0, 29.0, -1) == -5.0


def test_a_jump_in_prism_is_centimetres_at_a_metre():
    assert jump_cm(image_jump_prism_dpt(3.00, CENTRE_BELOW_LINE_MM), 100) == pytest.approx(1.5)
    assert jump_cm(image_jump_prism_dpt(3.00, CENTRE_BELOW_LINE_MM), 40) == pytest.approx(0.6)
