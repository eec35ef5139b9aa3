"""The volume of our lenses against a closed mesh, measured by a general mesh library."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import trimesh

from explain.optics.lens import Lens, thickness_mm
from explain.optics.making import LensOrder, make_lens
from explain.optics.surfaces import sag_mm
from explain.optics.weight import volume_mm3

LENSES = 50
RINGS = 40


def closed_mesh(lens: Lens) -> trimesh.Trimesh:
    """Cover the front face, the back face and the edge wall with triangles, all facing outwards."""
    outline = np.array(lens.outline)
    shares = np.arange(1, RINGS + 1) / RINGS
    places = np.vstack([[0.0, 0.0], (shares[:, None, None] * outline).reshape(-1, 2)])
    front = sag_mm(lens.front_per_mm, np.hypot(places[:, 0], places[:, 1]))
    back = front + thickness_mm(lens, places[:, 0], places[:, 1])
    corners = np.vstack([np.column_stack([places, front]), np.column_stack([places, back])])
    back_faces = _disc(len(outline))
    front_faces = back_faces[:, ::-1]
    faces = np.vstack([front_faces, back_faces + len(places), _wall(len(outline), len(places))])
    return trimesh.Trimesh(corners, faces, process=False)


def _disc(count: int) -> Any:
    """Triangles of a fan in the middle and rings round it, counter-clockwise; corner 0 is the middle."""
    here = np.arange(count)
    ahead = (here + 1) % count
    fan = np.column_stack([np.zeros(count, dtype=int), 1 + here, 1 + ahead])
    bands = [fan]
    for ring in range(RINGS - 1):
        inner, outer = 1 + ring * count, 1 + (ring + 1) * count
        bands.append(np.column_stack([inner + here, outer + here, outer + ahead]))
        bands.append(np.column_stack([inner + here, outer + ahead, inner + ahead]))
    return np.vstack(bands)


def _wall(count: int, shift: int) -> Any:
    """Triangles between the last ring of the front and that of the back."""
    here = 1 + (RINGS - 1) * count + np.arange(count)
    ahead = np.roll(here, -1)
    return np.vstack(
        [np.column_stack([here, ahead, ahead + shift]), np.column_stack([here, ahead + shift, here + shift])]
    )


@pytest.fixture(scope="module")
def lenses(random_orders: Callable[..., list[LensOrder]]) -> list[Lens]:
    plain, with_prism = random_orders(LENSES - 15, seed=50), random_orders(15, seed=51, most_prism_dpt=4.0)
    return [make_lens(order) for order in (*plain, *with_prism)]


def test_volume_agrees_with_a_closed_mesh_to_1_in_1000(lenses: list[Lens], note: Callable[[str, float], None]) -> None:
    misses = []
    for lens in lenses:
        mesh = closed_mesh(lens)
        assert mesh.is_watertight
        assert mesh.is_winding_consistent
        misses.append(abs(mesh.volume / volume_mm3(lens) - 1))

    note("worst share", max(misses))
    assert len(misses) == LENSES
    assert max(misses) < 0.001
