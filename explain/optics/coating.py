"""Coating: how much light a lens face throws back when thin clear films lie on it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Values = float | NDArray[np.float64]
"""One value, or many that are worked out at once; arrays of other shapes go together as numpy puts them."""


class Film(Struct, frozen=True):
    """One clear film: its refractive index and its thickness [nm], or many thicknesses it may have."""

    index: float
    thickness_nm: Values


def quarter_wave_film(index: float, wavelength_nm: float) -> Film:
    """Return the film that is a quarter of a wave thick for light of this wavelength in air.

    >>> round(quarter_wave_film(1.38, 552.0).thickness_nm, 6)
    100.0
    """
    return Film(index, wavelength_nm / (4 * index))


def stack_reflectance(
    films: Sequence[Film], lens_index: float, wavelength_nm: Values, outside_index: float = 1.0
) -> Values:
    """Share of light of a wavelength that a coated face throws back, met at right angles [ratio 0 to 1].

    films: from the air inwards; none gives the bare face (Fresnel). The same from either side of the face. Clear films
    with an index that does not change with color, without roughness. Characteristic matrix of each film (Abeles),
    multiplied into [B, C]; r = (n0 B - C) / (n0 B + C). Recalled, not read; held against a thin-film library by
    tests/outside/test_thin_film.py.

    >>> round(float(stack_reflectance([], 1.5, 550.0)), 4)
    0.04
    >>> round(float(stack_reflectance([quarter_wave_film(1.5**0.5, 550.0)], 1.5, 550.0)), 9)
    0.0
    """
    b, c = np.ones_like(wavelength_nm, dtype=complex), np.full_like(wavelength_nm, lens_index, dtype=complex)
    for film in reversed(films):
        phase = 2 * np.pi * film.index * film.thickness_nm / wavelength_nm
        along, across = np.cos(phase), 1j * np.sin(phase)
        b, c = along * b + across / film.index * c, film.index * across * b + along * c
    share: Values = np.abs((outside_index * b - c) / (outside_index * b + c)) ** 2
    return share


def luminous_mean(share_at: Callable[[NDArray[np.float64]], Values], sensitivity: Mapping[float, float]) -> Values:
    """Mean of a share of light over all wavelengths [nm], as an eye weighs them [ratio].

    share_at: for all wavelengths at once, along the last axis. sensitivity: how strongly the eye answers to each
    wavelength [nm], at even steps, in any one unit. Light of equal power at all wavelengths.

    >>> round(float(luminous_mean(lambda nm: nm / 1000, {500.0: 1.0, 600.0: 3.0})), 3)
    0.575
    """
    wavelengths_nm, weights = np.array(list(sensitivity)), np.array(list(sensitivity.values()))
    mean: Values = share_at(wavelengths_nm) @ weights / weights.sum()
    return mean


def luminous_reflectance(films: Sequence[Film], lens_index: float, sensitivity: Mapping[float, float]) -> Values:
    """Share of light that a coated face throws back as an eye judges it [ratio 0 to 1]; see luminous_mean.

    films: many thicknesses that a film may have stand in a column, a row for each lens.

    >>> round(float(luminous_reflectance([], 1.6, {450.0: 0.04, 550.0: 1.0, 650.0: 0.1})), 4)
    0.0533
    """
    return luminous_mean(lambda nm: stack_reflectance(films, lens_index, nm), sensitivity)


def luminous_ghost(films: Sequence[Film], lens_index: float, sensitivity: Mapping[float, float]) -> Values:
    """Brightness of the second image of a lamp ahead, against the lamp itself, as an eye judges it [ratio].

    The mean of R^2, which is more than the square of the mean where R changes with color. Both faces coated alike.

    >>> round(float(luminous_ghost([], 1.5, {500.0: 1.0, 600.0: 1.0})), 6)
    0.0016
    """
    return luminous_mean(lambda nm: ghost_share(stack_reflectance(films, lens_index, nm)), sensitivity)


def ghost_share(reflectance: Values) -> Values:
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
