"""Weight: how heavy a cut lens is."""

from __future__ import annotations

from functools import cache, lru_cache

import numpy as np

from explain.optics.lens import Lens, thickness_mm
from explain.optics.outline import Points
from explain.optics.surfaces import Array

_OUTWARDS = 8
_ALONG = 2


def volume_mm3(lens: Lens) -> float:
    """Volume of the cut lens [mm3]: thickness integrated over the outline.

    Each side of the outline and the reference point make a triangle; Gauss quadrature inside it, exact for a fine
    outline to far below 0.01 in 100 (tests/outside/test_mesh_volume.py compares with a mesh library).
    """
    doubled_area, x, y = _triangles(lens.outline)
    _, along_weight = _nodes(_ALONG)
    outwards, outward_weight = _nodes(_OUTWARDS)
    thick = thickness_mm(lens, x, y)
    per_side = np.einsum("ijk,j,k->i", thick, along_weight, outward_weight * outwards)
    return float(np.sum(per_side * doubled_area))


def weight_g(lens: Lens, density_g_per_cm3: float) -> float:
    """Weight of the cut lens [g], without layers and bevel."""
    return volume_mm3(lens) / 1000 * density_g_per_cm3


@lru_cache(maxsize=32)
def _triangles(outline: Points) -> tuple[Array, Array, Array]:
    """Doubled area of each triangle, and its places across and up; the lenses of one eye in all materials share it."""
    start = np.array(outline)
    end = np.roll(start, -1, axis=0)
    doubled_area = start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]
    outwards, _ = _nodes(_OUTWARDS)
    along, _ = _nodes(_ALONG)
    side = start[:, None, :] + along[None, :, None] * (end - start)[:, None, :]
    place = outwards[None, None, :, None] * side[:, :, None, :]
    return doubled_area, np.ascontiguousarray(place[..., 0]), np.ascontiguousarray(place[..., 1])


@cache
def _nodes(count: int) -> tuple[np.ndarray, np.ndarray]:
    """Gauss-Legendre places and weights on 0 to 1."""
    places, weights = np.polynomial.legendre.leggauss(count)
    return (places + 1) / 2, weights / 2
