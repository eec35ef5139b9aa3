"""Verify: which measured value is inside and which is outside, on both sides of each edge of its band."""

from __future__ import annotations

import pytest

from explain.story.verify import Comparison, axis_apart_deg, comparisons, outside

PROGRESSIVE = {"design": "progressive", "material": "high-index-1.60"}
BIFOCAL = {"design": "bifocal", "material": "high-index-1.60"}


@pytest.fixture
def found_in(pair_of):
    """The comparison of one quantity of one eye, for an order and what was measured."""

    def find(quantity, eye, **changes):
        return next(one for one in comparisons(pair_of(**changes)) if (one.quantity, one.eye) == (quantity, eye))

    return find


@pytest.mark.parametrize(
    ("first", "second", "apart"), [(179, 1, 2), (1, 179, 2), (180, 1, 1), (85, 88, 3), (45, 135, 90), (10, 10, 0)]
)
def test_axes_are_apart_by_the_shorter_way_round(first, second, apart):
    assert axis_apart_deg(first, second) == apart


def test_nothing_is_compared_where_nothing_was_recorded(pair_of):
    assert comparisons(pair_of()) == ()
    assert comparisons(pair_of(checked={"on": "2026-10-09"})) == ()


@pytest.mark.parametrize(
    ("ordered", "measured", "allowed", "inside"),
    [
        ("-4.00 DS", "-4.13 DS", 0.13, True),
        ("-4.00 DS", "-4.14 DS", 0.13, False),
        ("-4.00 DS", "-3.87 DS", 0.13, True),
        ("-4.00 DS", "-3.86 DS", 0.13, False),
        ("-6.50 DS", "-6.63 DS", 0.13, True),  # the last power of the lower band
        ("-6.75 DS", "-6.88 DS", 0.135, True),  # 2 in 100 of the power from here on
        ("-6.75 DS", "-6.89 DS", 0.135, False),
        ("-8.00 DS", "-8.16 DS", 0.16, True),
        ("-8.00 DS", "-8.17 DS", 0.16, False),
        ("+2.25 DS", "+2.37 DS", 0.13, True),
        ("+2.25 DS", "+2.39 DS", 0.13, False),
    ],
)
def test_a_sphere_is_inside_up_to_its_limit(found_in, ordered, measured, allowed, inside):
    one = found_in("sphere", "right", prescription={"right": ordered}, checked={"right": measured})

    assert one.allowed == pytest.approx(allowed)
    assert one.inside == inside


@pytest.mark.parametrize(
    ("cylinder", "measured", "allowed", "inside"),
    [
        ("-1.00", "-1.13", 0.13, True),
        ("-1.00", "-1.14", 0.13, False),
        ("-2.00", "-2.13", 0.13, True),
        ("-2.25", "-2.40", 0.15, True),
        ("-2.25", "-2.41", 0.15, False),
        ("-5.00", "-5.20", 0.20, True),
        ("-5.00", "-5.21", 0.20, False),
    ],
)
def test_a_cylinder_is_inside_up_to_its_limit(found_in, cylinder, measured, allowed, inside):
    ordered, seen = f"+1.00 {cylinder} x 90", f"+1.00 {measured} x 90"

    one = found_in("cylinder", "right", prescription={"right": ordered}, checked={"right": seen})

    assert one.allowed == pytest.approx(allowed)
    assert one.inside == inside


@pytest.mark.parametrize(
    ("cylinder", "allowed"),
    [("-0.25", 14), ("-0.50", 7), ("-0.75", 5), ("-1.00", 3), ("-1.50", 3), ("-1.75", 2), ("-2.25", 2)],
)
def test_an_axis_may_turn_less_the_stronger_the_cylinder(found_in, cylinder, allowed):
    ordered = f"+1.00 {cylinder} x 90"
    for turn, inside in ((allowed, True), (allowed + 1, False)):
        seen = f"+1.00 {cylinder} x {90 + turn}"

        one = found_in("axis", "right", prescription={"right": ordered}, checked={"right": seen})

        assert (one.allowed, one.off_by, one.inside) == (allowed, turn, inside)


def test_an_axis_of_179_against_1_is_2_degrees_off(found_in):
    eyes = {"prescription": {"right": "-2.00 -1.00 x 1"}, "checked": {"right": "-2.00 -1.00 x 179"}}

    one = found_in("axis", "right", **eyes)

    assert (one.off_by, one.inside) == (2, True)


def test_a_lens_measured_in_the_other_form_is_as_ordered(pair_of):
    pair = pair_of(prescription={"right": "-2.00 -1.00 x 30"}, checked={"right": "-3.00 +1.00 x 120"})

    assert [(one.quantity, one.off_by) for one in comparisons(pair)] == [("sphere", 0), ("cylinder", 0), ("axis", 0)]


