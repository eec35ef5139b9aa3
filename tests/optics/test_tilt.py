"""Tilt: against print, against the equations for a thin tilted lens, and by law."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.power import SphereCylinder, power_in_meridian_dpt, principal_powers
from explain.optics.tilt import UPRIGHT_AXIS_DEG, approximate_tilted_power, tilted_sphere
from tests.published.reader import examples

UPRIGHT_DEG, LEVEL_DEG = 90.0, 180.0


def coddington(power_dpt: float, tilt_deg: float, index: float) -> tuple[float, float]:
    """Power across and along the turning axis of a thin tilted lens (Coddington's equations, from memory)."""
    outside = math.radians(tilt_deg)
    inside = math.asin(math.sin(outside) / index)
    along = power_dpt * (index * math.cos(inside) - math.cos(outside)) / (index - 1)
    return along / math.cos(outside) ** 2, along


@pytest.mark.parametrize("example", examples("tilt"))
def test_tilted_power_agrees_with_the_printed_answer(example):
    asked, printed = example["given"], example["printed"]

    lens = tilted_sphere(asked["power_dpt"], asked["tilt_deg"], asked["twice_the_index"] / 2)

    assert lens.sphere_dpt == pytest.approx(printed["sphere_dpt"], abs=example["tolerance"])
    assert lens.cylinder_dpt == pytest.approx(printed["cylinder_dpt"], abs=example["tolerance"])
    assert lens.axis_deg == printed["axis_deg"]


@pytest.mark.parametrize("tilt_deg", [5, 10, 20])
@pytest.mark.parametrize("index", [1.5, 1.74])
def test_the_rule_is_within_half_a_hundredth_of_the_equations_it_shortens(tilt_deg, index):
    across, along = coddington(10.0, tilt_deg, index)

    lens = tilted_sphere(10.0, tilt_deg, index)

    assert power_in_meridian_dpt(lens, LEVEL_DEG) == pytest.approx(along, rel=0.005)
    assert power_in_meridian_dpt(lens, UPRIGHT_DEG) == pytest.approx(across, rel=0.005)


@given(st.floats(-15, 15), st.floats(0, 20))
def test_a_lens_tilted_the_other_way_has_the_same_power(power_dpt, tilt_deg):
    assert tilted_sphere(power_dpt, -tilt_deg, 1.6) == tilted_sphere(power_dpt, tilt_deg, 1.6)


def test_a_lens_that_is_not_tilted_keeps_its_power():
    assert approximate_tilted_power(SphereCylinder(-4.0, -1.0, 30), 0.0, 1.6).sphere_dpt == pytest.approx(-4.0)
    assert tilted_sphere(-4.0, 0.0, 1.6) == SphereCylinder(-4.0, 0.0, 180.0)


def test_wrap_puts_the_new_cylinder_upright():
    assert tilted_sphere(-6.0, 15, 1.6, UPRIGHT_AXIS_DEG).axis_deg == 90


@given(st.floats(-10, 10), st.sampled_from([0.0, 90.0]))
def test_leaving_out_the_cylinder_costs_less_than_a_twentieth_of_a_dioptre(sphere_dpt, axis_deg):
    lens = SphereCylinder(sphere_dpt, -2.0, axis_deg or 180.0)
    across, _ = coddington(power_in_meridian_dpt(lens, UPRIGHT_DEG), 10, 1.5)
    _, along = coddington(power_in_meridian_dpt(lens, LEVEL_DEG), 10, 1.5)

    ours = approximate_tilted_power(lens, 10, 1.5)

    found = sorted(principal.power_dpt for principal in principal_powers(ours))
    assert found == pytest.approx(sorted((across, along)), abs=0.05)
