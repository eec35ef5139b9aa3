"""Base curve: the front that a lens gets when the order names none."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.making import LensOrder, front_radius_mm
from explain.optics.outline import shape_outline
from explain.optics.power import SphereCylinder, transposed
from explain.optics.surfaces import (
    FLATTEST_BASE_DPT,
    STEEPEST_BASE_DPT,
    default_base_curve_dpt,
    vogel_base_curve_dpt,
)

powers_dpt = st.floats(min_value=-25, max_value=20)


def order(power: SphereCylinder, base_curve_dpt: float | None = None, index: float = 1.5) -> LensOrder:
    return LensOrder(power, shape_outline("round", 46, 46), (0, 0), index, 2, 1, base_curve_dpt=base_curve_dpt)


@pytest.mark.parametrize(("power", "base"), [(2.5, 8.5), (-4.0, 4.0), (0.0, 6.0), (-11.0, 0.5), (6.0, 12.0)])
def test_rule_gives_the_base_curve(power: float, base: float) -> None:
    assert default_base_curve_dpt(power) == base


@given(powers_dpt)
def test_base_curve_stays_within_what_is_made(power: float) -> None:
    assert FLATTEST_BASE_DPT <= default_base_curve_dpt(power) <= STEEPEST_BASE_DPT


@given(powers_dpt, st.floats(min_value=0, max_value=5))
def test_more_plus_never_gives_a_flatter_front(power: float, more: float) -> None:
    assert default_base_curve_dpt(power + more) >= default_base_curve_dpt(power)


def test_rule_does_not_jump_at_no_power() -> None:
    assert vogel_base_curve_dpt(1e-9) == pytest.approx(vogel_base_curve_dpt(-1e-9), abs=1e-8)


@given(st.floats(min_value=-8, max_value=5), st.floats(min_value=-4, max_value=4))
def test_both_forms_of_a_prescription_get_the_same_front(sphere: float, cylinder: float) -> None:
    power = SphereCylinder(sphere, cylinder, 30.0)

    assert front_radius_mm(order(power)) == pytest.approx(front_radius_mm(order(transposed(power))))


def test_spherical_equivalent_decides_the_front() -> None:
    """-1.00 -2.00 is -2.00 on average: front 5.00 on the 1.530 scale."""
    assert front_radius_mm(order(SphereCylinder(-1.0, -2.0, 90))) == pytest.approx(106.0)


def test_a_named_base_curve_wins_over_the_rule() -> None:
    assert front_radius_mm(order(SphereCylinder(-4.0), base_curve_dpt=5.3)) == pytest.approx(100.0)


def test_front_radius_is_the_same_in_every_material() -> None:
    thin, dense = (front_radius_mm(order(SphereCylinder(-4.0), index=index)) for index in (1.5, 1.74))

    assert thin == dense
