"""Surfaces: curves, sags and vertex powers as others printed them."""

from __future__ import annotations

import pytest

from explain.optics.surfaces import (
    approximate_sag_mm,
    back_surface_for,
    back_vertex_power_dpt,
    curve_variation_factor,
    edge_thickness_mm,
    exact_sag_mm,
    front_vertex_power_dpt,
    lens_clock_power_dpt,
    nominal_power_dpt,
    surface_power_dpt,
    surface_radius_mm,
    vogel_base_curve_dpt,
)
from tests.published.reader import examples, ours


@pytest.mark.parametrize("example", examples("surface_power"))
def test_surface_power_agrees_with_the_printed_answer(example):
    answer = surface_power_dpt(example["given"]["radius_mm"], example["given"]["index"])

    assert answer == pytest.approx(example["printed"]["power_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("surface_radius"))
def test_surface_radius_agrees_with_the_printed_answer(example):
    answer = surface_radius_mm(example["given"]["power_dpt"], example["given"]["index"])

    assert answer == pytest.approx(example["printed"]["radius_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("nominal_power"))
def test_nominal_power_agrees_with_the_printed_answer(example):
    asked = example["given"]
    front, back = (surface_power_dpt(asked[f"{side}_radius_mm"], asked["index"]) for side in ("front", "back"))

    assert nominal_power_dpt(front, back) == pytest.approx(example["printed"]["power_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("vertex_power"))
def test_vertex_power_agrees_with_the_printed_answer(example):
    printed, tolerance = example["printed"], example["tolerance"]

    assert back_vertex_power_dpt(**example["given"]) == pytest.approx(printed["back_vertex_power_dpt"], abs=tolerance)
    if "front_vertex_power_dpt" in printed:
        front = front_vertex_power_dpt(**example["given"])
        assert front == pytest.approx(printed["front_vertex_power_dpt"], abs=tolerance)


@pytest.mark.parametrize("example", examples("exact_sag"))
def test_exact_sag_agrees_with_the_printed_answer(example):
    answer = exact_sag_mm(example["given"]["radius_mm"], example["given"]["distance_mm"])

    assert answer == pytest.approx(example["printed"]["sag_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("approximate_sag"))
def test_approximate_sag_agrees_with_the_printed_answer(example):
    answer = approximate_sag_mm(**example["given"])

    assert answer == pytest.approx(example["printed"]["sag_mm"], abs=example["tolerance"])


def test_the_parabola_is_a_fourteenth_of_a_millimetre_short_where_print_says_so():
    exact = exact_sag_mm(surface_radius_mm(6.00, 1.53), 25)

    assert exact == pytest.approx(3.61, abs=0.006)
    assert exact - approximate_sag_mm(6.00, 1.53, 25) == pytest.approx(0.07, abs=0.01)


@pytest.mark.parametrize("example", examples("centre_thickness"))
def test_centre_thickness_agrees_with_the_printed_answer(example):
    asked = example["given"]
    front, back = (
        exact_sag_mm(surface_radius_mm(power, asked["index"]), asked["diameter_mm"] / 2)
        for power in (asked["front_dpt"], -asked["back_dpt"])
    )

    edge = edge_thickness_mm(example["printed"]["centre_mm"], front, back)
    assert edge == pytest.approx(asked["edge_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("edge_thickness"))
def test_edge_thickness_agrees_with_the_printed_answer(example):
    asked = example["given"]
    front, back = (exact_sag_mm(1 / asked[f"{side}_per_mm"], asked["distance_mm"]) for side in ("front", "back"))

    answer = edge_thickness_mm(asked["centre_mm"], front, back)
    assert answer == pytest.approx(example["printed"]["edge_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", ours("edge_thickness_of_powers"))
def test_edge_thickness_of_powers_agrees_with_a_separate_calculation(example):
    asked = example["given"]
    front, back = (
        exact_sag_mm(surface_radius_mm(power, asked["index"]), asked["diameter_mm"] / 2)
        for power in (asked["front_dpt"], -asked["back_dpt"])
    )

    answer = edge_thickness_mm(asked["centre_mm"], front, back)
    assert answer == pytest.approx(example["expected"]["edge_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("approximate_thickness"))
def test_approximate_thickness_agrees_with_the_printed_answer(example):
    asked = example["given"]
    grown = abs(approximate_sag_mm(asked["power_dpt"], asked["index"], asked["diameter_mm"] / 2))

    assert asked["thin_mm"] + grown == pytest.approx(example["printed"]["thick_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("curve_variation_factor"))
def test_curve_variation_factor_agrees_with_the_printed_answer(example):
    answer = curve_variation_factor(example["given"]["index"], example["given"]["reference_index"])

    assert answer == pytest.approx(example["printed"]["factor"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("back_curve"))
def test_back_curve_agrees_with_the_printed_answer(example):
    answer = back_surface_for(example["given"]["power_dpt"], example["given"]["front_dpt"], 0.0, 1.5)

    assert answer == pytest.approx(example["printed"]["back_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("base_curve"))
def test_base_curve_agrees_with_the_printed_answer(example):
    answer = vogel_base_curve_dpt(example["given"]["spherical_equivalent_dpt"])

    assert answer == pytest.approx(example["printed"]["base_curve_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("lens_clock"))
def test_lens_clock_agrees_with_the_printed_answer(example):
    answer = lens_clock_power_dpt(**example["given"])

    assert answer == pytest.approx(example["printed"]["power_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("lens_clock_find_index"))
def test_a_lens_clock_in_the_material_of_the_printed_index_shows_the_printed_power(example):
    asked, index = example["given"], example["printed"]["index"]

    low, high = (
        lens_clock_power_dpt(asked["reading_dpt"], index + step, asked["clock_index"])
        for step in (-example["tolerance"], example["tolerance"])
    )
    assert low <= asked["power_dpt"] <= high
