"""Magnify: how much larger or smaller the world, and the eyes behind the lens, look through a lens."""

from __future__ import annotations

PUPIL_BEHIND_CORNEA_MM = 3.0
"""From the front of the eye to its entrance pupil [mm]. Source: forum_sm."""


def pupil_distance_mm(vertex_mm: float) -> float:
    """Distance from the back of the lens to the entrance pupil [mm]: the vertex distance and 3 mm more.

    >>> pupil_distance_mm(12.0)
    15.0
    """
    return vertex_mm + PUPIL_BEHIND_CORNEA_MM


def shape_factor(front_dpt: float, thickness_mm: float, index: float) -> float:
    """Magnification from the front curve and the thickness [ratio]: 1 / (1 - (t/n) F1). 1 or more for a plus front.

    Exact near the axis: what thickness makes of the front's power (surfaces.vergence_at_back_dpt), as a ratio.
    Checked by tests/published/spectacle_magnification.yaml.

    >>> round(shape_factor(6.00, 2.0, 1.50), 6)
    1.008065
    """
    return 1 / (1 - thickness_mm / 1000 / index * front_dpt)


def power_factor(back_vertex_power_dpt: float, pupil_distance_mm: float) -> float:
    """Magnification from the power and the distance to the entrance pupil [ratio]: 1 / (1 - h F'v).

    Above 1 for a plus lens, below 1 for a minus lens. Source: study_adv_32. Checked by
    tests/published/power_factor.yaml.

    >>> round(power_factor(-4.00, 15), 6)
    0.943396
    """
    return 1 / (1 - pupil_distance_mm / 1000 * back_vertex_power_dpt)


def spectacle_magnification(
    front_dpt: float, thickness_mm: float, index: float, back_vertex_power_dpt: float, vertex_mm: float
) -> float:
    """Size of the picture with the lens against without it [ratio]; 0.95 is 5 in 100 smaller.

    Shape factor times power factor, the latter to the entrance pupil. Exact near the axis, along one meridian.
    Checked by tests/published/spectacle_magnification.yaml.

    >>> round(spectacle_magnification(6.00, 2.0, 1.50, -4.00, 12), 6)
    0.951004
    """
    power = power_factor(back_vertex_power_dpt, pupil_distance_mm(vertex_mm))
    return shape_factor(front_dpt, thickness_mm, index) * power


def approximate_spectacle_magnification(
    front_dpt: float, thickness_mm: float, power_dpt: float, vertex_mm: float
) -> float:
    """Size of the picture by the short rule, for an index of 1.5 [ratio]: 1 + (t F1 / 15 + h F / 10) / 100.

    t and h in mm, h to the entrance pupil. Too small for strong plus lenses: 1.123 against 1.137 exactly for +6 dpt.
    Source: cards_labs. Checked by tests/published/spectacle_magnification_quick.yaml.

    >>> round(approximate_spectacle_magnification(10.00, 5.0, 6.00, 12), 4)
    1.1233
    """
    percent = thickness_mm * front_dpt / 15 + pupil_distance_mm(vertex_mm) * power_dpt / 10
    return 1 + percent / 100
