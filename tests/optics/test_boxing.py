"""Boxing: frame distances and blank sizes, against print and by law."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.boxing import (
    decentration_mm,
    effective_diameter_mm,
    frame_pd_mm,
    minimum_blank_mm,
    monocular_decentration_mm,
    smallest_blank_mm,
)
from explain.optics.outline import SHAPES, shape_outline
from tests.published.reader import examples, misprints


@pytest.mark.parametrize("example", examples("frame_pd"))
def test_frame_pd_agrees_with_the_printed_answer(example):
    answer = frame_pd_mm(example["given"]["lens_width_mm"], example["given"]["bridge_mm"])

    assert answer == pytest.approx(example["printed"]["frame_pd_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("decentration"))
def test_decentration_agrees_with_the_printed_answer(example):
    asked = example["given"]

    answer = decentration_mm(frame_pd_mm(asked["lens_width_mm"], asked["bridge_mm"]), asked["pd_mm"])
    assert answer == pytest.approx(example["printed"]["decentration_per_eye_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("min_blank"))
def test_minimum_blank_agrees_with_the_printed_answer(example):
    answer = minimum_blank_mm(**example["given"])

    assert answer == pytest.approx(example["printed"]["blank_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("slip", misprints("min_blank"))
def test_minimum_blank_is_right_where_print_is_wrong(slip):
    answer = minimum_blank_mm(**slip["given"])

    assert answer == pytest.approx(slip["right"]["blank_mm"], abs=slip["tolerance"])
    assert answer != pytest.approx(slip["printed_wrongly"]["blank_mm"], abs=slip["tolerance"])


@given(st.floats(60, 80), st.floats(25, 38), st.floats(25, 38))
def test_two_monocular_decentrations_average_to_that_of_the_pair(frame_pd, right_pd, left_pd):
    right, left = (monocular_decentration_mm(frame_pd, pd) for pd in (right_pd, left_pd))

    assert (right + left) / 2 == pytest.approx(decentration_mm(frame_pd, right_pd + left_pd))


@pytest.mark.parametrize("shape", sorted(SHAPES))
@given(st.floats(40, 60), st.floats(25, 50), st.floats(-6, 6))
def test_the_smallest_blank_covers_the_outline_and_never_passes_the_safe_rule(shape, width, depth, shift):
    outline = shape_outline(shape, width, depth)

    blank = smallest_blank_mm(outline, (shift, 0.0), allowance_mm=0.0)
    safe = minimum_blank_mm(effective_diameter_mm(outline), shift)
    assert all(math.dist(point, (shift, 0.0)) <= blank / 2 for point in outline)
    assert blank <= safe + 1e-9


def test_the_effective_diameter_of_a_circle_is_its_diameter():
    circle = [(25 * math.cos(turn), 25 * math.sin(turn)) for turn in range(7)]

    assert effective_diameter_mm(circle) == pytest.approx(50)
