"""Reflection: how much light a lens throws back, and how much it lets through."""

from __future__ import annotations


def surface_reflectance(index: float, surrounding_index: float = 1.0) -> float:
    """Share of light one bare surface throws back, met at right angles [ratio 0 to 1]: ((n - n0) / (n + n0))^2.

    Fresnel. Source: ar_article. Checked by tests/published/surface_reflectance.yaml.

    >>> round(surface_reflectance(1.50), 4)
    0.04
    """
    return ((index - surrounding_index) / (index + surrounding_index)) ** 2


def coated_transmittance(reflectance: float) -> float:
    """Share of light that passes both surfaces at the first try [ratio], each throwing back `reflectance`: (1 - R)^2.

    A clear material and equal surfaces.

    >>> round(coated_transmittance(0.005), 4)
    0.99
    """
    return (1 - reflectance) ** 2


def two_surface_transmittance(index: float) -> float:
    """Share of light that passes a bare lens at the first try [ratio]: what makes the picture.

    Source: coater_letter. Checked by tests/published/transmittance.yaml.

    >>> round(two_surface_transmittance(1.523), 3)
    0.916
    """
    return coated_transmittance(surface_reflectance(index))


def two_surface_transmittance_with_inner_reflections(index: float) -> float:
    """Share of light that leaves a bare lens in the end, bounced to and fro inside or not [ratio]: 2n / (n^2 + 1).

    A little more than two_surface_transmittance; the extra is the light of ghosts. Source: nfos_refl. Checked by
    tests/published/transmittance.yaml.

    >>> round(two_surface_transmittance_with_inner_reflections(1.523), 4)
    0.9176
    """
    return 2 * index / (index**2 + 1)
