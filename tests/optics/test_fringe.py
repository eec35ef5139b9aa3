"""Fringe: coloured edges, against print and by law."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.fringe import longitudinal_chromatic_dpt, off_centre_for_prism_mm, transverse_chromatic_prism_dpt
from explain.optics.prism import prentice_prism_dpt
from tests.published.reader import examples


@pytest.mark.parametrize("example", examples("transverse_chromatic"))
def test_transverse_chromatic_agrees_with_the_printed_answer(example):
    asked = example["given"]

    answer = transverse_chromatic_prism_dpt(asked["power_dpt"], asked["off_centre_mm"], asked["abbe_number"])
    assert answer == pytest.approx(example["printed"]["prism_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("longitudinal_chromatic"))
def test_longitudinal_chromatic_agrees_with_the_printed_answer(example):
    answer = longitudinal_chromatic_dpt(example["given"]["power_dpt"], example["given"]["abbe_number"])

    assert answer == pytest.approx(example["printed"]["spread_dpt"], abs=example["tolerance"])


@given(st.floats(-15, 15), st.floats(-30, 30), st.floats(25, 60))
def test_a_fringe_is_the_prism_divided_by_the_abbe_number(power, off_centre, abbe):
    fringe = transverse_chromatic_prism_dpt(power, off_centre, abbe)

    assert fringe * abbe == pytest.approx(prentice_prism_dpt(power, off_centre))


@given(st.floats(0.25, 15), st.floats(1, 30), st.floats(25, 59))
def test_a_higher_abbe_number_means_less_fringe(power, off_centre, abbe):
    assert transverse_chromatic_prism_dpt(power, off_centre, abbe + 1) < transverse_chromatic_prism_dpt(
        power, off_centre, abbe
    )
    assert longitudinal_chromatic_dpt(power, abbe + 1) < longitudinal_chromatic_dpt(power, abbe)


parts = st.tuples(st.floats(-3, 3), st.floats(-3, 3))


@given(parts, parts.filter(lambda part: math.hypot(*part) > 0.01), st.floats(0.1, 6))
def test_the_place_found_has_that_prism_on_one_side_and_no_more_on_the_other(at_centre, per_mm, prism):
    place = off_centre_for_prism_mm(at_centre, per_mm, prism)
    sides = [math.hypot(*(c + sign * place * d for c, d in zip(at_centre, per_mm, strict=True))) for sign in (1, -1)]

    assert max(sides) == pytest.approx(max(prism, math.hypot(*at_centre)), abs=1e-6)
    assert place >= 0


def test_a_lens_without_power_never_reaches_more_prism_than_was_ordered():
    assert off_centre_for_prism_mm((1.0, 0.0), (0.0, 0.0), 1.5) == math.inf
