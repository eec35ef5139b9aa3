"""Words about the lenses themselves: thickness, material, choices, reflections and tints come from the catalogue."""

from __future__ import annotations

from gettext import NullTranslations

import pytest
from msgspec.structs import replace

from explain.facts import data_file
from explain.optics.spread import Spread
from explain.story.choices import choices_section
from explain.story.edges import edge_place
from explain.story.pair import Pair
from explain.story.reflections import ghost_texts, light_table, light_thrown_back
from explain.story.thickness import lens_texts, measured_centres_text, thickness_section
from explain.story.tints import categories_text, driving_words, tint_table
from explain.story.verdict import band_sentence, band_words, saving_text, verdict_texts
from explain.story.wording import Place
from explain.story.worth import effects_table
from tests.language.wrapped import LOCALE, Wrapping, demo_pair, not_wrapped, said, speaking_with, typed_by_the_shop
from tests.story.invented import pair_in
from tests.story.test_thickness import made

PLACE = Place(LOCALE, "USD")
PAID = [{"item": "Lentes", "amount": "85.00", "choice": "high-index-1.67"}]
FREE = [{"item": "Lentes", "amount": "85.00", "choice": "single-vision"}]
PLUS = {"right": "+4.00 DS", "left": "+3.00 DS"}
HIGH = {"material": "high-index-1.67"}
CASES = {
    "one lens": {"prescription": {"left": "none"}},
    "balance": {"prescription": {"left": "balance"}},
    "plus, from stock": {"prescription": PLUS, "lenses": {"blank": "70"}},
    "weak": {"prescription": {"right": "-0.25 DS", "left": "-0.25 DS"}, "lenses": HIGH, "price": PAID},
    "weak and given": {"prescription": {"right": "-0.25 DS", "left": "-0.25 DS"}, "lenses": HIGH, "price": FREE},
    "seen side by side": {"prescription": {"right": "-2.00 DS", "left": "-2.00 DS"}, "lenses": HIGH, "price": PAID},
    "strong": {"prescription": {"right": "-8.00 DS", "left": "-7.00 DS"}, "lenses": HIGH, "price": PAID},
    "dear": {"lenses": {"material": "high-index-1.74", "add-ons": ["anti-reflective"]}},
    "tough": {"lenses": {"material": "polycarbonate-1.59"}, "wearer": ["child"]},
    "strong plastic": {"lenses": {"material": "polycarbonate-1.59"}},
    "not on the list": {"shop": {"materials": None}, "lenses": {"material": "high-index-1.74"}},
    "dark": {"lenses": {"add-ons": ["sun-tint"], "tint": {"colour": "gris", "category": "2"}}},
    "light-reactive": {"lenses": {"add-ons": ["light-reactive", "anti-reflective"]}},
    "no power": {"prescription": {"right": "plano", "left": "plano"}, "lenses": {"design": "plano"}},
    "tilted": {"prescription": {"right": "+4.00 DS prism 2 in", "left": "+4.00 DS"}},
}


def told(pair: Pair) -> tuple[object, ...]:
    return thickness_section(pair, PLACE), choices_section(pair, PLACE), tint_table(pair.order)


def test_every_text_of_a_demo_order_comes_from_the_catalogue(demo_order):
    pair = demo_pair(demo_order)

    with speaking_with(Wrapping()):
        blocks = told(pair)

    assert sum("«" in text for text in said(blocks)) > 100
    assert not_wrapped(blocks, typed_by_the_shop(pair)) == []


@pytest.mark.parametrize("changes", CASES.values(), ids=CASES)
def test_every_text_of_a_rarer_pair_comes_from_the_catalogue(tmp_path, changes):
    pair = pair_in(tmp_path, **changes)

    with speaking_with(Wrapping()):
        blocks = told(pair)

    assert not_wrapped(blocks, typed_by_the_shop(pair)) == []


def test_the_rarer_pairs_reach_the_rarer_texts(tmp_path):
    pairs = {name: pair_in(tmp_path, **changes) for name, changes in CASES.items()}
    texts = {name: " ".join((*lens_texts(pair), *verdict_texts(pair, PLACE))) for name, pair in pairs.items()}

    assert "In thickness, a little" in texts["weak"]
    assert "all over" in texts["weak"]
    assert "In thickness, yes" in texts["strong"]
    assert "It spreads colors more" in texts["dear"]
    assert "do not leave it off" in texts["tough"]
    assert "not for thinness" in texts["strong plastic"]
    assert "no plainer material" in texts["not on the list"]
    assert "in the middle" in texts["plus, from stock"]
    assert "off the middle" in texts["tilted"]


@pytest.mark.parametrize("price", [PAID, FREE], ids=["paid", "given"])
@pytest.mark.parametrize(("saved_mm", "saved_g"), [(-0.2, 0), (0.3, 0.4), (0.3, 2), (0.3, 4), (0.7, 4), (1.4, 6)])
def test_every_verdict_on_a_saving_comes_from_the_catalogue(tmp_path, saved_mm, saved_g, price):
    pair = pair_in(tmp_path, lenses=HIGH, price=price)
    others = tuple(made(one, 4.0 + saved_mm, 20.0 + saved_g) for one in pair.others)
    pair = replace(pair, chosen=made(pair.chosen, 4.0, 20.0), others=others)

    with speaking_with(Wrapping()):
        found = saving_text(pair, PLACE), effects_table(pair, PLACE)

    assert not_wrapped(found) == []


@pytest.mark.parametrize("changes", CASES.values(), ids=CASES)
def test_an_empty_catalogue_leaves_every_text_in_english_but_for_the_figures(tmp_path, changes):
    pair = pair_in(tmp_path, **changes)

    with speaking_with(NullTranslations()):
        spanish = list(said(told(pair)))

    english = list(said(told(pair)))
    assert len(spanish) == len(english)
    assert [text for text in spanish if "{" in text] == []
    assert any("," in text and text.replace(",", ".") in english for text in set(spanish) - set(english))


def test_single_texts_come_from_the_catalogue(tmp_path):
    pair = pair_in(tmp_path, lenses=HIGH, price=PAID)

    with speaking_with(Wrapping()):
        found = (
            light_thrown_back(pair),
            categories_text(Spread(15, 40)),
            tuple(driving_words(category) for category in range(5)),
            tuple(edge_place(x / 4, y / 4) for x in range(-4, 5) for y in range(-4, 5)),
            ghost_texts(1.6, layered=True),
            tuple(light_table(1.6, clear=clear, price=price) for clear in (True, False) for price in (None, "«»")),
            band_sentence("fringe_prism_dpt", 0.15),
            effects_table(pair, PLACE),
        )

    assert not_wrapped(found) == []


@pytest.mark.parametrize("name", ["thickness_saved_mm", "weight_saved_g", "fringe_prism_dpt", "reflections_of_100"])
def test_the_words_of_every_band_come_from_the_catalogue(name):
    with speaking_with(Wrapping()):
        found = [band_words(name, row["below"] - 0.001) for row in data_file("verdicts")[name]["bands"]]

    assert [text[0] + text[-1] for text in found] == ["«»"] * len(found)


def test_what_was_measured_names_the_lens_in_its_language(tmp_path):
    checked = {"right": "-4.00 DS", "left": "-3.00 DS", "centre": "2.0 / 2.1"}
    order = pair_in(tmp_path, checked=checked).order

    with speaking_with(Wrapping()):
        text = measured_centres_text(order)

    assert "«right» 2,0" in text
    assert not_wrapped(text) == []
