"""Coating: laws of films on a face."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.coating import (
    Film,
    behind_share,
    ghost_share,
    luminous_ghost,
    luminous_mean,
    luminous_reflectance,
    quarter_wave_film,
    stack_reflectance,
)
from explain.optics.reflection import surface_reflectance

indexes = st.floats(1.3, 2.6)
waves = st.floats(380, 780)
films = st.builds(Film, indexes, st.floats(1, 400))
stacks = st.lists(films, max_size=6)
EYE = {450.0: 0.04, 555.0: 1.0, 650.0: 0.1}


@given(indexes, waves)
def test_no_film_at_all_gives_the_bare_face(index, wave):
    assert stack_reflectance([], index, wave) == pytest.approx(surface_reflectance(index))


@given(stacks, indexes, waves)
def test_a_face_throws_back_a_share(stack, index, wave):
    assert 0 <= stack_reflectance(stack, index, wave) < 1


@given(stacks, indexes, waves)
def test_light_is_thrown_back_alike_from_either_side(stack, index, wave):
    there, back = stack_reflectance(stack, index, wave), stack_reflectance(stack[::-1], 1.0, wave, outside_index=index)

    assert there == pytest.approx(back, abs=1e-9)


@given(stacks, indexes, waves)
def test_a_film_of_the_lens_itself_changes_nothing(stack, index, wave):
    thicker = [*stack, Film(index, 123.0)]

    assert stack_reflectance(thicker, index, wave) == pytest.approx(stack_reflectance(stack, index, wave), abs=1e-9)


@given(stacks, indexes, waves, indexes)
def test_half_a_wave_is_as_if_it_were_not_there(stack, index, wave, of):
    half = Film(of, wave / (2 * of))

    assert stack_reflectance([half, *stack], index, wave) == pytest.approx(
        stack_reflectance(stack, index, wave), abs=1e-9
    )


@given(indexes, indexes, waves)
def test_a_quarter_wave_follows_its_short_formula(of, index, wave):
    """((n - f^2) / (n + f^2))^2, as books print it; recalled."""
    expected = ((index - of**2) / (index + of**2)) ** 2

    assert stack_reflectance([quarter_wave_film(of, wave)], index, wave) == pytest.approx(expected, abs=1e-12)


@given(films, indexes, waves)
def test_a_film_of_low_index_never_makes_a_face_brighter(film, index, wave):
    """A film between air and lens in index lies between the bare face and none, whatever its thickness."""
    between = Film(1 + (index - 1) * 0.5, film.thickness_nm)

    assert stack_reflectance([between], index, wave) <= surface_reflectance(index) + 1e-12


def test_the_mean_lies_nearest_what_the_eye_sees_best():
    assert luminous_mean(lambda nm: np.where(nm == 555, 1.0, 0.0), EYE) == pytest.approx(1 / 1.14)


@given(stacks, indexes)
def test_a_ghost_is_at_least_the_square_of_the_mean(stack, index):
    assert luminous_ghost(stack, index, EYE) >= luminous_reflectance(stack, index, EYE) ** 2 - 1e-15


@given(st.floats(0, 0.5))
def test_light_from_behind_comes_off_both_faces_and_a_ghost_off_both_in_turn(share):
    assert share <= behind_share(share) <= 2 * share
    assert ghost_share(share) == pytest.approx(share * share)
    if share:
        back_and_front = sum((1 - share) ** 2 * share ** (2 * times + 1) for times in range(60))
        assert behind_share(share) <= share + back_and_front
        assert share + back_and_front == pytest.approx(2 * share / (1 + share))


def test_a_reflection_from_behind_is_nearly_all_the_light_a_bare_lens_throws_back():
    share = surface_reflectance(1.6)

    assert behind_share(share) == pytest.approx(2 * share / (1 + share), rel=0.003)
    assert math.isclose(behind_share(0.0), 0.0)
