"""Change: how far one lens power is from another, in any direction, and how far its axis is turned."""

from __future__ import annotations

import math

from explain.optics.power import (
    PrincipalPower,
    SphereCylinder,
    difference,
    minus_cylinder_form,
    principal_powers,
)


def largest_change(old: SphereCylinder, new: SphereCylinder) -> PrincipalPower:
    """Change along the meridian where it is largest [dpt], plus where the new lens has more plus there.

    The principal power furthest from 0 of the lens that, laid on the old one, makes the new one; of two that are
    equally far, the plus one. Exact for thin lenses; the same in plus and in minus cylinder form.

    >>> largest_change(SphereCylinder(-2.00), SphereCylinder(-2.00, -0.75, 90)).power_dpt
    -0.75
    """
    return max(principal_powers(difference(new, old)), key=lambda one: (abs(one.power_dpt), one.power_dpt))


def cylinder_of_change_dpt(old: SphereCylinder, new: SphereCylinder) -> float:
    """Cylinder that laid on the old lens makes the new one, with the sphere that belongs to it [dpt], 0 or more.

    >>> cylinder_of_change_dpt(SphereCylinder(0.0, -1.00, 180), SphereCylinder(0.0, -1.00, 90))
    2.0
    """
    return abs(difference(new, old).cylinder_dpt)


def weaker_cylinder_dpt(old: SphereCylinder, new: SphereCylinder) -> float:
    """The smaller of two cylinders, without its sign [dpt]."""
    return min(abs(old.cylinder_dpt), abs(new.cylinder_dpt))


def axis_turn_deg(old: SphereCylinder, new: SphereCylinder) -> float:
    """Angle between two axes, 0 to 90 [deg], both in minus cylinder form. It has no meaning without a cylinder.

    >>> axis_turn_deg(SphereCylinder(0.0, -1.00, 175), SphereCylinder(-1.00, 1.00, 95))
    10.0
    """
    apart = abs(minus_cylinder_form(new).axis_deg - minus_cylinder_form(old).axis_deg) % 180
    return float(min(apart, 180 - apart))


def left_by_turn_dpt(cylinder_dpt: float, turn_deg: float) -> float:
    """Cylinder that a turned axis leaves uncorrected [dpt], 0 or more: 2 C sin(turn). Source: ola_axis.

    >>> round(left_by_turn_dpt(-0.75, 10), 3)
    0.26
    """
    return abs(2 * cylinder_dpt * math.sin(math.radians(turn_deg)))
