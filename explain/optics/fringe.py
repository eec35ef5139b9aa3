"""Fringe: the coloured edges that stronger lenses show towards their rim."""

from __future__ import annotations

import math


def chromatic_prism_dpt(prism_dpt: float, abbe_number: float) -> float:
    """How far a prism draws blue and red apart [prism dpt], 0 or more: prism / Abbe number.

    For a thin prism, between the lines F and C. Source: study_adv_33.

    >>> round(chromatic_prism_dpt(5.0, 30), 2)
    0.17
    """
    return abs(prism_dpt) / abbe_number


def transverse_chromatic_prism_dpt(power_dpt: float, off_centre_mm: float, abbe_number: float) -> float:
    """How far blue and red are drawn apart when looking off the centre [prism dpt], 0 or more: prism / Abbe number.

    For a thin lens, between the lines F and C. Source: study_adv_33. Checked by
    tests/published/transverse_chromatic.yaml.

    >>> round(transverse_chromatic_prism_dpt(5.00, 10, 30), 2)
    0.17
    """
    return chromatic_prism_dpt(power_dpt * off_centre_mm / 10, abbe_number)


def off_centre_for_prism_mm(at_centre: tuple[float, float], per_mm: tuple[float, float], prism_dpt: float) -> float:
    """How far off the centre the prism reaches an amount, on the side where it grows faster [mm].

    at_centre: prism there; per_mm: what each millimetre adds; both as base right and base up [prism dpt]. 0 where the
    centre has as much already, infinite where it is never reached. Root of |at_centre + per_mm d| = prism.

    >>> off_centre_for_prism_mm((0.0, 0.0), (0.3, 0.4), 2.0), off_centre_for_prism_mm((-1.0, 0.0), (0.5, 0.0), 2.0)
    (4.0, 2.0)
    """
    growth, centre = math.hypot(*per_mm), math.hypot(*at_centre)
    if centre >= prism_dpt:
        return 0.0
    if not growth:
        return math.inf
    along = abs(at_centre[0] * per_mm[0] + at_centre[1] * per_mm[1]) / growth
    return (math.sqrt(along**2 + prism_dpt**2 - centre**2) - along) / growth


def longitudinal_chromatic_dpt(power_dpt: float, abbe_number: float) -> float:
    """How much stronger a lens is for blue than for red [dpt], 0 or more: |F| / Abbe number.

    Source: magazine_chroma. Checked by tests/published/longitudinal_chromatic.yaml.

    >>> longitudinal_chromatic_dpt(6.00, 30)
    0.2
    """
    return abs(power_dpt) / abbe_number
