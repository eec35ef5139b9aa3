"""Tint: categories at their edges, and the band in which light-reactive lenses darken and clear."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.facts import data_file
from explain.optics.spread import Spread
from explain.optics.tint import (
    band_after_of_100,
    darker,
    half_time_from_target_s,
    half_time_of_share_s,
    optical_density,
    passed_after_of_100,
    time_to_reach_s,
    tint_category,
)

CATEGORIES = data_file("tints")["let_through_of_100"]
light = st.floats(1, 100)
times = st.floats(1, 3600)
seconds = st.floats(0, 7200)


def spreads(low, high):
    ends = st.tuples(st.floats(low, high), st.floats(low, high))
    return ends.map(lambda pair: Spread(*sorted(pair)))


@pytest.mark.parametrize(
    ("passed", "category"),
    [(100, 0), (80.01, 0), (80, 1), (43.01, 1), (43, 2), (18.01, 2), (18, 3), (8.01, 3), (8, 4), (3.01, 4)],
)
def test_a_category_begins_just_above_its_low_end_and_ends_at_its_high_end(passed, category):
    assert tint_category(passed, CATEGORIES) == category


@pytest.mark.parametrize("passed", [3.0, 0.0, 100.1])
def test_a_lens_in_no_category_is_refused(passed):
    with pytest.raises(ValueError, match="no tint category"):
        tint_category(passed, CATEGORIES)


@given(light, light)
def test_densities_add_where_lights_multiply(one, other):
    assert optical_density(one) + optical_density(other) == pytest.approx(optical_density(one * other / 100))


@given(light, light, times)
def test_a_lens_begins_at_its_start_and_ends_at_its_end(start, end, half):
    assert passed_after_of_100(start, end, half, 0.0) == pytest.approx(start)
    assert passed_after_of_100(start, end, half, 60 * half) == pytest.approx(end)


@given(light, light, times)
def test_half_of_the_density_that_is_left_goes_in_each_half_time(start, end, half):
    density = [optical_density(passed_after_of_100(start, end, half, half * n)) for n in range(3)]

    assert density[0] - density[1] == pytest.approx(2 * (density[1] - density[2]), abs=1e-9)


@given(st.floats(5, 40), st.floats(85, 99), times, st.floats(0.05, 0.95))
def test_time_and_half_time_undo_each_other(start, end, half, share):
    target = passed_after_of_100(start, end, half, half * share * 5)

    time = time_to_reach_s(start, end, half, target)
    assert time == pytest.approx(half * share * 5, rel=1e-6)
    assert half_time_from_target_s(start, end, target, time) == pytest.approx(half, rel=1e-6)


@pytest.mark.parametrize(("start", "end", "target"), [(20, 80, 80), (20, 80, 90), (20, 80, 10), (80, 20, 20)])
def test_a_target_off_the_way_is_refused(start, end, target):
    with pytest.raises(ValueError, match="not on the way"):
        time_to_reach_s(start, end, 60.0, target)


def test_nine_tenths_take_a_little_over_three_half_times():
    assert 30 / half_time_of_share_s(0.9, 30) == pytest.approx(math.log2(10))


@given(spreads(5, 40), spreads(45, 99), spreads(5, 900), seconds, st.tuples(*[st.floats(0, 1)] * 3))
def test_every_lens_of_the_ranges_stays_inside_the_band(start, end, half, time, shares):
    def inside(spread, share):
        return spread.low + share * (spread.high - spread.low)

    picked = [inside(*pair) for pair in zip((start, end, half), shares, strict=True)]
    for first, last in (picked[:2], picked[1::-1]):
        ends = (start, end) if first is picked[0] else (end, start)
        band = band_after_of_100(*ends, half, time)
        assert band.low - 1e-6 <= passed_after_of_100(first, last, picked[2], time) <= band.high + 1e-6


@given(spreads(5, 40), spreads(45, 99), spreads(5, 900), seconds)
def test_the_edges_of_the_band_are_lenses_of_the_ranges(start, end, half, time):
    band = band_after_of_100(start, end, half, time)
    corners = itertools.product(*[(spread.low, spread.high) for spread in (start, end, half)])
    lenses = [passed_after_of_100(*corner, time) for corner in corners]

    assert (band.low, band.high) == pytest.approx((min(lenses), max(lenses)), abs=1e-6)


@given(spreads(5, 40), spreads(45, 99), spreads(5, 900), seconds, st.floats(1, 600))
def test_clearing_lets_through_more_and_darkening_less_as_time_goes_on(dark, clear, half, time, more):
    now, later = (band_after_of_100(dark, clear, half, t) for t in (time, time + more))
    assert (now.low <= later.low + 1e-6, now.high <= later.high + 1e-6) == (True, True)

    now, later = (band_after_of_100(clear, dark, half, t) for t in (time, time + more))
    assert (now.low >= later.low - 1e-6, now.high >= later.high - 1e-6) == (True, True)


@given(spreads(5, 40), spreads(45, 99))
def test_a_larger_gain_of_density_is_darker_and_the_same_gain_changes_nothing(dark, clear):
    same, more = darker(dark, clear, 1.0), darker(dark, clear, 1.4)

    assert (same.low, same.high) == pytest.approx((dark.low, dark.high))
    assert more.low < dark.low
    assert more.high < dark.high


@pytest.mark.parametrize("ends", [(2.0, 1.0), (0.0, 1.0), (-1.0, 1.0), (math.nan, 1.0)])
def test_a_range_that_falls_or_reaches_0_is_refused(ends):
    with pytest.raises(ValueError, match="must be above 0 and rise"):
        Spread(*ends)
