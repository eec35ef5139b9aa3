"""Coating: how much light a lens face throws back when thin clear films lie on it."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct


class Film(Struct, frozen=True):
    """One clear film: its refractive index and its thickness [nm]."""

    index: float
    thickness_nm: float


def quarter_wave_film(index: float, wavelength_nm: float) -> Film:
    """Return the film that is a quarter of a wave thick for light of this wavelength in air.

    >>> round(quarter_wave_film(1.38, 552.0).thickness_nm, 6)
    100.0
    """
    return Film(index, wavelength_nm / (4 * index))


def stack_reflectance(
    films: Sequence[Film], lens_index: float, wavelength_nm: float, outside_index: float = 1.0
) -> float:
    """Share of light of one wavelength that a coated face throws back, met at right angles [ratio 0 to 1].

    films: from the air inwards; none gives the bare face (Fresnel). The same from either side of the face. Clear films
    with an index that does not change with color, without roughness. Characteristic matrix of each film (Abeles),
    multiplied into [B, C]; r = (n0 B - C) / (n0 B + C). Recalled, not read; held against a thin-film library by
    tests/outside/test_thin_film.py.

    >>> round(stack_reflectance([], 1.5, 550.0), 4)
    0.04
    >>> round(stack_reflectance([quarter_wave_film(math.sqrt(1.5), 550.0)], 1.5, 550.0), 9)
    0.0
    """
    b, c = complex(1.0), complex(lens_index)
    for film in reversed(films):
        phase = 2 * math.pi * film.index * film.thickness_nm / wavelength_nm
        b, c = (
            cmath.cos(phase) * b + 1j * cmath.sin(phase) / film.index * c,
            1j * film.index * cmath.sin(phase) * b + cmath.cos(phase) * c,
        )
    return abs((outside_index * b - c) / (outside_index * b + c)) ** 2


def luminous_mean(share_at: Callable[[float], float], sensitivity: Mapping[float, float]) -> float:
    """Mean of a share of light over all wavelengths [nm], as an eye weighs them [ratio].

    sensitivity: how strongly the eye answers to each wavelength [nm], at even steps, in any one unit. Light of equal
    power at all wavelengths.

    >>> round(luminous_mean(lambda nm: nm / 1000, {500.0: 1.0, 600.0: 3.0}), 3)
    0.575
    """
    return sum(weight * share_at(nm) for nm, weight in sensitivity.items()) / sum(sensitivity.values())


def luminous_reflectance(films: Sequence[Film], lens_index: float, sensitivity: Mapping[float, float]) -> float:
    """Share of light that a coated face throws back as an eye judges it [ratio 0 to 1]; see luminous_mean.

    >>> round(luminous_reflectance([], 1.6, {450.0: 0.04, 550.0: 1.0, 650.0: 0.1}), 4)
    0.0533
    """
    return luminous_mean(lambda nm: stack_reflectance(films, lens_index, nm), sensitivity)


def luminous_ghost(films: Sequence[Film], lens_index: float, sensitivity: Mapping[float, float]) -> float:
    """Brightness of the second image of a lamp ahead, against the lamp itself, as an eye judges it [ratio].

    The mean of R^2, which is more than the square of the mean where R changes with color. Both faces coated alike.

    >>> round(luminous_ghost([], 1.5, {500.0: 1.0, 600.0: 1.0}), 6)
    0.0016
    """
    return luminous_mean(lambda nm: ghost_share(stack_reflectance(films, lens_index, nm)), sensitivity)


def ghost_share(reflectance: float) -> float:
    """Brightness of the second image of a lamp ahead, against the lamp itself [ratio]: R^2.

    The light is thrown back inside the lens by the back face, then by the front face, and goes on to the eye. Both
    faces throw back `reflectance`; the material is clear.

    >>> round(ghost_share(0.04), 6)
    0.0016
    """
    return reflectance**2


def behind_share(reflectance: float) -> float:
    """Share of the light of a lamp behind the wearer that the lens throws toward the eye [ratio]: R + (1 - R)^2 R.

    From the back face, and from the front face through the back one twice. Both faces throw back `reflectance`; the
    material is clear; later bounces are left out.

    >>> round(behind_share(0.04), 4)
    0.0769
    """
    return reflectance + (1 - reflectance) ** 2 * reflectance
