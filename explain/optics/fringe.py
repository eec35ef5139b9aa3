"""Fringe: the coloured edges that stronger lenses show towards their rim."""

from __future__ import annotations


def transverse_chromatic_prism_dpt(power_dpt: float, off_centre_mm: float, abbe_number: float) -> float:
    """How far blue and red are drawn apart when looking off the centre [prism dpt], 0 or more: prism / Abbe number.

    For a thin lens, between the lines F and C. Source: study_adv_33. Checked by
    tests/published/transverse_chromatic.yaml.

    >>> round(transverse_chromatic_prism_dpt(5.00, 10, 30), 2)
    0.17
    """
    return abs(power_dpt * off_centre_mm) / 10 / abbe_number


def longitudinal_chromatic_dpt(power_dpt: float, abbe_number: float) -> float:
    """How much stronger a lens is for blue than for red [dpt], 0 or more: |F| / Abbe number.

    Source: magazine_chroma. Checked by tests/published/longitudinal_chromatic.yaml.

    >>> longitudinal_chromatic_dpt(6.00, 30)
    0.2
    """
    return abs(power_dpt) / abbe_number
