"""The lenses of one eye, worked out at once: each is the lens that it is alone."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from explain.optics.lens import columns, thickest_at, thickest_edge, thickest_mm, thickness_mm, thinnest_edge
from explain.optics.making import LensOrder, make_lens, make_lenses
from explain.optics.outline import SHAPES, shape_outline
from explain.optics.power import SphereCylinder
from explain.optics.surfaces import DoesNotReachError, ToricSurface, tilted_sags_mm
from explain.optics.weight import volume_mm3, volumes_mm3

MATERIALS = ((1.498, 2.0, 1.0), (1.586, 1.5, 1.0), (1.60, 1.5, 0.8), (1.67, 1.3, 0.8), (1.74, 1.1, 0.8))

eyes = st.builds(
    LensOrder,
    power=st.builds(
        SphereCylinder,
        sphere_dpt=st.integers(min_value=-32, max_value=24).map(lambda count: count / 4),
        cylinder_dpt=st.integers(min_value=-12, max_value=12).map(lambda count: count / 4),
        axis_deg=st.integers(min_value=1, max_value=180).map(float),
    ),
    outline=st.sampled_from(sorted(SHAPES)).map(lambda shape: shape_outline(shape, 50, 38)),
    reference_point=st.tuples(st.floats(min_value=-3, max_value=3), st.floats(min_value=-2, max_value=4)),
    index=st.just(1.5),
    minimum_centre_mm=st.just(2.0),
    minimum_edge_mm=st.just(1.0),
    prism_right_prism_dpt=st.sampled_from((0.0, 0.0, -2.0)),
    prism_up_prism_dpt=st.sampled_from((0.0, 0.0, 3.0)),
    base_curve_dpt=st.sampled_from((None, None, 0.5, 4.0)),
    add_dpt=st.sampled_from((0.0, 0.0, 2.0)),
    stock_diameter_mm=st.sampled_from((None, None, 62.0)),
)


def in_all_materials(eye: LensOrder) -> list[LensOrder]:
    return [replace(eye, index=n, minimum_centre_mm=centre, minimum_edge_mm=edge) for n, centre, edge in MATERIALS]


@given(eyes)
def test_lenses_made_together_are_those_made_alone(eye: LensOrder) -> None:
    orders = in_all_materials(eye)

    stack = make_lenses(orders)

    for at, (order, lens) in enumerate(zip(orders, stack.lenses, strict=True)):
        alone = make_lens(order)
        assert lens.centre_mm == pytest.approx(alone.centre_mm, abs=1e-9)
        assert stack.thickest_edges[at].thickness_mm == pytest.approx(thickest_edge(alone).thickness_mm, abs=1e-9)
        assert stack.thinnest_edges[at].thickness_mm == pytest.approx(thinnest_edge(alone).thickness_mm, abs=1e-9)
        assert stack.thickest_mm[at] == pytest.approx(thickest_mm(alone), abs=1e-9)
        assert volumes_mm3(stack)[at] == pytest.approx(volume_mm3(alone), rel=1e-9)


@given(eyes, st.floats(min_value=0.0, max_value=1.0))
def test_each_row_is_the_thickness_of_that_lens(eye: LensOrder, share: float) -> None:
    stack = make_lenses(in_all_materials(eye))
    x, y = (share * places for places in columns(stack.outline))

    rows = stack.thickness_mm(x, y)

    for lens, row in zip(stack.lenses, rows, strict=True):
        assert row == pytest.approx(thickness_mm(lens, x, y), abs=1e-10)


@given(eyes)
def test_each_lens_is_told_the_edge_that_it_would_find_itself(eye: LensOrder) -> None:
    stack = make_lenses(in_all_materials(eye))

    for lens in stack.lenses:
        assert lens.edge_mm == pytest.approx(thickness_mm(lens, *columns(lens.outline)), abs=1e-10)
        assert not lens.edge_mm.flags.writeable


@given(eyes, st.floats(min_value=0.0, max_value=1.0))
def test_without_prism_and_progression_no_place_inside_is_thicker_than_middle_and_edge(
    eye: LensOrder, share: float
) -> None:
    stack = make_lenses(in_all_materials(replace(eye, prism_right_prism_dpt=0.0, prism_up_prism_dpt=0.0, add_dpt=0.0)))
    x, y = columns(stack.outline)

    inside = stack.thickness_mm(share * x, share * y).max(axis=1)

    assert (inside <= np.array(stack.thickest_mm) + 1e-9).all()


def test_a_stack_with_a_curve_that_ends_too_soon_is_refused_in_the_words_of_that_lens() -> None:
    eye = LensOrder(SphereCylinder(-18.0), shape_outline("round", 60, 60), (0.0, 0.0), 1.5, 2.0, 1.0)
    orders = in_all_materials(eye)
    assert make_lens(orders[-1])

    with pytest.raises(DoesNotReachError) as alone:
        make_lens(orders[0])
    with pytest.raises(DoesNotReachError) as together:
        make_lenses([orders[0], orders[-1]])

    assert str(together.value) == str(alone.value)


def test_tori_swept_at_right_angles_to_each_other_are_looked_up_together() -> None:
    tori = [ToricSurface(0.002, 0.01, 30.0), ToricSurface(0.001, -0.008, 120.0), ToricSurface(0.003, 0.004, 30.0)]
    x, y = np.array([3.0, -20.0, 11.0]), np.array([14.0, 2.0, -9.0])

    rows = tilted_sags_mm(tori, [(0.0, 0.0)] * 3, x, y)

    for torus, row in zip(tori, rows, strict=True):
        assert row == pytest.approx(torus.sag_mm(x, y), abs=1e-12)


@pytest.mark.parametrize("prism", [0.0, 2.0])
def test_an_outline_of_very_many_points_gives_the_lens_of_fewer(prism: float) -> None:
    def made(count: int) -> float:
        turns = np.linspace(0.0, 2 * np.pi, count, endpoint=False)
        outline = tuple(zip((26 * np.cos(turns)).tolist(), (19 * np.sin(turns)).tolist(), strict=True))
        order = LensOrder(SphereCylinder(3.0, -1.0, 30), outline, (1.0, 2.0), 1.5, 1.5, 1.0, prism)
        return make_lenses([order, replace(order, index=1.6)]).lenses[0].centre_mm

    assert made(1440) == pytest.approx(made(180), abs=1e-3)


@pytest.mark.parametrize("along_per_mm", [0.004, -0.004, 0.0])
@pytest.mark.parametrize("across_per_mm", [0.012, -0.012])
def test_hollow_bulging_and_flat_tori_are_alike_one_by_one_and_together(
    along_per_mm: float, across_per_mm: float
) -> None:
    torus = ToricSurface(along_per_mm, across_per_mm, 30.0)
    x, y = np.linspace(-30.0, 30.0, 61), np.linspace(20.0, -25.0, 61)
    row, other = tilted_sags_mm([torus, torus], [(0.0, 0.0)] * 2, x, y)
    assert row == pytest.approx(torus.sag_mm(x, y), abs=1e-12)
    assert other == pytest.approx(row)


def test_of_places_as_thick_the_first_counts() -> None:
    edge = np.array([[2.0, 3.0 - 1e-13, 2.5, 3.0], [1.0, 1.5, 4.0, 4.0 + 1e-12]])
    assert thickest_at(edge).tolist() == [1, 2]
    assert thickest_at(-edge).tolist() == [0, 0]
