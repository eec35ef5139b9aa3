"""Vertex: moved lenses, against print and by law."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.power import SphereCylinder, power_in_meridian_dpt
from explain.optics.vertex import (
    approximate_vertex_compensated_dpt,
    effective_power_dpt,
    two_lens_vergence_dpt,
    vertex_compensated,
    vertex_compensated_dpt,
)
from tests.published.reader import examples

powers = st.floats(-20, 20)
moves = st.floats(-15, 15)


@pytest.mark.parametrize("example", examples("vertex_compensation"))
def test_vertex_compensation_agrees_with_the_printed_answer(example):
    answer = vertex_compensated_dpt(example["given"]["power_dpt"], example["given"]["moved_towards_eye_mm"])

    assert answer == pytest.approx(example["printed"]["power_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("effective_power"))
def test_effective_power_agrees_with_the_printed_answer(example):
    answer = effective_power_dpt(example["given"]["power_dpt"], example["given"]["moved_away_mm"])

    assert answer == pytest.approx(example["printed"]["power_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("vertex_compensation_approx"))
def test_the_short_rule_for_vertex_compensation_agrees_with_the_printed_answer(example):
    asked = example["given"]

    answer = approximate_vertex_compensated_dpt(asked["power_dpt"], asked["moved_towards_eye_mm"])
    assert answer == pytest.approx(example["printed"]["power_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("two_lens_vergence"))
def test_two_lens_vergence_agrees_with_the_printed_answer(example):
    asked = example["given"]

    answer = two_lens_vergence_dpt(asked["first_dpt"], asked["second_dpt"], asked["distance_mm"])
    assert answer == pytest.approx(example["printed"]["power_dpt"], abs=example["tolerance"])


@given(powers, moves)
def test_a_compensated_lens_does_at_the_old_place_what_the_old_one_did(power, towards_eye):
    ordered = vertex_compensated_dpt(power, towards_eye)

    assert effective_power_dpt(ordered, -towards_eye) == pytest.approx(power, abs=1e-9)


@given(powers)
def test_a_lens_that_does_not_move_keeps_its_power(power):
    assert vertex_compensated_dpt(power, 0.0) == power


@given(st.floats(0.25, 20), st.floats(0.5, 15))
def test_nearer_the_eye_a_minus_lens_is_ordered_weaker_and_a_plus_lens_stronger(strength, towards_eye):
    assert abs(vertex_compensated_dpt(-strength, towards_eye)) < strength
    assert vertex_compensated_dpt(strength, towards_eye) > strength


@given(st.floats(-10, 10), st.floats(-4, 4))
def test_the_short_rule_is_within_a_fiftieth_of_a_dioptre_for_small_moves(power, towards_eye):
    exact = vertex_compensated_dpt(power, towards_eye)

    assert abs(approximate_vertex_compensated_dpt(power, towards_eye) - exact) < 0.02


@given(powers, st.floats(-5, 0), st.integers(1, 180), moves)
def test_both_principal_meridians_are_compensated_each_by_itself(sphere, cylinder, axis, move):
    moved = vertex_compensated(SphereCylinder(sphere, cylinder, axis), move)

    along, across = power_in_meridian_dpt(moved, axis), power_in_meridian_dpt(moved, axis + 90)
    assert along == pytest.approx(vertex_compensated_dpt(sphere, move))
    assert across == pytest.approx(vertex_compensated_dpt(sphere + cylinder, move))
