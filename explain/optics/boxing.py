"""Boxing: where the eyes sit in a frame, and how large a round lens must be to fill it (ISO 8624)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import repeat

from explain.optics.outline import Point


def frame_pd_mm(lens_width_mm: float, bridge_mm: float) -> float:
    """Distance between the middles of the two lens boxes [mm]: lens width and bridge.

    Source: future_optom. Checked by tests/published/frame_pd.yaml.

    >>> frame_pd_mm(52, 18)
    70
    """
    return lens_width_mm + bridge_mm


def decentration_mm(frame_pd_mm: float, pd_mm: float) -> float:
    """How far each optical centre lies from the middle of its box [mm], for a pd of both eyes together.

    Above 0 inwards, to the nose; below 0 outwards. Source: askinglot_mbs. Checked by tests/published/decentration.yaml.

    >>> decentration_mm(70, 68)
    1.0
    """
    return (frame_pd_mm - pd_mm) / 2


def monocular_decentration_mm(frame_pd_mm: float, monocular_pd_mm: float) -> float:
    """How far one optical centre lies from the middle of its box [mm], inwards above 0, for the pd of that eye.

    >>> monocular_decentration_mm(70, 31.5)
    3.5
    """
    return frame_pd_mm / 2 - monocular_pd_mm


def effective_diameter_mm(points: Sequence[Point]) -> float:
    """Twice the longest reach from the middle of the box to the outline [mm]; points are about that middle.

    >>> effective_diameter_mm([(30, 0), (0, 20), (-24, -18), (0, -20)])
    60.0
    """
    return 2 * _reach_mm(points, (0.0, 0.0))


def minimum_blank_mm(effective_diameter_mm: float, decentration_per_eye_mm: float, allowance_mm: float = 0.0) -> float:
    """Diameter of a round lens that fills the frame for certain [mm]: ED + twice the shift of one eye + allowance.

    Never too small, often larger than needed: smallest_blank_mm knows the outline. Source: quiz_nao3b. Checked by
    tests/published/min_blank.yaml.

    >>> minimum_blank_mm(54, 3)
    60.0
    """
    return effective_diameter_mm + 2 * abs(decentration_per_eye_mm) + allowance_mm


def smallest_blank_mm(points: Sequence[Point], reference_point: Point, allowance_mm: float = 2.0) -> float:
    """Diameter of the smallest round lens, centred on the reference point, that covers the outline [mm].

    Twice the furthest outline point and an allowance for cutting (2 mm in some books: minimum_blank_mm's sources).
    Exact for lenses whose optical centre is in the middle of the blank.

    >>> smallest_blank_mm([(25, 0), (0, 20), (-25, 0), (0, -20)], (3, 0))
    58.0
    """
    return 2 * _reach_mm(points, reference_point) + allowance_mm


def _reach_mm(points: Sequence[Point], middle: Point) -> float:
    return max(map(math.dist, points, repeat(middle)))
