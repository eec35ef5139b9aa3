"""Tilt: what a lens does when it does not stand square before the eye."""

from __future__ import annotations

import math

from explain.optics.power import SphereCylinder, combined, difference, spherical_equivalent_dpt

LEVEL_AXIS_DEG, UPRIGHT_AXIS_DEG = 180.0, 90.0


def tilted_sphere(power_dpt: float, tilt_deg: float, index: float, axis_deg: float = LEVEL_AXIS_DEG) -> SphereCylinder:
    """Power that a spherical lens has when turned by tilt_deg about axis_deg (Martin's rule).

    S' = S (1 + sin^2 a / (2 n)), C' = S' tan^2 a, of the same sign, its axis along the turning axis: 180 for
    pantoscopic tilt, 90 for wrap. A thin lens, looked through at its centre, up to about 20 degrees. Source:
    college_tilt. Checked by tests/published/tilt.yaml.

    >>> lens = tilted_sphere(15.00, 10, 1.5)
    >>> round(lens.sphere_dpt, 2), round(lens.cylinder_dpt, 2), lens.axis_deg
    (15.15, 0.47, 180.0)
    """
    angle = math.radians(tilt_deg)
    sphere = power_dpt * (1 + math.sin(angle) ** 2 / (2 * index))
    return SphereCylinder(sphere, sphere * math.tan(angle) ** 2, axis_deg)


def approximate_change_by_tilt(
    power: SphereCylinder, tilt_deg: float, index: float, axis_deg: float = LEVEL_AXIS_DEG
) -> SphereCylinder:
    """Extra power that tilt gives any lens, in minus cylinder form: that of its spherical equivalent.

    What the cylinder adds is left out; for 2.00 of cylinder tilted by 10 degrees that is under 0.05.

    >>> change = approximate_change_by_tilt(SphereCylinder(-6.00), 8, 1.6)
    >>> round(change.sphere_dpt, 2), round(change.cylinder_dpt, 2), change.axis_deg
    (-0.04, -0.12, 180.0)
    """
    mean = spherical_equivalent_dpt(power)
    return difference(tilted_sphere(mean, tilt_deg, index, axis_deg), SphereCylinder(mean))


def approximate_tilted_power(
    power: SphereCylinder, tilt_deg: float, index: float, axis_deg: float = LEVEL_AXIS_DEG
) -> SphereCylinder:
    """Power of any lens when tilted, in minus cylinder form; see approximate_change_by_tilt."""
    return combined(power, approximate_change_by_tilt(power, tilt_deg, index, axis_deg))