def test_a_cylinder_that_was_not_ordered_is_compared_with_none_and_has_no_axis(pair_of):
    pair = pair_of(prescription={"right": "-2.00 DS"}, checked={"right": "-2.00 -0.25 x 90"})

    assert [(one.quantity, one.inside) for one in comparisons(pair)] == [("sphere", True), ("cylinder", False)]


def test_a_balance_lens_is_not_compared(pair_of):
    pair = pair_of(prescription={"left": "balance"}, checked={"left": "-9.00 DS"})

    assert comparisons(pair) == ()


def test_a_reading_pair_is_compared_with_its_power_for_near(found_in):
    prescription = {"right": "-0.50 DS", "left": "-0.25 DS", "add": "1.50"}
    lenses = {"design": "reading", "material": "standard-plastic-1.50"}

    one = found_in("sphere", "right", prescription=prescription, lenses=lenses, checked={"right": "+1.00 DS"})

    assert (one.ordered, one.measured, one.off_by) == (1.0, 1.0, 0)


@pytest.mark.parametrize(("measured", "inside"), [("2.12", True), ("2.13", False), ("1.88", True), ("1.87", False)])
def test_an_add_is_inside_up_to_its_limit(found_in, measured, inside):
    prescription = {"add": "2.00", "heights": "20 / 20"}

    one = found_in("add", "left", prescription=prescription, lenses=PROGRESSIVE, checked={"add": measured})

    assert (one.allowed, one.inside) == (0.12, inside)


@pytest.mark.parametrize(
    ("lenses", "allowed", "measured", "inside"),
    [
        (PROGRESSIVE, 0.16, "-4.16 DS", True),
        (PROGRESSIVE, 0.16, "-4.17 DS", False),
        (BIFOCAL, 0.13, "-4.13 DS", True),
        (BIFOCAL, 0.13, "-4.14 DS", False),
    ],
)
def test_a_progressive_has_limits_of_its_own(found_in, lenses, allowed, measured, inside):
    prescription = {"add": "2.00", "heights": "20 / 20"}

    one = found_in("sphere", "right", prescription=prescription, lenses=lenses, checked={"right": measured})

    assert (one.allowed, one.inside) == (allowed, inside)


@pytest.mark.parametrize(("measured", "inside"), [("32 / 31", True), ("32.5 / 31", False), ("30 / 31", True)])
def test_each_eye_of_a_progressive_has_1_mm_for_its_pd(pair_of, measured, inside):
    prescription = {"add": "2.00", "heights": "20 / 20"}
    pair = pair_of(prescription=prescription, lenses=PROGRESSIVE, checked={"pd": measured})

    found = {(one.quantity, one.eye): one for one in comparisons(pair)}

    assert set(found) == {("pd", "right"), ("pd", "left")}
    assert (found["pd", "right"].allowed, found["pd", "right"].inside) == (1.0, inside)
    assert found["pd", "left"].inside


@pytest.mark.parametrize("lenses", [PROGRESSIVE, BIFOCAL], ids=["progressive", "bifocal"])
def test_each_height_of_a_lens_with_2_powers_has_1_mm(pair_of, lenses):
    prescription = {"add": "2.00", "heights": "20 / 20"}
    pair = pair_of(prescription=prescription, lenses=lenses, checked={"heights": "21 / 18.5"})

    found = [(one.quantity, one.eye, one.allowed, one.inside) for one in comparisons(pair)]

    assert found == [
        ("height", "right", 1.0, True),
        ("height", "left", 1.0, False),
        ("height difference", "both", 1.0, False),
    ]


def test_two_heights_that_are_each_inside_can_differ_too_much_from_each_other(pair_of):
    """Row us-segment-pair: 16.1 and 17.9 for 17 and 17 are each within 1 mm, and 1.8 mm apart."""
    lenses = {"design": "bifocal"}
    prescription = {"add": "2.00", "heights": "17 / 17"}
    pair = pair_of(prescription=prescription, lenses=lenses, checked={"heights": "16.1 / 17.9"})

    (difference,) = [one for one in comparisons(pair) if one.quantity == "height difference"]

    assert difference.off_by == pytest.approx(1.8)
    assert not difference.inside


@pytest.mark.parametrize(
    ("power", "measured", "shift_mm", "allowed", "inside"),
    [
        ("-4.00 DS", "32.2 / 32.3", 2.5, 1.00, True),  # a strong pair: the prism of 2.5 mm in all
        ("-4.00 DS", "32.3 / 32.3", 2.6, 1.00, False),
        ("-1.00 DS", "34.3 / 34.4", 6.7, 0.67, True),  # a weak one: 0.67 prism dioptres
        ("-1.00 DS", "34.4 / 34.4", 6.8, 0.67, False),
    ],
)
def test_a_single_vision_pair_is_held_to_the_prism_that_a_shift_makes(
    found_in, power, measured, shift_mm, allowed, inside
):
    prescription = {"right": power, "left": power}

    one = found_in("prism sideways", "both", prescription=prescription, checked={"pd": measured})

    assert one.off_by == pytest.approx(abs(float(power.split()[0])) * shift_mm / 10)
    assert one.allowed == pytest.approx(allowed)
    assert one.inside == inside


