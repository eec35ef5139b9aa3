"""Prism: Prentice's rule as numbers and as a vector, against print and by law."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.power import SphereCylinder, combined, power_in_meridian_dpt, principal_powers
from explain.optics.prism import (
    approximate_prism_apex_angle_deg,
    base_words,
    decentration_for_prism_mm,
    deviation_deg,
    image_jump_prism_dpt,
    prentice_prism_dpt,
    prism_apex_angle_deg,
    prism_components,
    prism_from_base,
    prism_wedge_slope,
    resultant_prism,
    vertical_imbalance_prism_dpt,
)
from tests.published.reader import examples, lens, misprints

TOWARDS = {"up": (0, 1), "down": (0, -1), "in": (1, 0), "out": (-1, 0)}
"""Where a direction points for the right eye, facing the wearer."""

quarters = st.integers(-60, 60).map(lambda steps: steps / 4)
lenses = st.builds(SphereCylinder, quarters, quarters, st.integers(1, 180))
places = st.floats(-30, 30)


def power_asked(asked: dict) -> float:
    return power_in_meridian_dpt(lens(asked), asked.get("meridian_deg", 180))


def prism_with_centre_moved(asked: dict, direction: str, by_mm: float) -> tuple[float, str | None]:
    """Prism of a right lens, along the line its centre was moved on: amount, and the word for its base."""
    right, up = TOWARDS[direction]
    level, upright = prism_components(lens(asked), -right * by_mm, -up * by_mm)
    words = base_words(level, upright, "right")
    return (abs(level), words[0]) if right else (abs(upright), words[1])


@pytest.mark.parametrize("example", examples("prentice"))
def test_prentice_agrees_with_the_printed_answer(example):
    answer = prentice_prism_dpt(power_asked(example["given"]), example["given"]["decentration_mm"])

    assert answer == pytest.approx(example["printed"]["prism_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", [case for case in examples("prentice") if "base" in case.values[0]["printed"]])
def test_the_vector_form_of_prentice_agrees_with_the_printed_answer_and_base(example):
    asked, printed = example["given"], example["printed"]

    amount, base = prism_with_centre_moved(asked, asked["centre_moved"], asked["decentration_mm"])
    assert amount == pytest.approx(printed["prism_dpt"], abs=example["tolerance"])
    assert base == printed["base"]


@pytest.mark.parametrize("slip", misprints("prentice"))
def test_prentice_is_right_where_print_is_wrong(slip):
    answer = prentice_prism_dpt(power_asked(slip["given"]), slip["given"]["decentration_mm"])

    assert answer == pytest.approx(slip["right"]["prism_dpt"], abs=slip["tolerance"])
    assert answer != pytest.approx(slip["printed_wrongly"]["prism_dpt"], abs=slip["tolerance"])


@pytest.mark.parametrize("example", examples("prentice_inverse"))
def test_prentice_inverse_agrees_with_the_printed_answer(example):
    answer = decentration_for_prism_mm(power_asked(example["given"]), example["given"]["prism_dpt"])

    assert answer == pytest.approx(example["printed"]["decentration_mm"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("prentice_inverse"))
def test_moving_the_centre_as_printed_gives_the_wanted_base(example):
    asked, printed = example["given"], example["printed"]

    amount, base = prism_with_centre_moved(asked, printed["centre_moved"], printed["decentration_mm"])
    assert amount == pytest.approx(asked["prism_dpt"], abs=0.01)
    assert base == asked["base"]


@pytest.mark.parametrize("example", examples("vertical_imbalance"))
def test_vertical_imbalance_agrees_with_the_printed_answer(example):
    asked = example["given"]

    answer = vertical_imbalance_prism_dpt(lens(asked["right"]), lens(asked["left"]), asked["drop_mm"])
    assert answer == pytest.approx(example["printed"]["prism_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("slip", misprints("vertical_imbalance"))
def test_vertical_imbalance_is_right_where_print_is_wrong(slip):
    asked = slip["given"]

    answer = vertical_imbalance_prism_dpt(lens(asked["right"]), lens(asked["left"]), asked["drop_mm"])
    assert answer == pytest.approx(slip["right"]["prism_dpt"], abs=slip["tolerance"])
    assert answer != pytest.approx(slip["printed_wrongly"]["prism_dpt"], abs=slip["tolerance"])


@pytest.mark.parametrize("example", examples("image_jump"))
def test_image_jump_agrees_with_the_printed_answer(example):
    answer = image_jump_prism_dpt(example["given"]["add_dpt"], example["given"]["top_to_centre_mm"])

    assert answer == pytest.approx(example["printed"]["prism_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("resultant_prism"))
def test_resultant_prism_agrees_with_the_printed_answer(example):
    amount, angle = resultant_prism(example["given"]["level_prism_dpt"], example["given"]["upright_prism_dpt"])

    assert amount == pytest.approx(example["printed"]["prism_dpt"], abs=example["tolerance"])
    assert angle == pytest.approx(example["printed"]["angle_deg"], abs=example["tolerance"])


@pytest.mark.parametrize("slip", misprints("prism_apex_angle"))
def test_prism_apex_angle_is_right_where_print_is_wrong(slip):
    asked, wrong = slip["given"], slip["printed_wrongly"]["apex_deg"]

    thin = approximate_prism_apex_angle_deg(asked["prism_dpt"], asked["index"])
    assert thin == pytest.approx(slip["right"]["apex_deg"], abs=slip["tolerance"])
    assert thin - wrong > 1
    assert prism_apex_angle_deg(asked["prism_dpt"], asked["index"]) - wrong > 1


@given(lenses, places)
def test_the_vector_form_is_the_number_form_along_a_principal_meridian(power, distance):
    for principal in principal_powers(power):
        turn = math.radians(principal.meridian_deg)
        level, upright = prism_components(power, distance * math.cos(turn), distance * math.sin(turn))

        along = level * math.cos(turn) + upright * math.sin(turn)
        across = upright * math.cos(turn) - level * math.sin(turn)
        assert abs(along) == pytest.approx(prentice_prism_dpt(principal.power_dpt, distance), abs=1e-9)
        assert across == pytest.approx(0, abs=1e-9)


@given(st.floats(0.25, 15), places, places)
def test_the_base_of_a_plus_lens_lies_towards_its_centre_and_of_a_minus_lens_away(strength, x, y):
    plus, minus = (prism_components(SphereCylinder(power), x, y) for power in (strength, -strength))

    assert plus[0] * x + plus[1] * y <= 0 <= minus[0] * x + minus[1] * y
    assert minus == pytest.approx((-plus[0], -plus[1]))


@given(lenses, lenses, places, places)
def test_prism_of_two_lenses_together_is_the_sum_of_both(a, b, x, y):
    together = prism_components(combined(a, b), x, y)

    one, other = prism_components(a, x, y), prism_components(b, x, y)
    assert together == pytest.approx((one[0] + other[0], one[1] + other[1]), abs=1e-9)


@given(st.floats(0.25, 10), st.floats(0, 359.9))
def test_resultant_prism_takes_any_direction_apart_and_back(amount, angle):
    turn = math.radians(angle)

    back = resultant_prism(amount * math.cos(turn), amount * math.sin(turn))
    assert back[0] == pytest.approx(amount)
    assert math.cos(math.radians(back[1]) - turn) == pytest.approx(1)


@pytest.mark.parametrize("eye", ["right", "left"])
@pytest.mark.parametrize("base", ["up", "down", "in", "out"])
def test_an_ordered_prism_reads_back_with_the_same_base(base, eye):
    words = base_words(*prism_from_base(1.5, base, eye), eye)

    assert [word for word in words if word] == [base]


@given(quarters, st.floats(0.25, 8))
def test_moving_a_lens_by_the_worked_out_distance_gives_the_prism(power, prism):
    if power == 0:
        with pytest.raises(ZeroDivisionError):
            decentration_for_prism_mm(power, prism)
        return

    assert prentice_prism_dpt(power, decentration_for_prism_mm(power, prism)) == pytest.approx(prism)


@given(lenses, st.floats(0, 20), st.floats(0, 4))
def test_equal_adds_do_not_change_vertical_imbalance(power, drop, add):
    right, left = power, SphereCylinder(power.sphere_dpt - 1.0)
    near_right = SphereCylinder(right.sphere_dpt + add, right.cylinder_dpt, right.axis_deg)
    near_left = SphereCylinder(left.sphere_dpt + add)

    near = vertical_imbalance_prism_dpt(near_right, near_left, drop)
    assert near == pytest.approx(vertical_imbalance_prism_dpt(right, left, drop), abs=1e-9)


@given(st.floats(-15, 15), st.floats(1.49, 1.9))
def test_light_through_the_exact_wedge_is_turned_by_the_prism(prism, index):
    apex = math.atan(prism_wedge_slope(prism, index))

    leaves = math.asin(index * math.sin(apex))
    assert math.degrees(leaves - apex) == pytest.approx(deviation_deg(prism))


@given(st.floats(0.25, 10), st.floats(1.498, 1.9))
def test_the_thin_prism_rule_is_within_a_third_of_a_degree(prism, index):
    thin, exact = approximate_prism_apex_angle_deg(prism, index), prism_apex_angle_deg(prism, index)

    assert 0 < thin - exact < 0.3
