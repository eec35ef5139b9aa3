"""Our lenses, traced by a general optical design library that knows nothing of spectacles.

The library gets only radii, a thickness, an index and a tilt. It meets the surfaces and bends the light by its own
means; our formulas for sag, vertex power and prism play no part in it.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from explain.optics.lens import Lens, edge_thicknesses_mm, thickness_mm
from explain.optics.making import LensOrder, make_lens
from explain.optics.power import SphereCylinder
from explain.optics.surfaces import DoesNotReachError

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # its docstrings hold unknown escapes, which Python reports on first reading
    from rayoptics.elem.profiles import Spherical, XToroid
    from rayoptics.elem.surface import Surface
    from rayoptics.parax.firstorder import paraxial_trace
    from rayoptics.raytr.raytrace import trace_raw

LENSES = 240
PRISM_LENSES = 120
GREEN_NM = 546.1
START_MM = -30.0
AHEAD = np.array([0.0, 0.0, 1.0])

Note = Callable[[str, float], None]
Orders = Callable[..., list[LensOrder]]


def back_frame(lens: Lens) -> Any:
    """Matrix whose rows are the back surface's own directions: tilted for the wedge, then turned to its meridian."""
    tilt = math.atan(math.hypot(lens.wedge_right, lens.wedge_up))
    uphill = math.atan2(lens.wedge_up, lens.wedge_right)
    about = np.array([math.sin(uphill), -math.cos(uphill), 0.0])
    tilted = Rotation.from_rotvec(tilt * about)
    turned = Rotation.from_euler("z", lens.back.direction_deg, degrees=True)
    return (tilted * turned).as_matrix().T


def elements(lens: Lens, front: Any, back: Any, index: float, frame: Any) -> Any:
    """Put the lens into the library's list of elements: a starting plane, the front, the back, each with what follows.

    z runs from the world to the eye, from the middle of the front face.
    """
    into, through = SimpleNamespace(thi=-START_MM), SimpleNamespace(thi=lens.centre_mm)
    plane = Surface(profile=Spherical(c=0.0), interact_mode="dummy")
    front_face = Surface(profile=front, delta_n=index - 1)
    back_face = Surface(profile=back, delta_n=1 - index)
    straight = np.identity(3)
    steps = [
        (plane, into, (straight, into.thi * AHEAD), 1.0, 1.0),
        (front_face, through, (frame, through.thi * AHEAD), index, 1.0),
        (back_face, None, None, 1.0, 1.0),
    ]
    return iter(steps)


def trace(lens: Lens, x_mm: float, y_mm: float, index: float) -> tuple[Any, Any, Any]:
    """Trace a ray that comes straight in at (x, y): where it meets the front, the back, and how it leaves."""
    frame = back_frame(lens)
    toroid = XToroid(c=lens.back.along_per_mm, cR=lens.back.across_per_mm)
    path = elements(lens, Spherical(c=lens.front_per_mm), toroid, index, frame)
    ray, _, _ = trace_raw(path, np.array([x_mm, y_mm, 0.0]), AHEAD, GREEN_NM)
    front, back = ray[1][0], frame.T @ ray[2][0] + np.array([0.0, 0.0, lens.centre_mm])
    return front, back, frame.T @ ray[2][1]


def power_along_dpt(power: SphereCylinder, direction_deg: float) -> float:
    return power.sphere_dpt + power.cylinder_dpt * math.sin(math.radians(direction_deg - power.axis_deg)) ** 2


def power_matrix_dpt(power: SphereCylinder) -> Any:
    across = math.radians(power.axis_deg + 90)
    one = np.array([math.cos(across), math.sin(across)])
    return power.sphere_dpt * np.identity(2) + power.cylinder_dpt * np.outer(one, one)


def made(orders: list[LensOrder]) -> list[tuple[LensOrder, Lens]]:
    """Make the lenses whose curves reach out to the edge."""
    lenses = []
    for order in orders:
        try:
            lenses.append((order, make_lens(order)))
        except DoesNotReachError:
            continue
    return lenses


@pytest.fixture(scope="module")
def lenses(random_orders: Orders) -> list[tuple[LensOrder, Lens]]:
    return made(random_orders(LENSES, seed=8429))


@pytest.fixture(scope="module")
def prism_lenses(random_orders: Orders) -> list[tuple[LensOrder, Lens]]:
    return made(random_orders(PRISM_LENSES, seed=21987, most_prism_dpt=6.0))


