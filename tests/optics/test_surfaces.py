"""Surfaces: sags and powers."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.power import SphereCylinder, power_in_meridian_dpt, transposed
from explain.optics.surfaces import (
    DoesNotReachError,
    ToricSurface,
    approximate_sag_mm,
    back_surface_for,
    back_vertex_power_dpt,
    exact_sag_mm,
    front_vertex_power_dpt,
    nominal_power_dpt,
    sag_mm,
    surface_power_dpt,
    surface_radius_mm,
    tilted_sag_mm,
    toric_back,
)

spheres_dpt = st.floats(min_value=-12, max_value=8)
cylinders_dpt = st.floats(min_value=-4, max_value=4)
axes_deg = st.floats(min_value=1, max_value=180)
indexes = st.floats(min_value=1.498, max_value=1.74)
fronts_dpt = st.floats(min_value=0.5, max_value=12)
thicknesses_mm = st.floats(min_value=0.8, max_value=12)
curvatures_per_mm = st.floats(min_value=-0.02, max_value=0.02)
places_mm = st.floats(min_value=-25, max_value=25)
slopes = st.floats(min_value=-0.15, max_value=0.15)


def test_approximate_sag_of_minus_4_is_0_026_mm_short() -> None:
    """The -4 dpt back of a flat-fronted lens, index 1.498, 25 mm out: 2.510 against 2.536 mm."""
    radius = surface_radius_mm(4.0, 1.498)

    assert approximate_sag_mm(4.0, 1.498, 25) == pytest.approx(2.510, abs=0.0005)
    assert exact_sag_mm(radius, 25) == pytest.approx(2.536, abs=0.0005)


@given(st.floats(min_value=30, max_value=2000), st.floats(min_value=0, max_value=29))
def test_exact_sag_is_the_height_of_a_circle_s_cap(radius: float, distance: float) -> None:
    assert exact_sag_mm(radius, distance) == pytest.approx(radius - math.sqrt(radius**2 - distance**2), abs=1e-9)


@given(st.floats(min_value=30, max_value=2000), st.floats(min_value=0.1, max_value=29))
def test_a_surface_bent_the_other_way_has_the_opposite_sag(radius: float, distance: float) -> None:
    assert exact_sag_mm(-radius, distance) == -exact_sag_mm(radius, distance)


@given(st.floats(min_value=0.25, max_value=12), indexes, st.floats(min_value=1, max_value=30))
def test_parabola_is_never_deeper_than_the_circle(power: float, index: float, distance: float) -> None:
    exact = exact_sag_mm(surface_radius_mm(power, index), distance)

    assert approximate_sag_mm(power, index, distance) <= exact + 1e-12


@given(st.floats(min_value=-40, max_value=40))
def test_a_flat_surface_has_no_sag(distance: float) -> None:
    assert exact_sag_mm(math.inf, distance) == 0
    assert surface_radius_mm(0.0, 1.5) == math.inf


@given(spheres_dpt.filter(lambda power: abs(power) > 0.01), indexes)
def test_radius_and_power_of_a_surface_undo_each_other(power: float, index: float) -> None:
    assert surface_power_dpt(surface_radius_mm(power, index), index) == pytest.approx(power)


def test_a_curve_that_ends_too_soon_is_refused_with_both_lengths() -> None:
    with pytest.raises(DoesNotReachError) as refusal:
        sag_mm(1 / 25.0, np.array([3.0, 28.5, 11.0]))

    assert str(refusal.value) == "a curve of radius 25.0 mm does not reach 28.5 mm out"
    assert (refusal.value.radius_mm, refusal.value.distance_mm) == (25.0, 28.5)


def test_a_torus_that_ends_too_soon_is_refused() -> None:
    surface = ToricSurface(0.01, 1 / 20, 180.0)

    with pytest.raises(DoesNotReachError, match=r"does not reach 21\.0 mm out"):
        surface.sag_mm(np.array([0.0]), np.array([-21.0]))


@given(curvatures_per_mm, curvatures_per_mm, axes_deg, places_mm)
def test_a_torus_is_a_circle_along_both_of_its_own_directions(
    along: float, across: float, direction: float, far: float
) -> None:
    surface = ToricSurface(along, across, direction)
    x, y = far * math.cos(math.radians(direction)), far * math.sin(math.radians(direction))

    on_the_line = surface.sag_mm(np.array([x, -y]), np.array([y, x]))

    assert on_the_line[0] == pytest.approx(sag_mm(along, np.array([far]))[0], abs=1e-9)
    assert surface.sag_mm(np.array([-y]), np.array([x]))[0] == pytest.approx(
        sag_mm(across, np.array([far]))[0], abs=1e-9
    )


@given(st.floats(min_value=-0.02, max_value=0.02), axes_deg, places_mm, places_mm)
def test_a_torus_with_equal_curves_is_a_sphere(curvature: float, direction: float, x: float, y: float) -> None:
    surface = ToricSurface(curvature, curvature, direction)

    sphere = sag_mm(curvature, np.array([math.hypot(x, y)]))

    assert surface.sag_mm(np.array([x]), np.array([y])) == pytest.approx(sphere, abs=1e-9)


@given(st.floats(min_value=0.002, max_value=0.02), st.floats(min_value=0.002, max_value=0.02), places_mm, places_mm)
def test_every_point_of_a_torus_is_its_tube_s_radius_from_the_ring(
    along: float, across: float, x: float, y: float
) -> None:
    """From the equation of a torus: turned about a line across, a circle of radius 1/along keeps its distance.

    The swept circle lies along x about (0, 1/along); the axis of the sweep is the line y = 0, z = 1/across.
    """
    z = ToricSurface(along, across, 180.0).sag_mm(np.array([x]), np.array([y]))[0]

    in_plane = 1 / across - math.hypot(y, 1 / across - z)

    assert math.hypot(x, 1 / along - in_plane) == pytest.approx(1 / along, abs=1e-6)


@given(spheres_dpt, cylinders_dpt, axes_deg, fronts_dpt, thicknesses_mm, indexes, places_mm, places_mm)
def test_back_surface_does_not_depend_on_how_the_prescription_is_written(
    sphere: float, cylinder: float, axis: float, front: float, thickness: float, index: float, x: float, y: float
) -> None:
    power = SphereCylinder(sphere, cylinder, axis)
    one, other = (toric_back(p, front, thickness, index) for p in (power, transposed(power)))
    at = np.array([x / 2]), np.array([y / 2])

    assert other.sag_mm(*at) == pytest.approx(one.sag_mm(*at), abs=1e-9)


@given(spheres_dpt, cylinders_dpt, axes_deg, fronts_dpt, thicknesses_mm, indexes)
def test_back_surface_gives_the_ordered_power_both_ways(
    sphere: float, cylinder: float, axis: float, front: float, thickness: float, index: float
) -> None:
    power = SphereCylinder(sphere, cylinder, axis)
    back = toric_back(power, front, thickness, index)

    for turn, curvature in ((0, back.along_per_mm), (90, back.across_per_mm)):
        made = back_vertex_power_dpt(front, -1000 * (index - 1) * curvature, thickness, index)
        assert made == pytest.approx(power_in_meridian_dpt(power, back.direction_deg + turn), abs=1e-9)


@given(spheres_dpt, cylinders_dpt, axes_deg, fronts_dpt, thicknesses_mm, indexes)
def test_the_flatter_circle_is_the_one_that_is_swept(
    sphere: float, cylinder: float, axis: float, front: float, thickness: float, index: float
) -> None:
    back = toric_back(SphereCylinder(sphere, cylinder, axis), front, thickness, index)

    assert abs(back.along_per_mm) <= abs(back.across_per_mm)


@given(spheres_dpt, fronts_dpt, thicknesses_mm, indexes)
def test_back_surface_undoes_back_vertex_power(power: float, front: float, thickness: float, index: float) -> None:
    back = back_surface_for(power, front, thickness, index)

    assert back_vertex_power_dpt(front, back, thickness, index) == pytest.approx(power, abs=1e-9)


@given(fronts_dpt, spheres_dpt, indexes)
def test_without_thickness_all_three_powers_are_one(front: float, back: float, index: float) -> None:
    nominal = nominal_power_dpt(front, back)

    assert back_vertex_power_dpt(front, back, 0.0, index) == nominal
    assert front_vertex_power_dpt(front, back, 0.0, index) == pytest.approx(nominal)


@given(fronts_dpt, st.floats(min_value=-12, max_value=0), thicknesses_mm, indexes)
def test_thickness_never_takes_power_from_a_bulging_front(
    front: float, back: float, thickness: float, index: float
) -> None:
    assert back_vertex_power_dpt(front, back, thickness, index) > nominal_power_dpt(front, back)


@given(curvatures_per_mm, curvatures_per_mm, axes_deg, places_mm, places_mm)
def test_tilting_by_nothing_changes_nothing(along: float, across: float, turn: float, x: float, y: float) -> None:
    surface, at = ToricSurface(along, across, turn), (np.array([x]), np.array([y]))

    assert tilted_sag_mm(surface, 0.0, 0.0, *at) == surface.sag_mm(*at)


@given(slopes, slopes, places_mm, places_mm)
def test_a_tilted_flat_surface_is_a_plain_slope(right: float, up: float, x: float, y: float) -> None:
    depth = tilted_sag_mm(ToricSurface(0.0, 0.0, 180.0), right, up, np.array([x]), np.array([y]))

    assert depth[0] == pytest.approx(right * x + up * y, abs=1e-9)


@given(curvatures_per_mm.filter(lambda c: abs(c) > 1e-4), slopes, slopes, places_mm, places_mm)
def test_a_tilted_sphere_is_the_same_sphere_about_a_moved_centre(
    curvature: float, right: float, up: float, x: float, y: float
) -> None:
    radius, length = 1 / curvature, math.hypot(right, up, 1)
    centre = np.array([-right, -up, 1.0]) * radius / length

    depth = tilted_sag_mm(ToricSurface(curvature, curvature, 180.0), right, up, np.array([x]), np.array([y]))[0]

    assert np.linalg.norm(np.array([x, y, depth]) - centre) == pytest.approx(abs(radius), abs=1e-8)
