"""Blur: patches of points out of focus, against print and by law."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.blur import blur_disc_arcmin, blur_disc_deg, blur_disc_mrad, blur_ellipse
from explain.optics.power import SphereCylinder, power_in_meridian_dpt, transposed
from tests.published.reader import examples, ours

quarters = st.integers(-60, 60).map(lambda steps: steps / 4)
lenses = st.builds(SphereCylinder, quarters, quarters, st.integers(1, 180).map(float))
pupils = st.floats(1, 8)


@pytest.mark.parametrize("example", examples("blur_disc"))
def test_blur_disc_agrees_with_the_printed_answer(example):
    answer = blur_disc_deg(example["given"]["pupil_mm"], example["given"]["defocus_dpt"])

    assert answer == pytest.approx(example["printed"]["width_deg"], abs=example["tolerance"])


@pytest.mark.parametrize("example", ours("blur_disc"))
def test_blur_disc_agrees_with_a_separate_calculation(example):
    pupil, defocus = example["given"]["pupil_mm"], example["given"]["defocus_dpt"]

    assert blur_disc_mrad(pupil, defocus) == pytest.approx(example["expected"]["width_mrad"], abs=example["tolerance"])
    assert blur_disc_arcmin(pupil, defocus) == pytest.approx(
        example["expected"]["width_arcmin"], abs=example["tolerance"]
    )


@given(st.floats(-10, 10), pupils)
def test_a_sphere_blurs_a_point_to_a_disc(defocus, pupil):
    patch = blur_ellipse(SphereCylinder(defocus), pupil)

    assert patch.long_mrad == patch.short_mrad == blur_disc_mrad(pupil, defocus)
    assert patch.long_direction_deg == 180


@given(lenses, pupils)
def test_the_longer_side_of_a_blur_patch_lies_where_the_eye_is_most_out_of_focus(power, pupil):
    patch = blur_ellipse(power, pupil)

    assert patch.long_mrad >= patch.short_mrad >= 0
    out_of_focus = power_in_meridian_dpt(power, patch.long_direction_deg)
    if patch.long_mrad > patch.short_mrad:
        assert blur_disc_mrad(pupil, out_of_focus) == pytest.approx(patch.long_mrad, abs=1e-9)


@given(lenses, pupils)
def test_a_blur_patch_does_not_depend_on_how_the_prescription_is_written(power, pupil):
    here, there = blur_ellipse(power, pupil), blur_ellipse(transposed(power), pupil)

    assert (here.long_mrad, here.short_mrad) == pytest.approx((there.long_mrad, there.short_mrad), abs=1e-9)
    assert here.long_direction_deg == there.long_direction_deg