@pytest.mark.parametrize("measured", ["33 / 33", "29 / 29", "31 / 31"])
def test_a_pd_itself_has_no_limit_in_a_single_vision_pair(found_in, measured):
    one = found_in("pd", "right", checked={"pd": measured})

    assert (one.ordered, one.allowed, one.inside) == (31.0, None, True)


@pytest.mark.parametrize(
    ("measured", "prism", "inside"), [("21 / 20", 0.4, True), ("21.1 / 20", 0.44, False), ("20 / 21.1", 0.44, False)]
)
def test_a_difference_in_height_counts_by_the_prism_it_makes(found_in, measured, prism, inside):
    prescription = {"left": "-4.00 DS", "heights": "20 / 20"}

    one = found_in("prism up and down", "both", prescription=prescription, checked={"heights": measured})

    assert one.off_by == pytest.approx(prism)
    assert (one.allowed, one.inside) == (pytest.approx(0.4), inside)


def test_lenses_that_both_sit_higher_do_not_part_the_views(found_in):
    prescription = {"left": "-4.00 DS", "heights": "20 / 20"}

    one = found_in("prism up and down", "both", prescription=prescription, checked={"heights": "23 / 23"})

    assert one.off_by == pytest.approx(0)
    assert one.inside


@pytest.mark.parametrize(
    ("measured", "off_by", "inside"),
    [("2.00 in", 0.0, True), ("2.40 in", 0.4, True), ("2.41 in", 0.41, False), ("2.00 out", 4.0, False)],
)
def test_ordered_prism_is_compared_with_what_was_measured(found_in, measured, off_by, inside):
    ordered = {"sphere": "-4.00", "prism": "2.00 in"}
    seen = {"sphere": "-4.00", "prism": measured}

    one = found_in("prism", "right", prescription={"right": ordered}, checked={"right": seen})

    assert one.off_by == pytest.approx(off_by)
    assert (one.allowed, one.inside) == (pytest.approx(0.4), inside)  # 1 mm of 4 dioptres


def test_lenses_without_power_make_no_prism_wherever_they_sit(pair_of):
    plano = {"design": "plano", "material": "polycarbonate-1.59"}
    pair = pair_of(prescription={"right": None, "left": None}, lenses=plano, checked={"pd": "25 / 40"})

    found = comparisons(pair)

    assert [one for one in found if not one.inside] == []
    assert [one.off_by for one in found if one.quantity == "prism sideways"] == [0]


def test_the_iso_family_has_its_own_limits(found_in):
    eyes = {"prescription": {"right": "-4.00 DS"}, "checked": {"right": "-4.13 DS"}}

    us, iso = (found_in("sphere", "right", shop={"standard": standard}, **eyes) for standard in ("us", "iso"))

    assert (us.allowed, us.inside) == (0.13, True)
    assert (iso.allowed, iso.inside) == (0.12, False)


def test_only_the_values_that_are_outside_are_named_so(pair_of):
    pair = pair_of(checked={"right": "-4.00 DS", "left": "-3.25 DS"})

    assert [(one.quantity, one.eye, one.off_by) for one in outside(pair)] == [("sphere", "left", 0.25)]


def test_a_value_on_its_limit_is_inside_whatever_binary_fractions_do():
    assert Comparison("sphere", "right", "dpt", 0.0, 0.13, 0.13, 0.1 + 0.03).inside
    assert not Comparison("sphere", "right", "dpt", 0.0, 0.1301, 0.13, 0.1301).inside


def test_no_limit_is_never_outside():
    assert Comparison("pd", "both", "mm", 60, 90, None, 30).inside


DEMO_OUTSIDE = {"QH-2104": [("axis", "right")]}


def test_only_the_accepted_demo_pair_is_outside(demo_order, demo_pair):
    found = [(one.quantity, one.eye) for one in outside(demo_pair)]

    assert found == DEMO_OUTSIDE.get(demo_order.stem, [])
    assert bool(found) == bool(demo_pair.order.accepted)


def test_everything_a_demo_order_had_measured_is_compared(demo_pair):
    checked, found = demo_pair.order.checked, {(one.quantity, one.eye) for one in comparisons(demo_pair)}

    for eye in demo_pair.eyes:
        measured = getattr(checked, eye.side) is not None and not eye.ordered.is_balance
        assert (("sphere", eye.side) in found) == measured
    assert bool(checked.pd_right_mm) == any(quantity == "pd" for quantity, _ in found)
    assert bool(checked.height_right_mm) == any(quantity.startswith("height") for quantity, _ in found)
