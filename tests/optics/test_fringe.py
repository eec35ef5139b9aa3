"""Fringe: coloured edges, against print and by law."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.fringe import longitudinal_chromatic_dpt, transverse_chromatic_prism_dpt
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
