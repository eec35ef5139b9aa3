"""Convergence: how far the eyes turn in when they look at something near."""

from __future__ import annotations

LENS_TO_TURNING_POINT_MM = 27.0
"""From the lens to the point the eye turns about (from memory: 13 to 14 mm to the eye and 13.5 mm inside it)."""


def near_pd_mm(pd_mm: float, distance_cm: float, turning_point_mm: float = LENS_TO_TURNING_POINT_MM) -> float:
    """Distance from the nose's middle to where one eye looks through the lens at near [mm], by similar triangles.

    pd_mm is the same for far. distance_cm runs from the lens to what is looked at.

    >>> round(near_pd_mm(31.0, 40), 1)
    29.0
    """
    distance_mm = distance_cm * 10
    return pd_mm * distance_mm / (distance_mm + turning_point_mm)
