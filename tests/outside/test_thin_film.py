"""Light thrown back by bare and coated faces, against a general thin-film library.

The library works with Fresnel coefficients and transfer matrices of amplitudes at each boundary, for either
polarisation; ours multiplies characteristic matrices of films. Both get only indexes, thicknesses and wavelengths.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import pytest
from scipy.optimize import minimize
from tmm import coh_tmm, inc_tmm

from explain.facts import data_file, material
from explain.optics.coating import (
    Film,
    behind_share,
    ghost_share,
    luminous_reflectance,
    quarter_wave_film,
    stack_reflectance,
)
from explain.optics.reflection import (
    surface_reflectance,
    two_surface_transmittance,
    two_surface_transmittance_with_inner_reflections,
)
from explain.story.reflections import four_films, one_film

Note = Callable[[str, float], None]

INDEXES = {key: material(key).index_at_587_6_nm for key in data_file("materials")["materials"]}
SENSITIVITY = data_file("coating")["luminous_efficiency_by_nm"]["use"]
WAVELENGTHS_NM = [float(nm) for nm in range(380, 781, 10)]
GREEN_NM = 555.0
LENS_NM = 2e6
"""A lens 2 mm thick: its two faces are too far apart for light to interfere."""

QUARTER, TWO, FOUR = (one_film(),), (Film(1.46, 120.4), Film(2.0, 27.5)), four_films()
STACKS = {"bare": (), "quarter wave": QUARTER, "two films": TWO, "four films": FOUR}
each_material = pytest.mark.parametrize("index", INDEXES.values(), ids=INDEXES.keys())
each_stack = pytest.mark.parametrize("films", STACKS.values(), ids=STACKS.keys())


def library_face(films: Sequence[Film], index: float, nm: float, polarisation: str = "s") -> float:
    """Light thrown back by one face at right angles, by the library."""
    indexes = [1.0, *(film.index for film in films), index]
    thicknesses = [math.inf, *(film.thickness_nm for film in films), math.inf]
    return float(coh_tmm(polarisation, indexes, thicknesses, 0.0, nm)["R"])


def library_lens(films: Sequence[Film], index: float, nm: float) -> tuple[float, float]:
    """Light that passes and that is thrown back by a lens with the same films on both faces, every bounce counted."""
    inward = [(film.index, film.thickness_nm, "c") for film in films]
    layers = [(1.0, math.inf, "i"), *inward, (index, LENS_NM, "i"), *reversed(inward), (1.0, math.inf, "i")]
    indexes, thicknesses, kinds = (list(column) for column in zip(*layers, strict=True))
    found = inc_tmm("s", indexes, thicknesses, kinds, 0.0, nm)
    return float(found["T"]), float(found["R"])


@each_material
def test_a_bare_face_throws_back_what_the_library_says(index: float) -> None:
    assert surface_reflectance(index) == pytest.approx(library_face((), index, GREEN_NM), abs=1e-12)


@each_material
def test_a_bare_lens_passes_what_the_library_says_once_every_bounce_is_counted(index: float) -> None:
    passed, back = library_lens((), index, GREEN_NM)

    assert two_surface_transmittance_with_inner_reflections(index) == pytest.approx(passed, abs=1e-12)
    assert passed + back == pytest.approx(1, abs=1e-12)


@each_material
def test_light_that_passes_at_the_first_try_is_all_but_the_bounces(index: float) -> None:
    """The first ghost is R squared of what passes at first, and is all but the last thousandth of the rest."""
    passed, _ = library_lens((), index, GREEN_NM)

    first = two_surface_transmittance(index)
    assert passed / first - 1 == pytest.approx(ghost_share(surface_reflectance(index)), rel=0.01)


@each_stack
@each_material
def test_a_coated_face_throws_back_what_the_library_says(films: Sequence[Film], index: float, note: Note) -> None:
    misses = [
        abs(stack_reflectance(films, index, nm) - library_face(films, index, nm, polarisation))
        for nm in WAVELENGTHS_NM
        for polarisation in "sp"
    ]

    note("worst share of light", max(misses))
    assert len(misses) == 82
    assert max(misses) < 1e-12


@each_stack
def test_a_coated_face_throws_back_the_same_from_inside_the_lens(films: Sequence[Film]) -> None:
    inside = coh_tmm("s", [1.6, *(f.index for f in reversed(films)), 1.0], *ends(films), 0.0, GREEN_NM)["R"]

    assert stack_reflectance(films, 1.6, GREEN_NM) == pytest.approx(float(inside), abs=1e-12)


def ends(films: Sequence[Film]) -> tuple[list[float]]:
    return ([math.inf, *(film.thickness_nm for film in reversed(films)), math.inf],)


@each_stack
@each_material
def test_both_coated_faces_pass_what_the_library_says(films: Sequence[Film], index: float) -> None:
    each = stack_reflectance(films, index, GREEN_NM)
    passed, back = library_lens(films, index, GREEN_NM)

    assert (1 - each) / (1 + each) == pytest.approx(passed, abs=1e-12)
    assert behind_share(each) == pytest.approx(back, abs=2 * each**3)


@pytest.mark.parametrize("seed", range(20))
def test_any_stack_throws_back_what_the_library_says(seed: int) -> None:
    dice = np.random.default_rng(seed)
    films = [Film(*pair) for pair in zip(dice.uniform(1.3, 2.6, 6), dice.uniform(5, 300, 6), strict=True)]
    index, nm = dice.uniform(1.45, 1.9), dice.uniform(380, 780)

    assert stack_reflectance(films, index, nm) == pytest.approx(library_face(films, index, nm), abs=1e-12)


@each_stack
@each_material
def test_the_mean_as_the_eye_judges_it_is_that_of_the_library(films: Sequence[Film], index: float) -> None:
    weights = np.array(list(SENSITIVITY.values()))
    shares = np.array([library_face(films, index, nm) for nm in SENSITIVITY])

    expected = float(np.average(shares, weights=weights))
    assert luminous_reflectance(films, index, SENSITIVITY) == pytest.approx(expected, abs=1e-12)


@each_material
def test_the_example_layer_throws_back_a_tenth_of_a_bare_face_or_less(index: float, note: Note) -> None:
    bare, one, four = (luminous_reflectance(films, index, SENSITIVITY) for films in ((), QUARTER, FOUR))

    note("of 100 thrown back by each face, bare", 100 * bare)
    note("of 100 thrown back by each face, one film", 100 * one)
    note("of 100 thrown back by each face, four films", 100 * four)
    assert one < 0.4 * bare
    assert four < 0.1 * bare


def test_the_example_layer_is_the_least_mean_that_its_data_file_says() -> None:
    """Started from the thicknesses of the file, a search finds none that are better by a twentieth."""
    planned = [film.thickness_nm for film in FOUR]
    found = minimize(mean_thrown_back, planned, method="Nelder-Mead", options={"xatol": 0.2, "fatol": 1e-7})

    assert found.x == pytest.approx(planned, abs=1.0)
    assert mean_thrown_back(planned) < 1.05 * found.fun
    assert mean_thrown_back([thickness * 1.1 for thickness in planned]) > 1.05 * found.fun


def mean_thrown_back(thicknesses_nm: Sequence[float]) -> float:
    """Half as the eye judges it, half evenly from 430 to 670 nm, over all materials."""
    films = [Film(film.index, float(nm)) for film, nm in zip(FOUR, thicknesses_nm, strict=True)]
    evenly = {float(nm): 1.0 for nm in range(430, 671, 10)}
    means = [luminous_reflectance(films, n, weights) for n in INDEXES.values() for weights in (SENSITIVITY, evenly)]
    return sum(means) / len(means)


def test_a_quarter_wave_of_the_square_root_of_the_index_throws_nothing_back() -> None:
    film = quarter_wave_film(math.sqrt(1.6), GREEN_NM)

    assert stack_reflectance([film], 1.6, GREEN_NM) == pytest.approx(0, abs=1e-15)
    assert library_face([film], 1.6, GREEN_NM) == pytest.approx(0, abs=1e-15)
