"""Power: forms, meridians and sums, against print and by law."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.power import (
    SphereCylinder,
    anisometropia_dpt,
    combined,
    cylinder_share,
    difference,
    from_power_vector,
    largest_difference_dpt,
    minus_cylinder_form,
    mirrored,
    near_power,
    plus_cylinder_form,
    power_in_meridian_dpt,
    power_vector,
    principal_powers,
    spherical_equivalent_dpt,
    strongest_power_dpt,
    transposed,
    wrapped_axis_deg,
)
from tests.published.reader import examples, lens, misprints, section

quarters = st.integers(-80, 80).map(lambda steps: steps / 4)
axes = st.integers(1, 180).map(float)
powers = st.builds(
    lambda sphere, cylinder, axis: SphereCylinder(sphere, cylinder, axis if cylinder else 180.0),
    quarters,
    st.integers(-24, 24).map(lambda steps: steps / 4),
    axes,
)
directions = st.floats(0, 360)


def same_lens(a: SphereCylinder, b: SphereCylinder) -> bool:
    return power_vector(a) == pytest.approx(power_vector(b), abs=1e-9)


@pytest.mark.parametrize("example", examples("transposition"))
def test_transposition_agrees_with_the_printed_answer(example):
    answer = transposed(lens(example["given"]))

    printed = example["printed"]
    assert answer.sphere_dpt == pytest.approx(printed["sphere_dpt"], abs=example["tolerance"])
    assert answer.cylinder_dpt == pytest.approx(printed["cylinder_dpt"], abs=example["tolerance"])
    assert answer.axis_deg == printed["axis_deg"]


@pytest.mark.parametrize("example", examples("spherical_equivalent"))
def test_spherical_equivalent_agrees_with_the_printed_answer(example):
    answer = spherical_equivalent_dpt(lens(example["given"]))

    assert answer == pytest.approx(example["printed"]["spherical_equivalent_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("oblique_power"))
def test_oblique_power_agrees_with_the_printed_answer(example):
    answer = power_in_meridian_dpt(lens(example["given"]), example["given"]["meridian_deg"])

    assert answer == pytest.approx(example["printed"]["power_dpt"], abs=example["tolerance"])


def oblique_table() -> list:
    return [
        pytest.param(row[:3], meridian, printed, table["tolerance"], id=f"{table['id']}-{number}-{meridian}")
        for table in section("oblique_power", "tables")
        for number, row in enumerate(table["rows"], start=1)
        for meridian, printed in zip(table["meridians_deg"], row[3:], strict=True)
    ]


@pytest.mark.parametrize(("written", "meridian", "printed", "tolerance"), oblique_table())
def test_oblique_power_agrees_with_the_printed_table(written, meridian, printed, tolerance):
    assert power_in_meridian_dpt(SphereCylinder(*written), meridian) == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize("slip", misprints("oblique_power"))
def test_oblique_power_is_right_where_print_is_wrong(slip):
    answer = power_in_meridian_dpt(lens(slip["given"]), slip["given"]["meridian_deg"])

    assert answer == pytest.approx(slip["right"]["power_dpt"], abs=slip["tolerance"])
    assert answer != pytest.approx(slip["printed_wrongly"]["power_dpt"], abs=slip["tolerance"])


def share_table() -> list:
    (table,) = section("cylinder_share", "tables")
    return [pytest.param(*row, table["tolerance"], id=f"{row[0]}-deg") for row in table["rows"]]


@pytest.mark.parametrize(("from_axis", "percent", "tolerance"), share_table())
def test_cylinder_share_agrees_with_the_printed_table(from_axis, percent, tolerance):
    assert 100 * cylinder_share(from_axis) == pytest.approx(percent, abs=tolerance)


@pytest.mark.parametrize("example", examples("crossed_cylinders"))
def test_crossed_cylinders_agree_with_the_printed_answer(example):
    answer = combined(lens(example["given"]["a"]), lens(example["given"]["b"]))

    assert answer.sphere_dpt == pytest.approx(example["printed"]["sphere_dpt"], abs=example["tolerance"])
    assert answer.cylinder_dpt == pytest.approx(example["printed"]["cylinder_dpt"], abs=example["tolerance"])
    assert answer.axis_deg == pytest.approx(example["printed"]["axis_deg"])


@pytest.mark.parametrize("slip", misprints("crossed_cylinders"))
def test_crossed_cylinders_are_right_where_print_is_wrong(slip):
    answer = combined(lens(slip["given"]["a"]), lens(slip["given"]["b"]))

    assert same_lens(answer, lens(slip["right"]))
    assert not same_lens(answer, lens(slip["printed_wrongly"]))


@given(powers)
def test_transposing_twice_changes_nothing(power):
    assert transposed(transposed(power)) == power


@given(powers, directions)
def test_transposing_keeps_the_power_in_every_direction(power, direction):
    kept = power_in_meridian_dpt(transposed(power), direction)

    assert kept == pytest.approx(power_in_meridian_dpt(power, direction), abs=1e-9)


@given(powers)
def test_the_two_forms_have_the_signs_they_are_named_for(power):
    assert minus_cylinder_form(power).cylinder_dpt <= 0 <= plus_cylinder_form(power).cylinder_dpt
    assert same_lens(minus_cylinder_form(power), plus_cylinder_form(power))


@given(st.floats(-720, 720))
def test_an_axis_lies_above_0_and_up_to_180(angle):
    assert 0 < wrapped_axis_deg(angle) <= 180


def test_a_lens_without_cylinder_keeps_its_axis_at_180():
    assert transposed(SphereCylinder(-2.0, 0.0, 35)) == SphereCylinder(-2.0, 0.0, 180.0)


@given(powers)
def test_principal_powers_are_the_powers_along_their_meridians(power):
    for principal in principal_powers(power):
        along = power_in_meridian_dpt(power, principal.meridian_deg)

        assert along == pytest.approx(principal.power_dpt, abs=1e-9)


@given(powers, directions)
def test_no_direction_is_stronger_than_the_strongest_power(power, direction):
    assert abs(power_in_meridian_dpt(power, direction)) <= abs(strongest_power_dpt(power)) + 1e-9


@given(powers)
def test_the_strongest_power_does_not_depend_on_the_form(power):
    assert strongest_power_dpt(transposed(power)) == strongest_power_dpt(power)


@given(powers)
def test_power_vectors_round_trip(power):
    back = from_power_vector(*power_vector(power))

    written = minus_cylinder_form(power)
    assert (back.sphere_dpt, back.cylinder_dpt) == pytest.approx((written.sphere_dpt, written.cylinder_dpt), abs=1e-9)
    assert back.axis_deg == pytest.approx(written.axis_deg, abs=1e-6)


@given(powers, powers, directions)
def test_combined_lenses_add_up_in_every_direction(a, b, direction):
    together = power_in_meridian_dpt(combined(a, b), direction)

    apart = power_in_meridian_dpt(a, direction) + power_in_meridian_dpt(b, direction)
    assert together == pytest.approx(apart, abs=1e-9)


@given(powers)
def test_a_lens_combined_with_its_inverse_is_nothing(power):
    left = combined(power, SphereCylinder(-power.sphere_dpt, -power.cylinder_dpt, power.axis_deg))

    assert left == SphereCylinder(pytest.approx(0.0, abs=1e-9), 0.0, 180.0)


@given(powers, powers)
def test_a_difference_laid_on_the_second_lens_makes_the_first(a, b):
    assert same_lens(combined(difference(a, b), b), a)


@given(powers)
def test_mirroring_twice_changes_nothing(power):
    assert mirrored(mirrored(power)) == power


@given(powers, directions)
def test_a_mirrored_lens_acts_in_mirrored_directions(power, direction):
    seen = power_in_meridian_dpt(mirrored(power), 180 - direction)

    assert seen == pytest.approx(power_in_meridian_dpt(power, direction), abs=1e-9)


@given(powers, st.integers(0, 16).map(lambda steps: steps / 4), directions)
def test_an_add_adds_the_same_in_every_direction(power, add, direction):
    near = power_in_meridian_dpt(near_power(power, add), direction)

    assert near == pytest.approx(power_in_meridian_dpt(power, direction) + add, abs=1e-9)


@given(powers, powers, directions)
def test_the_largest_difference_is_reached_and_never_passed(right, left, direction):
    here = abs(power_in_meridian_dpt(right, direction) - power_in_meridian_dpt(left, direction))

    largest = largest_difference_dpt(right, left)
    assert here <= largest + 1e-9
    assert anisometropia_dpt(right, left) <= largest + 1e-9
    assert any(
        abs(power_in_meridian_dpt(right, one.meridian_deg) - power_in_meridian_dpt(left, one.meridian_deg))
        == pytest.approx(largest, abs=1e-9)
        for one in principal_powers(difference(right, left))
    )


def test_two_equal_eyes_do_not_differ():
    assert anisometropia_dpt(SphereCylinder(-2.0), SphereCylinder(-2.0)) == 0
    assert largest_difference_dpt(SphereCylinder(-2.0), SphereCylinder(-2.0)) == 0


def test_two_astigmatic_eyes_may_differ_though_their_means_agree():
    right, left = SphereCylinder(-1.0, -2.0, 180), SphereCylinder(-1.0, -2.0, 90)

    assert anisometropia_dpt(right, left) == 0
    assert largest_difference_dpt(right, left) == pytest.approx(2.0)
