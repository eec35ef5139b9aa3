"""The reading power of a progressive lens, as sag and as power."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import dblquad

from explain.optics.progression import added_power_dpt, approximate_progression_sag_mm

ADD, CORRIDOR, INDEX = 2.25, 13.0, 1.60


def sag(x_mm: float, y_mm: float) -> float:
    return float(approximate_progression_sag_mm(np.array([x_mm]), np.array([y_mm]), ADD, CORRIDOR, INDEX)[0])


def power_at(y_mm: float) -> float:
    return float(added_power_dpt(np.array([y_mm]), ADD, CORRIDOR)[0])


@pytest.mark.parametrize(("y_mm", "share"), [(5, 0), (0, 0), (-6.5, 0.5), (-13, 1), (-20, 1)])
def test_power_grows_evenly_down_the_corridor_and_stays(y_mm: float, share: float) -> None:
    assert power_at(y_mm) == pytest.approx(ADD * share)


@pytest.mark.parametrize("y_mm", [-4.0, -13.0, -19.0])
def test_sag_on_the_middle_line_is_the_power_integrated_twice(y_mm: float) -> None:
    twice, _ = dblquad(lambda inner, _outer: power_at(inner), y_mm, 0, lambda outer: outer, lambda _outer: 0)

    assert sag(0, y_mm) == pytest.approx(twice / (1000 * (INDEX - 1)), rel=1e-6)


@pytest.mark.parametrize("y_mm", [-3.0, -9.0, -18.0])
def test_the_surface_bends_by_the_added_power_both_ways_on_the_middle_line(y_mm: float) -> None:
    step = 0.01

    down = (sag(0, y_mm + step) - 2 * sag(0, y_mm) + sag(0, y_mm - step)) / step**2
    across = (sag(step, y_mm) - 2 * sag(0, y_mm) + sag(-step, y_mm)) / step**2

    assert down * 1000 * (INDEX - 1) == pytest.approx(power_at(y_mm), abs=0.01)
    assert across * 1000 * (INDEX - 1) == pytest.approx(power_at(y_mm), abs=0.01)


def test_unwanted_cylinder_grows_sideways_twice_as_fast_as_power_down_the_corridor() -> None:
    """The general law (worked example mk-01 of the published ones names the corridor it is used with)."""
    step, aside = 0.01, 1.0

    twist = (
        sag(aside + step, -6 + step)
        - sag(aside + step, -6 - step)
        - sag(aside - step, -6 + step)
        + sag(aside - step, -6 - step)
    ) / (4 * step**2)

    cylinder_dpt = 2 * abs(twist) * 1000 * (INDEX - 1)
    assert cylinder_dpt / aside == pytest.approx(2 * ADD / CORRIDOR, rel=1e-3)


def test_nothing_changes_above_the_fitting_point() -> None:
    assert sag(12, 0) == sag(-20, 8) == 0
