"""The first screen, the prescription and the bill: every word of theirs goes through the catalogue, whole."""

from __future__ import annotations

from gettext import NullTranslations
from itertools import product

import pytest
from msgspec.structs import replace

from explain.language import _, in_context, speaking
from explain.order.keys import DESIGNS, USES, USES_WITH_DISTANCE
from explain.order.model import Accepted, Tint, Use
from explain.story.bought import first_screen
from explain.story.have import have_text
from explain.story.matching import message_text
from explain.story.page import tell
from explain.story.prescription import prescription_section, size_sentence
from explain.story.price import effect_text, price_section
from explain.story.sides import (
    each_eye,
    eye_name,
    lens_name,
    of_eye,
    of_lens,
    the_lens,
    the_lens_first,
    your_eye,
    your_lens,
    your_lens_first,
    your_lenses,
)
from explain.story.wording import Place, bank_cards, duration, mm_with_inches
from tests.language.wrapped import LOCALE, WrappingAround, demo_pair, not_wrapped, speaking_with, typed_by_the_shop
from tests.story.invented import pair_in

SPAIN = Place(LOCALE, "USD")
PLANO = {"prescription": {"right": None, "left": None}, "lenses": {"design": "plano"}}
PROGRESSIVE = {"lenses": {"design": "progressive"}, "prescription": {"add": "2.00", "heights": "20 / 20"}}
SIDES = (eye_name, lens_name, your_eye, your_lens, your_lens_first, the_lens, the_lens_first, of_eye, of_lens)
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
        {"prescription": {"right": "0.00 DS", "left": "-9.00 DS 2 out"}, "paid": "200.00", "balance": "-20.00"},
        {"price": [{"item": "Lenses", "amount": "80.00", "choice": "standard-plastic-1.50"}]},
        {"prescription": {"right": "+2.00 DS", "left": "balance"}, "wearer": ["over 65"]},
        {"prescription": {"right": "-1.00 DS 2 up", "left": "-9.00 DS 1.5 in"}, "use": ["desk at 70 cm", "sport"]},
        {"prescription": {"left": None}, "use": ["all day", "driving", "reading", "music stand at 80 cm"]},
        {"lenses": {"design": "reading"}, "prescription": {"add": "2.00"}},
        PROGRESSIVE | {"paid": "100.00"},
        PROGRESSIVE | {"wearer": ["child"], "paid": "180.00", "lenses": {"add-ons": ["polarised", "light-reactive"]}},
        {"lenses": {"add-ons": ["sun-tint"], "tint": {"colour": "brown", "category": "4"}}},
        PLANO | {"wearer": ["child"]},
        PLANO | {"checked": {"right": "plano", "left": "plano"}},
    ],
)
def test_rare_orders_are_told_by_the_catalogue_too(pair_of, changes):
    pair = pair_of(**changes)

    with speaking_with(WrappingAround()):
        assert not_wrapped(told(pair), typed(pair)) == []


BOTH = OUTSIDE | {"left": "-3.50 DS"}
PAIR = OUTSIDE | {"right": None, "pd": "36 / 36", "on": None}
INSIDE = {"right": "-4.00 DS", "left": "-3.00 DS", "on": "2026-10-09"}


@pytest.mark.parametrize("accepted", [None, "Odile, by phone", "Dr. Lind"])
@pytest.mark.parametrize(
    "checked", [OUTSIDE, BOTH, PAIR, INSIDE, INSIDE | {"on": None}, INSIDE | {"left": None}, {"right": "-4.00 DS"}]
)
def test_what_we_measured_is_told_by_the_catalogue(pair_of, checked, accepted):
    pair = pair_of(checked=checked)
    if accepted:
        pair = replace(pair, order=replace(pair.order, accepted=Accepted(accepted, "She asked for it.")))

    with speaking_with(WrappingAround()):
        assert not_wrapped(message_text(pair, SPAIN), (*typed(pair), accepted or "Odile")) == []


@pytest.mark.parametrize("design", DESIGNS)
def test_every_kind_of_glasses_for_every_use_has_its_words(pair_of, design):
    order = pair_of().order
    uses = [(), *((Use(what),) for what in USES), *((Use(what, 70.0),) for what in USES_WITH_DISTANCE)]
    layers = [(), ("light-reactive",), ("polarised",), ("light-reactive", "polarised")]

    for add_ons, tint, use in product(layers, (None, Tint("brown", 3)), uses):
        lenses = replace(order.lenses, design=design, add_ons=add_ons, tint=tint)
        with speaking_with(WrappingAround()):
            assert not_wrapped(have_text(replace(order, lenses=lenses, use=use)), ("Rowan", "slate", "brown")) == []


@pytest.mark.parametrize("thinner_mm", [-0.5, 0.0, 0.5])
@pytest.mark.parametrize("lighter_g", [-2.0, 0.0, 2.0])
def test_every_effect_of_a_material_has_its_words(thinner_mm, lighter_g):
    with speaking_with(WrappingAround()):
        assert not_wrapped(effect_text(thinner_mm, lighter_g, "«glass»")) == []


@pytest.mark.parametrize("side", ["right", "left"])
def test_every_word_for_a_side_comes_from_the_catalogue(side):
    with speaking_with(WrappingAround()):
        for say in SIDES:
            assert side in say(side).lower()
            assert not_wrapped(say(side)) == []
        assert not_wrapped((each_eye(), your_lenses([side, side]), size_sentence(side, 1.0))) == []


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
