"""Change: laws that hold for any old and any new lens."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.change import (
    axis_turn_deg,
    cylinder_of_change_dpt,
    largest_change,
    left_by_turn_dpt,
    weaker_cylinder_dpt,
)
from explain.optics.power import SphereCylinder, power_in_meridian_dpt, transposed

QUARTERS = st.integers(-40, 40).map(lambda count: count / 4)
CYLINDERS = st.integers(-16, 16).map(lambda count: count / 4)
POWERS = st.builds(SphereCylinder, QUARTERS, CYLINDERS, st.integers(1, 180).map(float))
BENT = POWERS.filter(lambda power: power.cylinder_dpt != 0)


@given(POWERS)
def test_a_lens_compared_with_itself_has_not_changed(power):
    assert largest_change(power, power).power_dpt == pytest.approx(0.0, abs=1e-9)
    assert cylinder_of_change_dpt(power, power) == 0.0
    assert axis_turn_deg(power, power) == 0.0


@given(BENT)
def test_the_other_way_of_writing_a_lens_is_no_change(power):
    assert largest_change(power, transposed(power)).power_dpt == pytest.approx(0.0, abs=1e-9)
    assert axis_turn_deg(power, transposed(power)) == pytest.approx(0.0, abs=1e-9)
    assert weaker_cylinder_dpt(power, transposed(power)) == abs(power.cylinder_dpt)


@given(POWERS, BENT)
def test_how_a_lens_is_written_does_not_matter_to_its_change(old, new):
    as_typed, other_way = largest_change(old, new), largest_change(old, transposed(new))

    assert abs(as_typed.power_dpt) == pytest.approx(abs(other_way.power_dpt), abs=1e-9)


@given(POWERS, POWERS)
def test_the_change_is_largest_where_it_is_said_to_be(old, new):
    largest = largest_change(old, new)

    changes = [power_in_meridian_dpt(new, at) - power_in_meridian_dpt(old, at) for at in range(0, 180, 5)]
    assert max(map(abs, changes)) <= abs(largest.power_dpt) + 1e-9
    at = largest.meridian_deg
    there = power_in_meridian_dpt(new, at) - power_in_meridian_dpt(old, at)
    assert there == pytest.approx(largest.power_dpt, abs=1e-6)


@given(POWERS, POWERS)
def test_back_again_is_the_same_change_with_the_other_sign(old, new):
    there, back = largest_change(old, new).power_dpt, largest_change(new, old).power_dpt

    assert abs(there) == pytest.approx(abs(back), abs=1e-9)
    assert axis_turn_deg(old, new) == axis_turn_deg(new, old)


@given(BENT, BENT)
def test_an_axis_turns_by_90_degrees_at_most(old, new):
    assert 0 <= axis_turn_deg(old, new) <= 90


@pytest.mark.parametrize(("old", "new", "turn"), [(5, 175, 10), (180, 1, 1), (45, 135, 90), (90, 100, 10)])
def test_an_axis_turns_the_short_way_round(old, new, turn):
    assert axis_turn_deg(SphereCylinder(0, -1, old), SphereCylinder(0, -1, new)) == turn


@given(st.floats(0.25, 4), st.integers(1, 90))
def test_a_turned_axis_leaves_the_cylinder_of_the_difference(cylinder, turn):
    old, new = SphereCylinder(0.0, -cylinder, 90.0), SphereCylinder(0.0, -cylinder, 90.0 + turn)

    assert cylinder_of_change_dpt(old, new) == pytest.approx(left_by_turn_dpt(cylinder, turn), abs=1e-9)
    assert left_by_turn_dpt(cylinder, turn) == pytest.approx(2 * cylinder * math.sin(math.radians(turn)))
