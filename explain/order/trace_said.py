"""What a trace file says about the order it was made for: prescription, pupils, heights and lens material."""

from __future__ import annotations

from explain.order.distances import LARGEST_PD_MM
from explain.order.model import Traced, TracedEye
from explain.order.trace_values import Sided, Values

SIDES = ("right", "left")


def said_by(values: Values, file: str) -> Traced:
    """What the file says about each eye. Nought stands for "not known" in distances, heights and the index.

    Not read: the tilts (PANTO, ZTILT), which have no place in an order, and the index for which surface tools are
    marked (TIND), which is no material.
    """
    far, far_was_split = _halved(values.sizes("IPD"))
    near, near_was_split = _halved(values.sizes("NPD"))
    right, left = (_eye(side, values, far, near) for side in SIDES)
    return Traced(file, right, left, far_was_split, near_was_split)


def _eye(side: str, values: Values, far: Sided, near: Sided) -> TracedEye:
    sphere, cylinder, axis, add = (values.numbers(label).of(side) for label in ("SPH", "CYL", "AX", "ADD"))
    centre, segment, index, vertex = (values.sizes(label).of(side) for label in ("OCHT", "SEGHT", "LIND", "BVD"))
    return TracedEye(sphere, cylinder, axis, add, far.of(side), near.of(side), centre, segment, index, vertex)


def _halved(distance: Sided) -> tuple[Sided, bool]:
    """A single distance longer than any from the nose to one pupil is that between both pupils."""
    both = distance.right
    if not distance.is_one or both is None or both <= LARGEST_PD_MM:
        return distance, False
    return Sided(distance.line, both / 2, both / 2), True
