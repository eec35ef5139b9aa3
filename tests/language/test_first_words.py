"""The first screen, the prescription and the bill: every word of theirs goes through the catalogue, whole."""

from __future__ import annotations

from gettext import NullTranslations

import pytest

from explain.language import _, in_context, speaking
from explain.story.bought import first_screen
from explain.story.matching import message_text
from explain.story.page import tell
from explain.story.prescription import prescription_section
from explain.story.price import price_section
from explain.story.wording import Place, bank_cards, duration, mm_with_inches
from tests.language.wrapped import LOCALE, WrappingAround, demo_pair, not_wrapped, speaking_with, typed_by_the_shop
from tests.story.invented import pair_in

SPAIN = Place(LOCALE, "USD")
PLANO = {"prescription": {"right": None, "left": None}, "lenses": {"design": "plano"}}
PROGRESSIVE = {"lenses": {"design": "progressive"}, "prescription": {"add": "2.00", "heights": "20 / 20"}}
OUTSIDE = {"right": "-4.50 DS", "on": "2026-10-09"}


def told(pair):
    screen = first_screen(pair, SPAIN)
    steps = tuple((step.what, step.how) for step in screen.first)
    return screen.message, screen.have, screen.urgent, steps, prescription_section(pair), price_section(pair, SPAIN)


def typed(pair):
    """What the shop typed, and what the locale itself writes: dates, and the last "and" of a list."""
    checked = pair.order.checked
    days = [SPAIN.day(on) for on in (pair.order.ordered_on, checked.on if checked else None) if on]
    return (*typed_by_the_shop(pair), *days, " y ")


@pytest.fixture
def pair_of(tmp_path):
    return lambda **changes: pair_in(tmp_path, **changes)


def test_every_word_of_the_demo_orders_comes_from_the_catalogue(demo_order):
    pair = demo_pair(demo_order)

    with speaking_with(WrappingAround()):
        assert not_wrapped(told(pair), typed(pair)) == []


def test_a_language_without_a_sentence_says_it_in_english(demo_order):
    pair = demo_pair(demo_order)

    with speaking_with(NullTranslations()):
        message, _have, urgent, _steps, section, _bill = told(pair)

    assert message.startswith(pair.order.first_name)
    assert urgent.startswith("Sudden loss of sight")
    assert section is None or section.heading == "What your prescription says"


@pytest.mark.parametrize(
    "changes",
    [
        {"prescription": {"right": "+2.00 -1.00 x 45", "left": "-1.00 +2.00 x 120"}},
        {"prescription": {"right": "+2.00 DS", "left": "balance"}, "wearer": ["over 65"]},
        {"prescription": {"right": "-1.00 DS 2 up", "left": "-9.00 DS 1.5 in"}, "use": ["desk at 70 cm", "sport"]},
        {"prescription": {"left": None}, "use": ["all day", "driving", "reading", "music stand at 80 cm"]},
        {"lenses": {"design": "reading"}, "prescription": {"add": "2.00"}},
        PROGRESSIVE | {"paid": "100.00"},
        PROGRESSIVE | {"wearer": ["child"], "paid": "180.00", "lenses": {"add-ons": ["polarised", "light-reactive"]}},
        PLANO | {"wearer": ["child"]},
        PLANO | {"checked": {"right": "plano", "left": "plano"}},
    ],
)
def test_rare_orders_are_told_by_the_catalogue_too(pair_of, changes):
    pair = pair_of(**changes)

    with speaking_with(WrappingAround()):
        assert not_wrapped(told(pair), typed(pair)) == []


@pytest.mark.parametrize("accepted", ["Odile, by phone", "Dr. Lind"])
@pytest.mark.parametrize(
    "checked", [OUTSIDE, OUTSIDE | {"left": "-3.50 DS"}, OUTSIDE | {"right": None, "pd": "36 / 36", "on": None}]
)
def test_a_difference_is_told_by_the_catalogue(pair_of, checked, accepted):
    pair = pair_of(checked=checked, accepted={"by": accepted, "why": "She asked for it."})

    with speaking_with(WrappingAround()):
        assert not_wrapped(message_text(pair, SPAIN), typed(pair)) == []


def test_the_words_round_numbers_come_from_the_catalogue():
    with speaking_with(WrappingAround()):
        for text in (bank_cards(0.8), bank_cards(4.5), mm_with_inches(0.2), mm_with_inches(30.0), duration(300)):
            assert "«" in text
            assert not_wrapped(text) == []


def test_a_text_that_met_no_catalogue_is_found():
    """The check itself: a word glued on, or filled in without a catalogue, stands out."""
    with speaking_with(WrappingAround()):
        glued, filled = _("Your lens") + " is thick", _("{lens} is thick.", lens="Your lens")
        whole = _("{lens} is thick.", lens=in_context("lens", "right"))

        assert not_wrapped((glued, filled, whole)) == [glued, filled]


def test_dates_and_money_are_written_in_the_language_of_the_page(pair_of):
    american, british = pair_of(), pair_of(shop={"locale": "en_GB"})

    with speaking("es_US"):
        assert tell(american).ordered_on == "2 de octubre de 2026"
        assert tell(british).ordered_on == "2 de octubre de 2026"
    assert tell(american).ordered_on == "October 2, 2026"
    assert tell(british).ordered_on == "2 October 2026"
