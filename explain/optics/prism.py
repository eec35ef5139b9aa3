"""Prism: how far a lens moves the picture when you look away from its centre."""

from __future__ import annotations

import math
from typing import Literal

from explain.optics.power import SphereCylinder, power_in_meridian_dpt

Eye = Literal["right", "left"]
Base = Literal["up", "down", "in", "out"]

_UPRIGHT_DEG = 90.0


def prentice_prism_dpt(power_dpt: float, decentration_mm: float) -> float:
    """Amount of prism at a distance from the optical centre [prism dpt], 0 or more: |F| times the centimetres.

    Prentice's rule, for a thin lens. Source: nfos_13a. Checked by tests/published/prentice.yaml.

    >>> prentice_prism_dpt(8.50, 2)
    1.7
    """
    return abs(power_dpt * decentration_mm) / 10


def prism_components(power: SphereCylinder, x_mm: float, y_mm: float) -> tuple[float, float]:
    """Prism at a point of a lens, counted from its optical centre: base to the viewer's right, base up [prism dpt].

    Prentice's rule as a vector: minus the power matrix times the place in centimetres, so the base of a plus lens
    lies towards the optical centre. Facing the wearer; below 0 is base left and base down. For a thin lens.

    >>> prism_components(SphereCylinder(2.00), 5.0, -10.0)
    (-1.0, 2.0)
    """
    axis = math.radians(power.axis_deg)
    level = power.sphere_dpt + power.cylinder_dpt * math.sin(axis) ** 2
    upright = power.sphere_dpt + power.cylinder_dpt * math.cos(axis) ** 2
    crossed = -power.cylinder_dpt * math.sin(axis) * math.cos(axis)
    return -(level * x_mm + crossed * y_mm) / 10, -(crossed * x_mm + upright * y_mm) / 10


def resultant_prism(base_right_prism_dpt: float, base_up_prism_dpt: float) -> tuple[float, float]:
    """Join two prism parts into one amount [prism dpt] and the direction of its base [deg, 0 up to 360].

    The direction counts counter-clockwise from the viewer's right; 0 for no prism at all. Exact. Source:
    college_prism. Checked by tests/published/resultant_prism.yaml.

    >>> resultant_prism(0.0, 2.0)
    (2.0, 90.0)
    """
    direction = math.degrees(math.atan2(base_up_prism_dpt, base_right_prism_dpt)) % 360
    return math.hypot(base_right_prism_dpt, base_up_prism_dpt), direction


def prism_from_base(amount_prism_dpt: float, base: Base, eye: Eye) -> tuple[float, float]:
    """Write an ordered prism as base to the viewer's right and base up [prism dpt].

    "in" is to the nose: the viewer's right for the right eye, the viewer's left for the left eye.

    >>> prism_from_base(1.0, "in", "right"), prism_from_base(1.0, "in", "left")
    ((1.0, 0.0), (-1.0, 0.0))
    """
    if base in ("up", "down"):
        return 0.0, amount_prism_dpt if base == "up" else -amount_prism_dpt
    to_the_right = (base == "in") == (eye == "right")
    return amount_prism_dpt if to_the_right else -amount_prism_dpt, 0.0


def base_words(
    base_right_prism_dpt: float, base_up_prism_dpt: float, eye: Eye
) -> tuple[Literal["in", "out"] | None, Literal["up", "down"] | None]:
    """Name the base of each part, level and upright; None where that part is 0.

    >>> base_words(-1.0, 0.5, "left")
    ('in', 'up')
    """
    nasal = base_right_prism_dpt if eye == "right" else -base_right_prism_dpt
    level: Literal["in", "out"] | None = ("in" if nasal > 0 else "out") if nasal else None
    upright: Literal["up", "down"] | None = ("up" if base_up_prism_dpt > 0 else "down") if base_up_prism_dpt else None
    return level, upright


def vertical_imbalance_prism_dpt(right: SphereCylinder, left: SphereCylinder, drop_mm: float) -> float:
    """Upright prism between the eyes when both look drop_mm away from the centres [prism dpt], 0 or more.

    Difference of the upright powers times the centimetres; equal adds cancel. What oblique cylinders add by looking
    inwards as well is left out. Source: cards_opt1156. Checked by tests/published/vertical_imbalance.yaml.

    >>> round(vertical_imbalance_prism_dpt(SphereCylinder(1.50), SphereCylinder(5.25), 8), 2)
    3.0
    """
    upright = power_in_meridian_dpt(right, _UPRIGHT_DEG) - power_in_meridian_dpt(left, _UPRIGHT_DEG)
    return prentice_prism_dpt(upright, drop_mm)


def image_jump_prism_dpt(add_dpt: float, top_to_centre_mm: float) -> float:
    """Jump of the picture at the top of a reading segment [prism dpt]: its add times the centimetres to its centre.

    Source: cards_opt1156 (5 mm for a flat-topped segment). Checked by tests/published/image_jump.yaml.

    >>> image_jump_prism_dpt(3.00, 5)
    1.5
    """
    return prentice_prism_dpt(add_dpt, top_to_centre_mm)


def decentration_for_prism_mm(power_dpt: float, prism_dpt: float) -> float:
    """How far to move a lens to get an amount of prism [mm], 0 or more: Prentice's rule turned round.

    A plus lens moves towards the wanted base, a minus lens away from it. Raises ZeroDivisionError for a lens without
    power, which cannot give prism. Source: cards_unit3. Checked by tests/published/prentice_inverse.yaml.

    >>> decentration_for_prism_mm(4.00, 2.0)
    5.0
    """
    return abs(10 * prism_dpt / power_dpt)


def deviation_deg(prism_dpt: float) -> float:
    """Angle by which a prism turns light [deg], with the sign of the prism: 1 prism dioptre is 1 cm at 1 m.

    >>> round(deviation_deg(10), 2)
    5.71
    """
    return math.degrees(math.atan(prism_dpt / 100))


def prism_wedge_slope(prism_dpt: float, index: float) -> float:
    """Growth in thickness of a prism towards its base [mm per mm], with the sign of the prism.

    Exact for light that meets the front at right angles: tan(apex) = sin(d) / (n - cos(d)), d the deviation
    (Snell's law at the back: n sin(apex) = sin(apex + d)).

    >>> round(prism_wedge_slope(10, 1.50), 4)
    0.1971
    """
    deviation = math.atan(prism_dpt / 100)
    return math.sin(deviation) / (index - math.cos(deviation))


def prism_apex_angle_deg(prism_dpt: float, index: float) -> float:
    """Angle between the faces of a prism [deg], exact for light that meets the front at right angles.

    >>> round(prism_apex_angle_deg(10, 1.50), 2)
    11.15
    """
    return math.degrees(math.atan(prism_wedge_slope(prism_dpt, index)))


def approximate_prism_apex_angle_deg(prism_dpt: float, index: float) -> float:
    """Angle between the faces of a thin prism [deg]: deviation / (n - 1). Within 0.3 deg to 10 prism dioptres.

    Checked by tests/published/prism_apex_angle.yaml (the printed answer there is wrong).

    >>> round(approximate_prism_apex_angle_deg(10, 1.50), 1)
    11.4
    """
    return deviation_deg(prism_dpt) / (index - 1)
