"""Weight: volumes that can be worked out with a pencil. tests/outside compares with a mesh library."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from explain.optics import weight
from explain.optics.lens import Lens
from explain.optics.making import LensOrder, make_lens
from explain.optics.outline import shape_outline
from explain.optics.power import SphereCylinder
from explain.optics.surfaces import ToricSurface, exact_sag_mm
from explain.optics.weight import _nodes, volume_mm3, weight_g

RECTANGLE = ((-25.0, -15.0), (25.0, -15.0), (25.0, 15.0), (-25.0, 15.0))


def round_outline(diameter_mm: float, count: int) -> tuple[tuple[float, float], ...]:
    turns = np.linspace(0, 2 * math.pi, count, endpoint=False)
    return tuple((diameter_mm / 2 * math.cos(turn), diameter_mm / 2 * math.sin(turn)) for turn in turns)


def slab(outline: tuple[tuple[float, float], ...], front_per_mm: float = 0.0, back_per_mm: float = 0.0) -> Lens:
    return Lens(outline, 1.5, 2.0, front_per_mm, ToricSurface(back_per_mm, back_per_mm, 180.0), 0.0, 0.0, (0.0, 0.0))


def cap_volume_mm3(radius_mm: float, half_width_mm: float) -> float:
    """Volume of a spherical cap: pi h^2 (3 r - h) / 3."""
    height = exact_sag_mm(radius_mm, half_width_mm)
    return math.pi * height**2 * (3 * radius_mm - height) / 3


@pytest.mark.parametrize("count", [1, 2, 5, 8, 16])
def test_places_and_weights_are_those_of_gauss_and_legendre(count: int) -> None:
    places, weights = np.polynomial.legendre.leggauss(count)
    ours, our_weights = _nodes(count)
    assert ours == pytest.approx((places + 1) / 2, abs=1e-15)
    assert our_weights == pytest.approx(weights / 2, abs=1e-15)


def test_a_flat_plate_weighs_its_area_times_its_thickness() -> None:
    assert volume_mm3(slab(RECTANGLE)) == pytest.approx(50 * 30 * 2)
    assert weight_g(slab(RECTANGLE), 1.32) == pytest.approx(3.96)


def test_a_wedge_about_the_middle_of_a_plate_leaves_its_weight() -> None:
    assert volume_mm3(replace(slab(RECTANGLE), wedge_right=0.03, wedge_up=-0.01)) == pytest.approx(50 * 30 * 2)


def test_a_round_lens_holds_a_cylinder_less_one_cap_and_more_another() -> None:
    """A cylinder of the centre thickness, less what the front cuts off, more what the back adds."""
    lens = slab(round_outline(50, 720), front_per_mm=1 / 120, back_per_mm=1 / 60)

    plate = math.pi * 25**2 * 2.0
    front = math.pi * 25**2 * exact_sag_mm(120, 25) - cap_volume_mm3(120, 25)
    back = math.pi * 25**2 * exact_sag_mm(60, 25) - cap_volume_mm3(60, 25)
    assert volume_mm3(lens) == pytest.approx(plate - front + back, rel=1e-4)


@given(st.floats(min_value=-8, max_value=4), st.floats(min_value=1.0, max_value=2.0))
def test_weight_is_proportional_to_density(sphere: float, share: float) -> None:
    outline = shape_outline("rounded", 52, 38)
    lens = make_lens(LensOrder(SphereCylinder(sphere), outline, (2.0, 1.0), 1.6, 1.5, 1.0))

    assert weight_g(lens, 1.3 * share) == pytest.approx(share * weight_g(lens, 1.3))


@given(st.floats(min_value=-8, max_value=-0.5))
def test_a_larger_outline_is_heavier(sphere: float) -> None:
    small, large = (
        make_lens(LensOrder(SphereCylinder(sphere), shape_outline("oval", width, 34), (0, 0), 1.6, 1.5, 1.0))
        for width in (48, 52)
    )

    assert volume_mm3(large) > volume_mm3(small)


@given(st.floats(min_value=-4, max_value=4), st.floats(min_value=-2, max_value=4))
def test_volume_does_not_depend_on_which_point_the_outline_is_cut_into_triangles_from(x: float, y: float) -> None:
    """A plate has the same volume wherever its reference point lies."""
    moved = tuple((a - x, b - y) for a, b in RECTANGLE)

    assert volume_mm3(slab(moved)) == pytest.approx(3000)


def test_a_plus_lens_is_heavier_than_a_minus_lens_of_the_same_least_thickness() -> None:
    """60 mm round, index 1.498, nowhere under 2 mm. Source: tests/published/plus_against_minus_weight.yaml."""
    outline = shape_outline("round", 60, 60)
    plus, minus = (
        volume_mm3(make_lens(LensOrder(SphereCylinder(power), outline, (0, 0), 1.498, 2.0, 2.0)))
        for power in (4.0, -4.0)
    )

    assert plus > minus


@pytest.mark.parametrize("sphere_dpt", [-10.0, -2.0, 6.0])
def test_more_places_would_find_the_same_volume(monkeypatch: pytest.MonkeyPatch, sphere_dpt: float) -> None:
    lens = make_lens(
        LensOrder(SphereCylinder(sphere_dpt, -1.5, 20.0), shape_outline("round", 50, 50), (3.0, 1.0), 1.6, 1.5, 1.0)
    )
    found = weight.volume_mm3(lens)

    monkeypatch.setattr(weight, "_OUTWARDS", 24)

    assert found == pytest.approx(weight.volume_mm3(lens), rel=1e-6)
    assert found != weight.volume_mm3(lens)
