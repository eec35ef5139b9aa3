"""Near: far points, near points and adds, against print and by law."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.near import (
    add_change_dpt,
    add_for_distance_dpt,
    amplitude_dpt,
    average_amplitude_dpt,
    clear_near_range_cm,
    far_point_from_eye_m,
    far_point_m,
    farthest_clear_cm,
    minimum_amplitude_dpt,
    near_point_m,
    near_point_without_glasses_m,
    nearest_ready_made_reader,
    power_for_far_point_dpt,
    task_power_dpt,
    working_distance_cm,
)
from explain.optics.power import SphereCylinder, combined, power_vector
from tests.published.reader import examples

adds = st.integers(2, 16).map(lambda steps: steps / 4)
amplitudes = st.floats(0, 8)
fractions = st.floats(0, 1)


@pytest.mark.parametrize("example", examples("far_point"))
def test_far_point_agrees_with_the_printed_answer(example):
    distance = example["given"]["far_point_m"]

    assert power_for_far_point_dpt(distance) == pytest.approx(example["printed"]["power_dpt"], abs=example["tolerance"])
    assert far_point_m(example["printed"]["power_dpt"]) == pytest.approx(distance)


@pytest.mark.parametrize("example", examples("far_point_with_gap"))
def test_far_point_with_gap_agrees_with_the_printed_answer(example):
    answer = far_point_from_eye_m(example["given"]["power_dpt"], 1000 * example["given"]["gap_m"])

    assert answer == pytest.approx(example["printed"]["far_m"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("near_point"))
def test_near_point_agrees_with_the_printed_answer(example):
    answer = near_point_m(example["given"]["power_dpt"], example["given"]["amplitude_dpt"])

    assert answer == pytest.approx(example["printed"]["near_m"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("near_point_with_gap"))
def test_near_point_with_gap_agrees_with_the_printed_answer(example):
    asked = example["given"]

    answer = near_point_without_glasses_m(asked["power_dpt"], asked["reads_at_m"], 1000 * asked["gap_m"])
    assert answer == pytest.approx(example["printed"]["near_m"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("amplitude"))
def test_amplitude_agrees_with_the_printed_answer(example):
    answer = amplitude_dpt(example["given"]["near_m"], example["given"]["far_m"])

    assert answer == pytest.approx(example["printed"]["amplitude_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("amplitude_by_age"))
def test_amplitude_by_age_agrees_with_the_printed_answer(example):
    answer = minimum_amplitude_dpt(example["given"]["age_years"])

    assert answer == pytest.approx(example["printed"]["minimum_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("clear_near_range"))
def test_clear_near_range_agrees_with_the_printed_answer(example):
    near, far = clear_near_range_cm(example["given"]["add_dpt"], example["given"]["amplitude_dpt"])

    assert near == pytest.approx(example["printed"]["near_cm"], abs=example["tolerance"])
    assert far == pytest.approx(example["printed"]["far_cm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("comfortable_distance"))
def test_comfortable_distance_agrees_with_the_printed_answer(example):
    asked = example["given"]

    answer = working_distance_cm(asked["add_dpt"], asked["amplitude_dpt"], asked["fraction_used"])
    assert answer / 100 == pytest.approx(example["printed"]["distance_m"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("task_power"))
def test_task_power_agrees_with_the_printed_answer(example):
    asked = example["given"]

    answer = task_power_dpt(
        asked["distance_power_dpt"], 100 * asked["task_m"], asked["amplitude_dpt"], asked["fraction_used"]
    )
    assert answer == pytest.approx(example["printed"]["power_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("add_change"))
def test_add_change_agrees_with_the_printed_answer(example):
    answer = add_change_dpt(example["given"]["from_cm"], example["given"]["to_cm"])

    assert answer == pytest.approx(example["printed"]["change_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("power", [0.0, 0.25, 3.0])
def test_an_eye_that_is_not_short_sighted_has_no_far_point(power):
    assert far_point_m(power) is None
    assert far_point_from_eye_m(power, 12) is None


def test_an_eye_that_cannot_overcome_its_plus_sees_nothing_clearly_without_it():
    assert near_point_m(3.0, 3.0) is None
    assert near_point_m(3.0, 2.0) is None


def test_glasses_too_weak_to_matter_leave_no_clear_distance_without_them():
    assert near_point_without_glasses_m(3.0, 0.40, 0.0) is None


@given(st.floats(-20, -0.25))
def test_a_far_point_and_its_power_belong_together(power):
    assert power_for_far_point_dpt(far_point_m(power)) == pytest.approx(power)


@given(adds, amplitudes)
def test_the_clear_range_runs_from_near_to_far(add, amplitude):
    near, far = clear_near_range_cm(add, amplitude)

    assert 0 < near <= far == farthest_clear_cm(add)


@given(adds, amplitudes, fractions)
def test_comfortable_work_lies_within_the_clear_range(add, amplitude, fraction):
    near, far = clear_near_range_cm(add, amplitude)

    assert near - 1e-9 <= working_distance_cm(add, amplitude, fraction) <= far + 1e-9


@given(st.floats(20, 200), amplitudes, fractions)
def test_the_add_for_a_distance_brings_that_distance_into_focus(distance, amplitude, fraction):
    add = add_for_distance_dpt(distance, amplitude, fraction)

    assert add >= 0
    if add > 0:
        assert working_distance_cm(add, amplitude, fraction) == pytest.approx(distance)


def test_with_nothing_to_focus_with_the_working_distance_is_without_end():
    assert working_distance_cm(0.0, 0.0, 0.5) == math.inf


@given(st.floats(0, 120))
def test_focus_never_grows_with_age_and_never_falls_below_nothing(age):
    assert average_amplitude_dpt(age) >= average_amplitude_dpt(age + 1) >= 0
    assert average_amplitude_dpt(age) >= minimum_amplitude_dpt(age) >= minimum_amplitude_dpt(age + 1) >= 0


@given(st.integers(-16, 32).map(lambda steps: steps / 8), st.integers(-24, 0).map(lambda steps: steps / 8))
def test_a_ready_made_reader_and_what_it_leaves_over_make_the_near_power(sphere, cylinder):
    near = SphereCylinder(sphere, cylinder, 20.0 if cylinder else 180.0)

    reader = nearest_ready_made_reader(near)
    if reader is not None:
        together = combined(SphereCylinder(reader.power_dpt), reader.left_over)
        assert power_vector(together) == pytest.approx(power_vector(near), abs=1e-9)
        assert abs(reader.left_over.sphere_dpt + reader.left_over.cylinder_dpt / 2) <= 0.125 + 1e-9


@pytest.mark.parametrize(
    ("equivalent", "reader"),
    [(0.625, None), (0.64, 0.75), (0.75, 0.75), (1.875, 1.75), (1.88, 2.00), (3.625, 3.50), (3.63, None), (-2.0, None)],
)
def test_the_reader_is_the_nearest_one_that_is_sold(equivalent, reader):
    found = nearest_ready_made_reader(SphereCylinder(equivalent))

    assert (found.power_dpt if found else None) == reader
