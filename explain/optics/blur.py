"""Blur: the patch that a point of light becomes in an eye that is out of focus."""

from __future__ import annotations

import math

from msgspec import Struct

from explain.optics.power import SphereCylinder, principal_powers

_ROUND_DEG = 180.0


class BlurEllipse(Struct, frozen=True):
    """The blur patch of a point: its two widths [mrad] and the direction of the longer one [deg, above 0 to 180].

    The direction is counted like an axis, facing the wearer; the wearer sees it mirrored. 180 for a round patch.
    """

    long_mrad: float
    short_mrad: float
    long_direction_deg: float


def blur_disc_mrad(pupil_mm: float, defocus_dpt: float) -> float:
    """Width of the blur patch of a point [mrad], 0 or more: pupil in mm times dioptres out of focus.

    Geometric: diffraction and the eye's own faults are left out, so it is too small near 0. Source: defocus_wiki.
    Checked by tests/published/blur_disc.yaml.

    >>> blur_disc_mrad(4.0, -1.00)
    4.0
    """
    return pupil_mm * abs(defocus_dpt)


def blur_disc_deg(pupil_mm: float, defocus_dpt: float) -> float:
    """Width of the blur patch of a point [deg], 0 or more.

    >>> round(blur_disc_deg(1.0, 1.00), 3)
    0.057
    """
    return math.degrees(blur_disc_mrad(pupil_mm, defocus_dpt) / 1000)


def blur_disc_arcmin(pupil_mm: float, defocus_dpt: float) -> float:
    """Width of the blur patch of a point [minutes of arc], 0 or more. The finest detail of good sight is about 1.

    >>> round(blur_disc_arcmin(4.0, 1.00), 2)
    13.75
    """
    return 60 * blur_disc_deg(pupil_mm, defocus_dpt)


def blur_ellipse(power: SphereCylinder, pupil_mm: float) -> BlurEllipse:
    """Blur patch of a far point in a relaxed eye that needs this power and does not get it.

    Along each principal meridian the patch is as wide as that meridian is out of focus. Geometric, as blur_disc_mrad.

    >>> blur_ellipse(SphereCylinder(-1.00, -2.00, 180.0), 4.0)
    BlurEllipse(long_mrad=12.0, short_mrad=4.0, long_direction_deg=90.0)
    """
    one, other = sorted(principal_powers(power), key=lambda principal: abs(principal.power_dpt))
    short, long = blur_disc_mrad(pupil_mm, one.power_dpt), blur_disc_mrad(pupil_mm, other.power_dpt)
    return BlurEllipse(long, short, _ROUND_DEG if math.isclose(long, short) else other.meridian_deg)
