"""Reflection: light thrown back and let through, against print and by law."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.reflection import (
    coated_transmittance,
    surface_reflectance,
    two_surface_transmittance,
    two_surface_transmittance_with_inner_reflections,
)
from tests.published.reader import examples, ours

indexes = st.floats(1.0, 2.5)


@pytest.mark.parametrize("example", examples("surface_reflectance"))
def test_surface_reflectance_agrees_with_the_printed_answer(example):
    asked = example["given"]

    answer = surface_reflectance(asked["index"], asked.get("surrounding_index", 1.0))
    assert 100 * answer == pytest.approx(example["printed"]["reflected_percent"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("surface_transmittance"))
def test_surface_transmittance_agrees_with_the_printed_answer(example):
    passed = 1 - surface_reflectance(example["given"]["index"])

    assert 100 * passed == pytest.approx(example["printed"]["passed_percent"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("two_surface_reflectance_sum"))
def test_two_surface_reflectance_sum_agrees_with_the_printed_answer(example):
    both = 2 * surface_reflectance(example["given"]["index"])

    assert 100 * both == pytest.approx(example["printed"]["reflected_percent"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("transmittance"))
def test_transmittance_agrees_with_the_printed_answer(example):
    passed = two_surface_transmittance(example["given"]["index"])

    assert 100 * passed == pytest.approx(example["printed"]["passed_percent"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("transmittance_with_inner_reflections"))
def test_transmittance_with_inner_reflections_agrees_with_the_printed_answer(example):
    passed = two_surface_transmittance_with_inner_reflections(example["given"]["index"])

    assert 100 * passed == pytest.approx(example["printed"]["passed_percent"], abs=example["tolerance"])


@pytest.mark.parametrize("example", ours("transmittance_with_inner_reflections"))
def test_transmittance_with_inner_reflections_agrees_with_a_separate_calculation(example):
    passed = two_surface_transmittance_with_inner_reflections(example["given"]["index"])

    assert 100 * passed == pytest.approx(example["expected"]["passed_percent"], abs=example["tolerance"])


@given(indexes, indexes)
def test_a_surface_throws_back_a_share_and_the_same_from_either_side(index, surrounding):
    share = surface_reflectance(index, surrounding)

    assert 0 <= share < 1
    assert share == pytest.approx(surface_reflectance(surrounding, index))


@given(st.floats(1.4, 1.9), st.floats(0.01, 0.2))
def test_a_higher_index_throws_back_more_and_lets_less_through(index, more):
    assert surface_reflectance(index + more) > surface_reflectance(index)
    assert two_surface_transmittance(index + more) < two_surface_transmittance(index)


@given(indexes)
def test_light_that_bounces_inside_only_adds_to_what_passes(index):
    first_try, in_the_end = two_surface_transmittance(index), two_surface_transmittance_with_inner_reflections(index)

    assert 0 < first_try <= in_the_end + 1e-12 <= 1 + 1e-9


@given(indexes)
def test_inner_reflections_add_up_as_a_series(index):
    share = surface_reflectance(index)

    bounced = sum((1 - share) ** 2 * share ** (2 * times) for times in range(40))
    assert two_surface_transmittance_with_inner_reflections(index) == pytest.approx(bounced)


def test_a_surface_that_throws_nothing_back_lets_all_through():
    assert coated_transmittance(0.0) == 1
