"""Numbers in words: what a value looks like on the page, on the rounding edge and at nought too."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from explain.story import wording
from explain.story.wording import Place

SPACE = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"
US, GERMAN, BRITISH = Place("en_US", "USD"), Place("de_DE", "EUR"), Place("en_GB", "GBP")


@pytest.mark.parametrize(
    ("value", "places", "expected"),
    [
        (2.345, 2, "2.35"),
        (2.675, 2, "2.68"),
        (-0.125, 2, "-0.13"),
        (0.5, 0, "1"),
        (1.5, 0, "2"),
        (2.5, 0, "3"),
        (-0.004, 2, "0.00"),
        (-0.0, 0, "0"),
        (0.05, 1, "0.1"),
        (0.0499, 1, "0.0"),
    ],
)
def test_rounding_is_half_away_from_zero_and_never_gives_minus_nought(value, places, expected):
    assert str(wording.rounded(value, places)) == expected


@pytest.mark.parametrize("alike", [(0.0, -0.0, 0), (-0.0, 0.0), (2, 2.0), (-0.04, 0.04), (0.25, 0.25)])
def test_a_kept_figure_is_what_would_be_rounded_anew_whichever_was_asked_first(alike):
    for values in (alike, alike[::-1]):
        wording.rounded.cache_clear()

        assert [str(wording.rounded(v, 1)) for v in values] == [str(wording.rounded.__wrapped__(v, 1)) for v in values]


@pytest.mark.parametrize(
    ("value", "expected"),
    [(1.25, "+1.25"), (-0.5, f"{MINUS}0.50"), (0, "0.00"), (-0.001, "0.00"), (0.005, "+0.01"), (-12, f"{MINUS}12.00")],
)
def test_a_power_has_its_sign_and_two_places(value, expected):
    assert wording.dioptres(value) == expected


@pytest.mark.parametrize(
    ("value", "expected"),
    [(4.536, "4.5"), (4.55, "4.6"), (0, "0.0"), (0.04, "0.0"), (-1.25, f"{MINUS}1.3"), (10, "10.0")],
)
def test_a_length_in_mm_has_one_place_and_holds_to_its_unit(value, expected):
    assert wording.mm(value) == f"{expected}{SPACE}mm"


@pytest.mark.parametrize(
    ("value_mm", "expected"),
    [
        (0, "under 1/16"),
        (0.79, "under 1/16"),
        (0.80, "1/16"),
        (1.5, "1/16"),
        (3.2, "1/8"),
        (4.5, "3/16"),
        (12.7, "1/2"),
        (25.4, "1"),
        (27, "1\N{NO-BREAK SPACE}1/16"),
        (50.8, "2"),
    ],
)
def test_inches_are_to_the_nearest_sixteenth(value_mm, expected):
    assert wording.sixteenths(value_mm) == f"{expected}{SPACE}in"


@pytest.mark.parametrize(
    ("value_mm", "expected"),
    [(4.5, f"4.5{SPACE}mm (about 3/16{SPACE}in)"), (0.4, f"0.4{SPACE}mm (under 1/16{SPACE}in)")],
)
def test_a_length_measured_at_home_is_in_mm_and_then_in_inches(value_mm, expected):
    assert wording.mm_with_inches(value_mm) == expected


@pytest.mark.parametrize(
    ("value_cm", "expected"),
    [
        (5, f"5{SPACE}cm (1\N{NO-BREAK SPACE}15/16{SPACE}in)"),
        (9.9, f"10{SPACE}cm (3\N{NO-BREAK SPACE}7/8{SPACE}in)"),
        (40, f"40{SPACE}cm (16{SPACE}in)"),
        (199.4, f"199{SPACE}cm (79{SPACE}in)"),
        (200, f"2{SPACE}m (7{SPACE}ft)"),
        (250, f"2.5{SPACE}m (8{SPACE}ft)"),
        (600, f"6{SPACE}m (20{SPACE}ft)"),
        (800, f"8{SPACE}m (26{SPACE}ft)"),
    ],
)
def test_a_distance_is_in_cm_and_inches_and_from_2_m_on_in_m_and_feet(value_cm, expected):
    assert wording.cm_with_inches(value_cm) == expected


def test_a_weight_is_in_whole_grams_and_then_in_ounces():
    assert wording.grams(17.5) == f"18{SPACE}g"
    assert wording.grams(0.4) == f"0{SPACE}g"
    assert wording.grams_with_ounces(18.2) == f"18{SPACE}g (0.6{SPACE}oz)"


@pytest.mark.parametrize(
    ("value_mm", "count"), [(0.1, "1 bank card"), (1.1, "1 bank card"), (1.2, "2 bank cards"), (4.5, "6 bank cards")]
)
def test_a_thickness_is_compared_with_one_bank_card_or_more(value_mm, count):
    assert wording.bank_cards(value_mm).startswith(f"about {count}")


@pytest.mark.parametrize(("value", "expected"), [(172, "172"), (180.0, "180"), (77.5, "77.5"), (0.04, "0.0")])
def test_an_angle_is_in_whole_degrees_unless_it_is_not_whole(value, expected):
    assert wording.degrees(value) == expected


@pytest.mark.parametrize(
    ("words", "expected"), [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")]
)
def test_words_are_joined_as_a_sentence_does(words, expected):
    assert wording.listed(words) == expected


def test_words_may_be_joined_by_another_word():
    assert wording.listed(["a", "b", "c"], "or") == "a, b or c"


@pytest.mark.parametrize(("count", "expected"), [(0, "0 lenses"), (1, "1 lens"), (2, "2 lenses")])
def test_a_count_is_a_numeral_with_one_or_many(count, expected):
    assert wording.counted(count, "lens", "lenses") == expected


def test_a_sentence_starts_with_a_capital_and_the_rest_is_left_alone():
    assert wording.sentence_case("lens for QH") == "Lens for QH"
    assert wording.sentence_case("") == ""


@pytest.mark.parametrize(
    ("place", "amount", "expected"),
    [
        (US, "1234.5", "$1,234.50"),
        (US, "0", "$0.00"),
        (US, "-20", f"{MINUS}$20.00"),
        (BRITISH, "9.99", "£9.99"),
        (GERMAN, "1234.5", f"1.234,50{SPACE}€"),
    ],
)
def test_money_has_its_symbol_and_two_places_as_the_locale_writes_them(place, amount, expected):
    assert place.money(Decimal(amount)) == expected


@pytest.mark.parametrize(
    ("amount", "expected"), [("55", "+$55.00"), ("-55", f"{MINUS}$55.00"), ("0.00", "no difference")]
)
def test_a_change_in_money_has_its_sign_and_none_is_said_in_words(amount, expected):
    assert US.money_change(Decimal(amount)) == expected


@pytest.mark.parametrize(
    ("place", "expected"), [(US, "October 2, 2026"), (BRITISH, "2 October 2026"), (GERMAN, "2. Oktober 2026")]
)
def test_a_date_has_its_month_in_words(place, expected):
    assert place.day(date(2026, 10, 2)) == expected