def test_at_least_200_random_lenses_can_be_made(
    lenses: list[tuple[LensOrder, Lens]], prism_lenses: list[tuple[LensOrder, Lens]]
) -> None:
    assert len(lenses) >= 200
    assert len(lenses) >= 0.95 * LENSES
    assert len(prism_lenses) >= 0.95 * PRISM_LENSES


def test_paraxial_trace_gives_back_the_ordered_power_in_both_principal_sections(
    lenses: list[tuple[LensOrder, Lens]], note: Note
) -> None:
    misses = []
    for order, lens in lenses:
        for turn, curvature in ((0, lens.back.along_per_mm), (90, lens.back.across_per_mm)):
            path = elements(lens, Spherical(c=lens.front_per_mm), Spherical(c=curvature), lens.index, np.identity(3))
            rays, _ = paraxial_trace(path, 0, [1.0, 0.0], [0.0, 1.0])
            height, slope, _ = rays[-1]
            ordered = power_along_dpt(order.power, lens.back.direction_deg + turn)
            misses.append(abs(-1000 * slope / height - ordered))

    note("worst dpt", max(misses))
    assert max(misses) < 0.01


def test_real_rays_near_the_axis_show_the_ordered_power_and_axis(
    lenses: list[tuple[LensOrder, Lens]], note: Note
) -> None:
    misses = []
    for order, lens in lenses:
        right, up = (trace(lens, *start, lens.index) for start in ((0.01, 0.0), (0.0, 0.01)))
        places = np.column_stack([right[1][:2], up[1][:2]])
        slopes = np.column_stack([right[2][:2] / right[2][2], up[2][:2] / up[2][2]])
        measured = -1000 * slopes @ np.linalg.inv(places)
        misses.append(np.abs(measured - power_matrix_dpt(order.power)).max())

    note("worst dpt", max(misses))
    assert max(misses) < 0.01


@pytest.mark.parametrize("kind", ["lenses", "prism_lenses"])
def test_straight_lines_through_both_faces_measure_our_thickness_at_the_edge(
    kind: str, request: pytest.FixtureRequest, note: Note
) -> None:
    misses = []
    for _, lens in request.getfixturevalue(kind):
        edge = edge_thicknesses_mm(lens)
        for at in {int(np.argmax(edge)), int(np.argmin(edge)), *range(0, len(edge), len(edge) // 6)}:
            front, back, _ = trace(lens, *lens.outline[at], index=1.0)
            misses.append(abs(back[2] - front[2] - edge[at]))

    note("worst mm", max(misses))
    assert max(misses) < 0.01


@pytest.mark.parametrize("kind", ["lenses", "prism_lenses"])
def test_bent_rays_half_way_out_meet_the_back_where_our_thickness_puts_it(
    kind: str, request: pytest.FixtureRequest, note: Note
) -> None:
    misses = []
    for _, lens in request.getfixturevalue(kind):
        for x, y in lens.outline[:: len(lens.outline) // 4]:
            _, back, _ = trace(lens, x / 2, y / 2, lens.index)
            front_there = Spherical(c=lens.front_per_mm).sag(back[0], back[1])
            ours = front_there + thickness_mm(lens, np.array([back[0]]), np.array([back[1]]))[0]
            misses.append(abs(back[2] - ours))

    note("worst mm", max(misses))
    assert max(misses) < 0.01


def test_a_ray_through_the_middle_turns_by_the_ordered_prism_towards_its_base(
    prism_lenses: list[tuple[LensOrder, Lens]], note: Note
) -> None:
    misses = []
    for order, lens in prism_lenses:
        _, _, leaves = trace(lens, 0.0, 0.0, lens.index)
        turned = 100 * leaves[:2] / leaves[2]
        ordered = (order.prism_right_prism_dpt, order.prism_up_prism_dpt)
        misses.append(float(np.abs(turned - ordered).max()))

    note("worst prism dpt", max(misses))
    assert max(misses) < 0.01


def test_a_ray_through_the_middle_of_a_lens_without_prism_goes_straight_on(
    lenses: list[tuple[LensOrder, Lens]],
) -> None:
    for _, lens in lenses:
        _, _, leaves = trace(lens, 0.0, 0.0, lens.index)

        assert leaves == pytest.approx(AHEAD, abs=1e-12)
