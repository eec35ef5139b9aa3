"""Power: what a lens does to light, in any direction across it."""

from __future__ import annotations

import math

from msgspec import Struct

_NO_CYLINDER_DPT = 1e-9
"""A cylinder this small is only the rounding of the arithmetic."""


class SphereCylinder(Struct, frozen=True):
    """A lens power as it is written: sphere, cylinder (either sign) and axis.

    sphere_dpt, cylinder_dpt in dioptres, minus spreads light. axis_deg from above 0 to 180, counted
    counter-clockwise from the viewer's right while facing the wearer (ISO 8429), the same for both eyes.
    With no cylinder the axis has no meaning and is kept at 180.
    """

    sphere_dpt: float
    cylinder_dpt: float = 0.0
    axis_deg: float = 180.0


class PrincipalPower(Struct, frozen=True):
    """Power [dpt] along one of the two meridians in which it is greatest or least; meridian_deg above 0 to 180."""

    power_dpt: float
    meridian_deg: float


def wrapped_axis_deg(angle_deg: float) -> float:
    """Write any angle as an axis [deg], above 0 to 180: an axis has no front and back end, and 0 is written 180.

    >>> wrapped_axis_deg(0.0), wrapped_axis_deg(190.0)
    (180.0, 10.0)
    """
    return angle_deg % 180 or 180.0


def transposed(power: SphereCylinder) -> SphereCylinder:
    """Write the same lens with the other sign of cylinder. Exact; without cylinder nothing changes.

    sph' = sph + cyl, cyl' = -cyl, axis' = axis + 90. Source: nfos_08. Checked by tests/published/transposition.yaml.

    >>> transposed(SphereCylinder(2.50, -1.50, 170))
    SphereCylinder(sphere_dpt=1.0, cylinder_dpt=1.5, axis_deg=80)
    """
    if power.cylinder_dpt == 0:
        return SphereCylinder(power.sphere_dpt)
    sphere = power.sphere_dpt + power.cylinder_dpt
    return SphereCylinder(sphere, -power.cylinder_dpt, wrapped_axis_deg(power.axis_deg + 90))


def minus_cylinder_form(power: SphereCylinder) -> SphereCylinder:
    """Write the same lens with a cylinder of 0 or less, as most of the trade writes it.

    >>> minus_cylinder_form(SphereCylinder(-1.00, 1.00, 80))
    SphereCylinder(sphere_dpt=0.0, cylinder_dpt=-1.0, axis_deg=170)
    """
    return power if power.cylinder_dpt < 0 else transposed(power)


def plus_cylinder_form(power: SphereCylinder) -> SphereCylinder:
    """Write the same lens with a cylinder of 0 or more.

    >>> plus_cylinder_form(SphereCylinder(0.00, -0.50, 58))
    SphereCylinder(sphere_dpt=-0.5, cylinder_dpt=0.5, axis_deg=148)
    """
    return power if power.cylinder_dpt > 0 else transposed(power)


def principal_powers(power: SphereCylinder) -> tuple[PrincipalPower, PrincipalPower]:
    """Powers in the two principal meridians: first along the axis (the sphere), then at right angles to it.

    >>> [one.power_dpt for one in principal_powers(SphereCylinder(-2.00, -1.00, 37))]
    [-2.0, -3.0]
    """
    across = PrincipalPower(power.sphere_dpt + power.cylinder_dpt, wrapped_axis_deg(power.axis_deg + 90))
    return PrincipalPower(power.sphere_dpt, wrapped_axis_deg(power.axis_deg)), across


def strongest_power_dpt(power: SphereCylinder) -> float:
    """Return the principal power furthest from 0 [dpt], with its sign; of +1.00 and -1.00, the plus one.

    >>> strongest_power_dpt(SphereCylinder(1.00, -3.00, 20))
    -2.0
    """
    along, across = power.sphere_dpt, power.sphere_dpt + power.cylinder_dpt
    return max(along, across, key=lambda dpt: (abs(dpt), dpt))


def power_in_meridian_dpt(power: SphereCylinder, meridian_deg: float) -> float:
    """Power along a meridian [dpt]; 90 is upright, 180 level. Exact for a thin lens.

    F(m) = sph + cyl sin^2(m - axis). Source: nfos_10a. Checked by tests/published/oblique_power.yaml.

    >>> round(power_in_meridian_dpt(SphereCylinder(-8.00, -2.00, 112), 180), 2)
    -9.72
    """
    return power.sphere_dpt + power.cylinder_dpt * cylinder_share(meridian_deg - power.axis_deg)


def cylinder_share(from_axis_deg: float) -> float:
    """Share of a cylinder that acts at an angle from its axis, 0 on the axis to 1 across it [ratio].

    sin^2. Source: aboc_pct. Checked by tests/published/cylinder_share.yaml.

    >>> round(cylinder_share(30), 2)
    0.25
    """
    return math.sin(math.radians(from_axis_deg)) ** 2


