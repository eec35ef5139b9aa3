"""Tint: how dark a lens is, what that allows, and how a light-reactive lens darkens and clears over time.

A light-reactive lens is told as a range, never as one curve: the edges of the range are the quickest and the slowest,
the lightest and the darkest lens of a kind.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from explain.optics.spread import Spread


def tint_category(passed_of_100: float, categories: Mapping[int, Sequence[float]]) -> int:
    """Category of a tint from the light it lets through [of 100]: above the low end of a range, up to its high end.

    Source: college_tints. Raises ValueError for a lens darker than every category, or above 100.

    >>> tint_category(43.0, {1: (43, 80), 2: (18, 43)}), tint_category(43.1, {1: (43, 80), 2: (18, 43)})
    (2, 1)
    """
    for category, (low, high) in categories.items():
        if low < passed_of_100 <= high:
            return category
    raise ValueError(f"{passed_of_100} of 100 is in no tint category")


def optical_density(passed_of_100: float) -> float:
    """Darkness as it adds up: log10(100 / light passed), 0 for a lens that lets all through.

    >>> round(optical_density(10.0), 6), round(optical_density(1.0), 6)
    (1.0, 2.0)
    """
    return math.log10(100 / passed_of_100)


def passed_after_of_100(start_of_100: float, end_of_100: float, half_time_s: float, time_s: float) -> float:
    """Light let through [of 100] some time after the light changed, on the way from start to end.

    The optical density (the amount of dye that is dark) goes half of the rest of its way in each half-time: a process
    of the first order. Real lenses end more slowly than that, so it is an approximation.

    >>> round(passed_after_of_100(10.0, 100.0, 60.0, 60.0), 3)
    31.623
    """
    end = optical_density(end_of_100)
    density = end + (optical_density(start_of_100) - end) * math.exp2(-time_s / half_time_s)
    return 100 / 10**density


def time_to_reach_s(start_of_100: float, end_of_100: float, half_time_s: float, target_of_100: float) -> float:
    """Time until a lens on its way from start to end lets through the target [s]; the inverse of passed_after_of_100.

    Raises ValueError where the target does not lie between start and end: the end itself is never quite reached.

    >>> round(time_to_reach_s(10.0, 100.0, 60.0, 100 / 10**0.5), 3)
    60.0
    """
    return half_time_s * _half_times(start_of_100, end_of_100, target_of_100)


def half_time_from_target_s(start_of_100: float, end_of_100: float, target_of_100: float, time_s: float) -> float:
    """Half-time of a lens that reaches the target after time_s [s]. Raises ValueError as time_to_reach_s does.

    >>> round(half_time_from_target_s(10.0, 100.0, 100 / 10**0.25, 120.0), 3)
    60.0
    """
    return time_s / _half_times(start_of_100, end_of_100, target_of_100)


def half_time_of_share_s(share_done: float, time_s: float) -> float:
    """Half-time of a change of which this share (above 0, below 1) is done after time_s [s].

    >>> half_time_of_share_s(0.75, 120.0)
    60.0
    """
    return time_s / math.log2(1 / (1 - share_done))


def darker(dark_of_100: Spread, clear_of_100: Spread, density_ratio: float) -> Spread:
    """Light let through in the dark state [of 100] when the gain of density over the clear state is multiplied.

    clear (dark / clear)^ratio, for the darkest and the lightest that the two ranges allow.

    >>> darker(Spread(25.0, 25.0), Spread(100.0, 100.0), 2.0)
    Spread(low=6.25, high=6.25)
    """
    ends = [
        clear * (dark / clear) ** density_ratio
        for dark in (dark_of_100.low, dark_of_100.high)
        for clear in (clear_of_100.low, clear_of_100.high)
    ]
    return Spread(min(ends), max(ends))


def band_after_of_100(start_of_100: Spread, end_of_100: Spread, half_time_s: Spread, time_s: float) -> Spread:
    """Light let through [of 100] after time_s: the least and the most that the three ranges allow.

    The light rises with start and with end, and runs one way with the half-time, so the extremes lie at the corners.

    >>> band_after_of_100(Spread(10, 20), Spread(80, 90), Spread(30, 90), 0.0)
    Spread(low=10.0, high=20.0)
    """
    corners = [
        passed_after_of_100(start, end, half, time_s)
        for start in (start_of_100.low, start_of_100.high)
        for end in (end_of_100.low, end_of_100.high)
        for half in (half_time_s.low, half_time_s.high)
    ]
    return Spread(round(min(corners), 9), round(max(corners), 9))


def _half_times(start_of_100: float, end_of_100: float, target_of_100: float) -> float:
    """How many half-times it takes from start to target, on the way to end."""
    end = optical_density(end_of_100)
    left, whole = optical_density(target_of_100) - end, optical_density(start_of_100) - end
    if not 0 < left / whole <= 1:
        raise ValueError(f"{target_of_100} of 100 is not on the way from {start_of_100} to {end_of_100}")
    return math.log2(whole / left)
