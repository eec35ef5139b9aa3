"""Magnify: larger and smaller pictures, against print and by law."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.magnify import (
    PUPIL_BEHIND_CORNEA_MM,
    approximate_spectacle_magnification,
    power_factor,
    shape_factor,
    spectacle_magnification,
)
from explain.optics.surfaces import vergence_at_back_dpt
from tests.published.reader import examples, misprints, ours


@pytest.mark.parametrize("example", examples("power_factor"))
def test_power_factor_agrees_with_the_printed_answer(example):
    answer = power_factor(example["given"]["power_dpt"], example["given"]["pupil_distance_mm"])

    assert 100 * (answer - 1) == pytest.approx(example["printed"]["larger_percent"], abs=example["tolerance"])


@pytest.mark.parametrize("slip", misprints("power_factor"))
def test_power_factor_is_right_where_print_is_wrong(slip):
    power, distances = slip["given"]["power_dpt"], slip["given"]["pupil_distances_mm"]

    answers = [100 * (power_factor(power, distance) - 1) for distance in distances]
    assert answers == pytest.approx(slip["right"]["larger_percent"], abs=slip["tolerance"])
    assert max(answers) < slip["printed_wrongly"]["larger_percent"] - 1


@pytest.mark.parametrize("example", ours("spectacle_magnification"))
def test_spectacle_magnification_agrees_with_a_separate_calculation(example):
    asked, expected = example["given"], example["expected"]
    front, thick, index = asked["front_dpt"], asked["thickness_mm"], asked["index"]
    vertex = asked["pupil_distance_mm"] - PUPIL_BEHIND_CORNEA_MM

    whole = spectacle_magnification(front, thick, index, asked["power_dpt"], vertex)
    assert shape_factor(front, thick, index) == pytest.approx(expected["shape_factor"], abs=example["tolerance"])
    power = power_factor(asked["power_dpt"], asked["pupil_distance_mm"])
    assert power == pytest.approx(expected["power_factor"], abs=example["tolerance"])
    assert whole == pytest.approx(expected["magnification"], abs=example["tolerance"])


@pytest.mark.parametrize("example", ours("spectacle_magnification_quick"))
def test_the_short_rule_for_magnification_agrees_with_a_separate_calculation(example):
    asked = example["given"]
    vertex = asked["pupil_distance_mm"] - PUPIL_BEHIND_CORNEA_MM

    answer = approximate_spectacle_magnification(asked["front_dpt"], asked["thickness_mm"], asked["power_dpt"], vertex)
    assert 100 * (answer - 1) == pytest.approx(example["expected"]["larger_percent"], abs=example["tolerance"])


@given(st.floats(0.25, 15), st.floats(8, 20))
def test_plus_lenses_enlarge_and_minus_lenses_shrink(strength, pupil_distance):
    assert power_factor(strength, pupil_distance) > 1 > power_factor(-strength, pupil_distance)


@given(st.floats(0.5, 12), st.floats(1, 8), st.floats(1.49, 1.75))
def test_the_shape_factor_is_what_thickness_makes_of_the_front(front, thick, index):
    assert front * shape_factor(front, thick, index) == pytest.approx(vergence_at_back_dpt(front, thick, index))


def test_a_flat_thin_lens_without_power_leaves_the_picture_alone():
    assert spectacle_magnification(0.0, 2.0, 1.5, 0.0, 12) == 1


@given(st.floats(-6, 6))
def test_the_short_rule_for_magnification_is_within_2_in_100_for_ordinary_lenses(power):
    exact = spectacle_magnification(6.0, 3.0, 1.5, power, 12)

    assert approximate_spectacle_magnification(6.0, 3.0, power, 12) == pytest.approx(exact, abs=0.02)