def spherical_equivalent_dpt(power: SphereCylinder) -> float:
    """Mean power over all meridians [dpt]: sph + cyl / 2, the same in both forms.

    Source: study_transpose. Checked by tests/published/spherical_equivalent.yaml.

    >>> spherical_equivalent_dpt(SphereCylinder(-2.00, -1.00, 180))
    -2.5
    """
    return power.sphere_dpt + power.cylinder_dpt / 2


def near_power(power: SphereCylinder, add_dpt: float) -> SphereCylinder:
    """Power for near: the add is added to the sphere, cylinder and axis stay. An add is 0 or more.

    >>> near_power(SphereCylinder(-3.25, -0.75, 172), 1.75)
    SphereCylinder(sphere_dpt=-1.5, cylinder_dpt=-0.75, axis_deg=172)
    """
    return SphereCylinder(power.sphere_dpt + add_dpt, power.cylinder_dpt, power.axis_deg)


def power_vector(power: SphereCylinder) -> tuple[float, float, float]:
    """Write a power as three numbers that can be added and subtracted: M, J0 and J45 [dpt].

    M = S + C/2, J0 = -(C/2) cos 2a, J45 = -(C/2) sin 2a. Exact. Checked by tests/published/crossed_cylinders.yaml.

    >>> [round(part, 3) for part in power_vector(SphereCylinder(1.00, -2.00, 180))]
    [0.0, 1.0, 0.0]
    """
    half, twice = power.cylinder_dpt / 2, math.radians(2 * (power.axis_deg % 180))
    return power.sphere_dpt + half, -half * math.cos(twice), -half * math.sin(twice)


def from_power_vector(m_dpt: float, j0_dpt: float, j45_dpt: float) -> SphereCylinder:
    """Write M, J0 and J45 [dpt] as sphere, minus cylinder and axis; the inverse of power_vector.

    A cylinder below a billionth of a dioptre is arithmetic, not glass, and counts as none.

    >>> from_power_vector(-2.5, 0.5, 0.0)
    SphereCylinder(sphere_dpt=-2.0, cylinder_dpt=-1.0, axis_deg=180.0)
    """
    half = math.hypot(j0_dpt, j45_dpt)
    if 2 * half < _NO_CYLINDER_DPT:
        return SphereCylinder(m_dpt)
    axis = wrapped_axis_deg(math.degrees(math.atan2(j45_dpt, j0_dpt)) / 2)
    return SphereCylinder(m_dpt + half, -2 * half, axis)


def combined(a: SphereCylinder, b: SphereCylinder) -> SphereCylinder:
    """Add two thin lenses held together, their axes at any angle, in minus cylinder form. Exact for thin lenses.

    Source: tio_2022_105. Checked by tests/published/crossed_cylinders.yaml.

    >>> combined(SphereCylinder(1.00, -2.00, 90), SphereCylinder(0.00, -1.00, 180))
    SphereCylinder(sphere_dpt=0.0, cylinder_dpt=-1.0, axis_deg=90.0)
    """
    m_a, j0_a, j45_a = power_vector(a)
    m_b, j0_b, j45_b = power_vector(b)
    return from_power_vector(m_a + m_b, j0_a + j0_b, j45_a + j45_b)


def difference(a: SphereCylinder, b: SphereCylinder) -> SphereCylinder:
    """Return a minus b in minus cylinder form: the lens that, laid on b, makes a.

    >>> difference(SphereCylinder(-3.00), SphereCylinder(-2.50))
    SphereCylinder(sphere_dpt=-0.5, cylinder_dpt=0.0, axis_deg=180.0)
    """
    return combined(a, SphereCylinder(-b.sphere_dpt, -b.cylinder_dpt, b.axis_deg))


def anisometropia_dpt(right: SphereCylinder, left: SphereCylinder) -> float:
    """How far the two eyes differ on average [dpt], 0 or more: the difference of their spherical equivalents.

    >>> anisometropia_dpt(SphereCylinder(-3.00, -1.00, 180), SphereCylinder(-1.00))
    2.5
    """
    return abs(spherical_equivalent_dpt(right) - spherical_equivalent_dpt(left))


def largest_difference_dpt(right: SphereCylinder, left: SphereCylinder) -> float:
    """How far the two eyes differ in the meridian where they differ most [dpt], 0 or more.

    >>> round(largest_difference_dpt(SphereCylinder(-1.00, -2.00, 180), SphereCylinder(-1.00, -2.00, 90)), 6)
    2.0
    """
    return abs(strongest_power_dpt(difference(right, left)))


def mirrored(power: SphereCylinder) -> SphereCylinder:
    """Give the same lens as a mirror shows it, or as the wearer looks through it: the axis runs the other way.

    >>> mirrored(SphereCylinder(-1.00, -0.50, 10))
    SphereCylinder(sphere_dpt=-1.0, cylinder_dpt=-0.5, axis_deg=170)
    """
    return SphereCylinder(power.sphere_dpt, power.cylinder_dpt, wrapped_axis_deg(180 - power.axis_deg))
