"""Lenses: how thick they are and where."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from explain.optics.lens import (
    Lens,
    edge_at_equal_angles,
    edge_by_angle,
    edge_thicknesses_mm,
    level_section,
    level_sections,
    thickest_edge,
    thickest_mm,
    thickness_mm,
    thinnest_edge,
)
from explain.optics.making import LensOrder, make_lens, make_lenses
from explain.optics.outline import SHAPES, mirrored_outline, shape_outline
from explain.optics.power import SphereCylinder, transposed, wrapped_axis_deg
from explain.optics.prism import prism_wedge_slope
from explain.optics.surfaces import DoesNotReachError, exact_sag_mm

ROUND = shape_outline("round", 50, 50)
ROUNDED = shape_outline("rounded", 52, 38)


def quarters(count: int) -> float:
    return count / 4


orders = st.builds(
    LensOrder,
    power=st.builds(
        SphereCylinder,
        sphere_dpt=st.integers(min_value=-32, max_value=20).map(quarters),
        cylinder_dpt=st.integers(min_value=-12, max_value=12).map(quarters),
        axis_deg=st.integers(min_value=1, max_value=180).map(float),
    ),
    outline=st.sampled_from(sorted(SHAPES)).map(lambda shape: shape_outline(shape, 52, 38)),
    reference_point=st.tuples(st.floats(min_value=-4, max_value=4), st.floats(min_value=-2, max_value=5)),
    index=st.sampled_from((1.498, 1.586, 1.67, 1.74)),
    minimum_centre_mm=st.floats(min_value=1.0, max_value=2.2),
    minimum_edge_mm=st.floats(min_value=0.5, max_value=2.0),
    prism_right_prism_dpt=st.sampled_from((0.0, 0.0, -2.0, 1.5)),
    prism_up_prism_dpt=st.sampled_from((0.0, 0.0, -1.0, 3.0)),
)


def simple_order(sphere: float, cylinder: float = 0.0, axis: float = 180.0, **changes: object) -> LensOrder:
    return replace(LensOrder(SphereCylinder(sphere, cylinder, axis), ROUND, (0.0, 0.0), 1.498, 2.0, 1.0), **changes)


def test_a_minus_lens_is_thickest_at_its_edge_by_the_difference_of_the_sags() -> None:
    """-4.00, index 1.498, front 4.00 on the 1.530 scale: radius 132.5 mm; 25 mm out."""
    lens = make_lens(simple_order(-4.0))

    back = exact_sag_mm(1 / lens.back.along_per_mm, 25) - exact_sag_mm(132.5, 25)
    assert lens.centre_mm == 2.0
    assert thickest_edge(lens).thickness_mm == pytest.approx(2.0 + back)
    assert thickest_mm(lens) == thickest_edge(lens).thickness_mm


def test_a_plus_lens_is_thickest_in_the_middle_and_meets_its_least_edge() -> None:
    lens = make_lens(simple_order(4.0))

    assert thickest_mm(lens) == lens.centre_mm > 3.5
    assert thinnest_edge(lens).thickness_mm == pytest.approx(1.0, abs=1e-8)


def test_a_flat_fronted_lens_of_known_curves_has_the_printed_edge() -> None:
    """Nearly flat front, -4.00 back, index 1.498, 25 mm out: 2 mm in the middle, 4.54 mm at the edge."""
    lens = make_lens(simple_order(-4.0, base_curve_dpt=1e-9))

    assert thickest_edge(lens).thickness_mm == pytest.approx(4.536, abs=0.0005)


@pytest.mark.parametrize("axis", [15, 90, 140, 180])
def test_a_minus_cylinder_is_thickest_across_its_axis_and_thinnest_along_it(axis: int) -> None:
    lens = make_lens(simple_order(-2.0, -2.0, float(axis)))

    assert thickest_edge(lens).angle_deg % 180 == pytest.approx((axis + 90) % 180, abs=2)
    assert thinnest_edge(lens).angle_deg % 180 == pytest.approx(axis % 180, abs=2)


@pytest.mark.parametrize(("to_the_right", "thickest_deg"), [(4.0, 180.0), (-4.0, 0.0)])
def test_a_minus_lens_is_thickest_on_the_side_away_from_its_optical_centre(
    to_the_right: float, thickest_deg: float
) -> None:
    lens = make_lens(simple_order(-4.0, reference_point=(to_the_right, 0.0)))

    assert thickest_edge(lens).angle_deg == pytest.approx(thickest_deg)
    assert math.hypot(*thickest_edge(lens).point) == pytest.approx(25.0)


@pytest.mark.parametrize(("right", "up", "base_deg"), [(2, 0, 0), (-2, 0, 180), (0, 2, 90), (0, -2, 270), (2, 2, 45)])
def test_a_prism_is_thickest_at_its_base(right: float, up: float, base_deg: float) -> None:
    """To 2 degrees, the step of the outline."""
    lens = make_lens(simple_order(0.0, prism_right_prism_dpt=right, prism_up_prism_dpt=up))

    assert thickest_edge(lens).angle_deg == pytest.approx(base_deg, abs=2)
    assert thinnest_edge(lens).angle_deg == pytest.approx((base_deg + 180) % 360, abs=2)


def test_oblique_prism_is_one_wedge_not_two() -> None:
    lens = make_lens(simple_order(0.0, prism_right_prism_dpt=6.0, prism_up_prism_dpt=8.0))

    assert math.hypot(lens.wedge_right, lens.wedge_up) == pytest.approx(prism_wedge_slope(10.0, 1.498))
    assert lens.wedge_up / lens.wedge_right == pytest.approx(8 / 6)


def slope_only_miss_mm(sphere: float, prism: float) -> float:
    """How far a mere slope, added to the untilted surface, would be out at the edge."""
    order = simple_order(sphere, outline=shape_outline("round", 52, 52), prism_right_prism_dpt=prism)
    lens = make_lens(order)
    x, y = np.array(lens.outline).T
    untilted = replace(lens, wedge_right=0.0, wedge_up=0.0)
    return float(np.abs(thickness_mm(untilted, x, y) + lens.wedge_right * x - edge_thicknesses_mm(lens)).max())


def test_a_mere_slope_would_be_up_to_0_2_mm_out_for_2_prism_dioptres() -> None:
    """Why the back surface is really tilted: -8.00 in standard plastic, 26 mm out."""
    assert slope_only_miss_mm(-8.0, 2.0) == pytest.approx(0.20, abs=0.01)
    assert slope_only_miss_mm(0.0, 2.0) == pytest.approx(0.06, abs=0.01)


def test_a_lens_whose_back_ends_before_its_edge_is_refused() -> None:
    too_far = simple_order(-18.0, outline=shape_outline("round", 60, 60))

    with pytest.raises(DoesNotReachError, match=r"^a curve of radius \d+\.\d mm does not reach \d+\.\d mm out$"):
        make_lens(too_far)


def test_a_measured_centre_thickness_does_not_hide_that_a_lens_cannot_be_made() -> None:
    too_far = simple_order(-18.0, outline=shape_outline("round", 60, 60), centre_mm=1.2)

    with pytest.raises(DoesNotReachError):
        make_lens(too_far)


def test_a_measured_centre_thickness_is_taken_as_it_is() -> None:
    assert make_lens(simple_order(4.0, centre_mm=3.1)).centre_mm == 3.1


@given(orders)
def test_no_lens_is_thinner_than_allowed_nor_thicker_than_needed(order: LensOrder) -> None:
    lens = make_lens(order)

    edge = thinnest_edge(lens).thickness_mm
    assert lens.centre_mm >= order.minimum_centre_mm
    assert edge >= order.minimum_edge_mm - 1e-6
    if not (lens.wedge_right or lens.wedge_up):
        spare = lens.centre_mm - order.minimum_centre_mm, edge - order.minimum_edge_mm
        assert min(spare) == pytest.approx(0.0, abs=1e-6)


@given(orders, st.floats(min_value=0.0, max_value=0.8))
def test_a_minus_lens_with_prism_is_nowhere_thinner_than_its_least_centre(order: LensOrder, share: float) -> None:
    """The place of least thickness moves away from the reference point: it is found on rings, to 0.005 mm."""
    power = SphereCylinder(-abs(order.power.sphere_dpt), -abs(order.power.cylinder_dpt), order.power.axis_deg)
    prism = replace(order, power=power, prism_right_prism_dpt=2.0, minimum_edge_mm=0.5)
    lens = make_lens(prism)
    x, y = np.array(lens.outline).T

    assert thickness_mm(lens, x * share, y * share).min() >= prism.minimum_centre_mm - 0.005


@given(orders)
def test_a_thicker_minimum_never_makes_a_thinner_lens(order: LensOrder) -> None:
    lens = make_lens(order)
    thicker = make_lens(replace(order, minimum_edge_mm=order.minimum_edge_mm + 0.5))

    assert thicker.centre_mm >= lens.centre_mm - 1e-9


@given(orders)
def test_both_forms_of_a_prescription_give_the_same_edge(order: LensOrder) -> None:
    edge, other = (
        edge_thicknesses_mm(make_lens(replace(order, power=p))) for p in (order.power, transposed(order.power))
    )

    assert other == pytest.approx(edge, abs=1e-9)


def mirrored_order(order: LensOrder) -> LensOrder:
    power, (x, y) = order.power, order.reference_point
    return replace(
        order,
        power=SphereCylinder(power.sphere_dpt, power.cylinder_dpt, wrapped_axis_deg(180 - power.axis_deg)),
        outline=mirrored_outline(order.outline),
        reference_point=(-x, y),
        prism_right_prism_dpt=-order.prism_right_prism_dpt,
    )


@given(orders)
def test_the_mirrored_order_gives_the_mirrored_lens(order: LensOrder) -> None:
    lens, other = make_lens(order), make_lens(mirrored_order(order))

    assert edge_thicknesses_mm(other)[::-1] == pytest.approx(edge_thicknesses_mm(lens), abs=1e-8)
    assert other.centre_mm == pytest.approx(lens.centre_mm, abs=1e-8)


@given(orders)
def test_edge_points_lie_on_the_outline_and_are_counted_from_the_box_centre(order: LensOrder) -> None:
    points = [found.point for found in edge_by_angle(make_lens(order))]

    nearest = [min(math.dist(point, place) for place in order.outline) for point in points[::20]]
    assert max(nearest) < 1e-9
    assert len(points) == len(order.outline)


@given(orders)
def test_edge_by_angle_runs_once_round(order: LensOrder) -> None:
    angles = [point.angle_deg for point in edge_by_angle(make_lens(order))]

    assert angles == sorted(angles)
    assert angles[0] >= 0
    assert angles[-1] < 360


def distance_to_outline_mm(lens: Lens, x: float, y: float) -> float:
    """Distance from a point to the nearest side of the outline, both counted from the reference point."""
    start = np.array(lens.outline)
    side = np.roll(start, -1, axis=0) - start
    share = np.clip(np.einsum("ij,ij->i", np.array([x, y]) - start, side) / (side**2).sum(axis=1), 0, 1)
    return float(np.hypot(*(start + share[:, None] * side - [x, y]).T).min())


@given(orders)
def test_the_ends_of_the_level_section_lie_on_the_outline(order: LensOrder) -> None:
    lens = make_lens(order)

    across = level_section(lens).x_mm

    assert distance_to_outline_mm(lens, across[0], 0.0) < 1e-9
    assert distance_to_outline_mm(lens, across[-1], 0.0) < 1e-9
    assert across[0] < 0 < across[-1]


@given(orders)
def test_the_level_section_is_as_thick_as_the_lens(order: LensOrder) -> None:
    lens = make_lens(order)
    section = level_section(lens, 21)

    x = np.array(section.x_mm)
    gap = np.array(section.back_mm) - np.array(section.front_mm)
    assert gap == pytest.approx(thickness_mm(lens, x, np.zeros_like(x)))


def test_the_front_of_a_section_bends_back_towards_the_eye() -> None:
    section = level_section(make_lens(simple_order(-2.0)))

    assert section.front_mm[20] == pytest.approx(0.0, abs=1e-12)
    assert section.front_mm[0] == pytest.approx(exact_sag_mm(106.0, 25), abs=1e-6)


def test_a_stronger_minus_lens_is_thinner_at_the_edge_in_a_higher_index() -> None:
    edges = [thickest_mm(make_lens(simple_order(-6.0, index=index))) for index in (1.498, 1.60, 1.67, 1.74)]

    assert edges == sorted(edges, reverse=True)
    assert edges[0] - edges[-1] > 1.0


@pytest.mark.parametrize("cylinder_dpt", [0.0, -1.5])
def test_a_plus_lens_from_a_finished_round_has_the_least_edge_at_the_rim_of_that_round(cylinder_dpt: float) -> None:
    order = simple_order(4.0, cylinder_dpt, 30.0, outline=ROUNDED, reference_point=(3.0, 1.0), stock_diameter_mm=65.0)

    lens = make_lens(order)

    turns = np.radians(np.arange(0.0, 360.0, 0.5))
    rim = thickness_mm(lens, 32.5 * np.cos(turns), 32.5 * np.sin(turns))
    assert float(rim.min()) == pytest.approx(order.minimum_edge_mm, abs=1e-3)
    assert thinnest_edge(lens).thickness_mm > order.minimum_edge_mm


def test_a_larger_round_makes_a_thicker_plus_lens_and_never_a_thinner_one_than_ground_for_its_outline() -> None:
    ground, *rounds = (
        make_lens(simple_order(4.0, outline=ROUNDED, stock_diameter_mm=size)).centre_mm for size in (None, 65, 70, 75)
    )

    assert ground < rounds[0] < rounds[1] < rounds[2]


def test_a_round_whose_edge_lies_where_the_outline_ends_changes_nothing() -> None:
    ground, stock = (make_lens(simple_order(4.0, stock_diameter_mm=size)).centre_mm for size in (None, 50.0))

    assert stock == pytest.approx(ground, abs=1e-3)


@pytest.mark.parametrize("sphere_dpt", [0.0, -4.0])
def test_a_lens_without_plus_power_is_no_thicker_for_its_round(sphere_dpt: float) -> None:
    ground, stock = (make_lens(simple_order(sphere_dpt, stock_diameter_mm=size)) for size in (None, 75.0))

    assert stock.centre_mm == ground.centre_mm


@given(order=orders)
def test_eight_places_of_the_edge_lie_between_the_points_of_the_outline_beside_them(order):
    try:
        lens = make_lens(order)
    except DoesNotReachError:
        return
    edge = edge_by_angle(lens)

    for place in edge_at_equal_angles(lens, 8):
        beside = sorted(edge, key=lambda one: abs((one.angle_deg - place.angle_deg + 180) % 360 - 180))[:2]
        low, high = sorted(one.thickness_mm for one in beside)
        assert low - 0.05 <= place.thickness_mm <= high + 0.05
        assert math.degrees(math.atan2(place.point[1], place.point[0])) % 360 == pytest.approx(
            place.angle_deg, abs=1e-6
        )


def test_the_places_of_the_edge_run_counter_clockwise_from_the_viewer_s_right():
    order = LensOrder(SphereCylinder(-4.00), ROUND, (3.0, 0.0), 1.498, 2.0, 1.0)

    right, up, left, down = edge_at_equal_angles(make_lens(order), 4)

    assert [round(value, 6) for value in (*right.point, *up.point)] == [25, 0, 0, 25]
    assert up.thickness_mm == pytest.approx(down.thickness_mm)
    assert left.thickness_mm > up.thickness_mm > right.thickness_mm


@pytest.mark.parametrize("add_dpt", [0.0, 2.0])
@pytest.mark.parametrize("prism_prism_dpt", [0.0, 1.5])
def test_lenses_cut_together_are_those_cut_one_by_one(add_dpt: float, prism_prism_dpt: float) -> None:
    order = replace(simple_order(-3.0), add_dpt=add_dpt, prism_up_prism_dpt=prism_prism_dpt)
    lenses = make_lenses([replace(order, index=index) for index in (1.5, 1.6, 1.74)]).lenses

    together = level_sections(lenses)

    for lens, cut in zip(lenses, together, strict=True):
        alone = level_section(lens)
        assert cut.x_mm == alone.x_mm
        assert cut.front_mm == pytest.approx(alone.front_mm, abs=1e-12)
        assert cut.back_mm == pytest.approx(alone.back_mm, abs=1e-12)
    assert len({cut.back_mm for cut in together}) == 3


def test_a_made_lens_has_the_corners_of_its_outline() -> None:
    lens = make_lens(simple_order(-3.0, reference_point=(2.0, 1.0)))

    assert np.column_stack(lens.corners_mm) == pytest.approx(np.array(lens.outline), abs=0)
