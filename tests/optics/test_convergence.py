"""How far the eyes turn in for near."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.convergence import LENS_TO_TURNING_POINT_MM, near_pd_mm

PDS = st.floats(25, 40)
DISTANCES = st.floats(20, 200)


@given(PDS, DISTANCES)
def test_the_line_from_the_turning_point_to_the_object_crosses_the_lens_there(pd: float, distance_cm: float) -> None:
    """The object lies straight ahead of the nose, so that the line falls from pd to 0 over the whole way."""
    whole_way = distance_cm * 10 + LENS_TO_TURNING_POINT_MM

    at_the_lens = pd * (1 - LENS_TO_TURNING_POINT_MM / whole_way)

    assert near_pd_mm(pd, distance_cm) == pytest.approx(at_the_lens)


@given(PDS, DISTANCES)
def test_nearer_means_further_in(pd: float, distance_cm: float) -> None:
    assert near_pd_mm(pd, distance_cm) < near_pd_mm(pd, distance_cm + 10) < pd


def test_both_eyes_together_turn_in_about_four_millimetres_for_reading() -> None:
    """Common practice: the near pd is some 3 to 4 mm less than the far one (from memory)."""
    assert 2 * (31 - near_pd_mm(31, 40)) == pytest.approx(3.9, abs=0.1)
