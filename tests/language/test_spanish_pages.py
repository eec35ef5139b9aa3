"""Whole Spanish pages of the demo orders: every sentence translated, and the figures those of the English page."""

from __future__ import annotations

import re
from collections import Counter
from contextlib import contextmanager
from datetime import timedelta
from functools import cache
from gettext import NullTranslations
from unittest.mock import patch

import pytest
from bs4 import BeautifulSoup
from msgspec.structs import replace

from explain.language import Language, language, sentences, speaking
from explain.site.places import templates_folder
from explain.site.render import render
from explain.story.page import locale_of_page, tell
from explain.story.wording import Place, sentence_case
from tests.conftest import demo_orders
from tests.language.wrapped import Wrapping, demo_pair, not_wrapped, speaking_with, typed_by_the_shop

STAND_INS = tuple((f"words/es/{path.name}", "1.\n") for path in (templates_folder() / "words").glob("*.md"))
"""In place of the long words, which have tests of their own."""
SPAIN, AMERICA = "es_ES", "es_US"
NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
SAID_IN_WORDS = {"1", "2"}
"""English may say these as "single" or "both" where Spanish has a figure."""
THOUSANDS = {".": re.compile(r"(?<=\d),(?=\d{3}(?!\d))"), ",": re.compile(r"(?<=\d\d)\.(?=\d{3}(?!\d))")}
"""What parts thousands, by the decimal mark; Spanish does so from 5 figures on."""


class Missed(NullTranslations):
    """Asked where a catalogue has no translation: says the English, and remembers it."""

    def __init__(self):
        super().__init__()
        self.sentences = set()

    def gettext(self, message):
        self.sentences.add(message)
        return message

    def pgettext(self, context, message):
        self.sentences.add(f"{message} [{context}]")
        return message

    def ngettext(self, msgid1, msgid2, n):
        self.sentences.add(msgid1)
        return msgid1 if n == 1 else msgid2


@contextmanager
def recording(locale):
    """Speak the real Spanish, and give what it lacks."""
    catalogue, missed = sentences.__wrapped__("es"), Missed()
    catalogue.add_fallback(missed)
    told = Language(locale, language(locale).decimal_mark, catalogue)
    with patch("explain.language.language", lambda _: told), speaking(locale):
        yield missed


@cache
def pair_of(path, locale, code):
    """The pair of a demo order, as if its shop lay in the country of a locale and its page were in a language."""
    pair = demo_pair(path)
    return replace(pair, shop=replace(pair.shop, locale=locale, language=code))


@cache
def spanish_page(path, locale):
    """A demo page in Spanish, and the sentences that its catalogue lacks."""
    pair = pair_of(path, locale, "es")
    with recording(locale_of_page(pair)) as missed:
        html = render(tell(pair), own=STAND_INS)
    return BeautifulSoup(html, "html5lib"), frozenset(missed.sentences)


@cache
def english_page(path):
    pair = pair_of(path, "en_US", "en")
    with speaking(locale_of_page(pair)):
        return BeautifulSoup(render(tell(pair)), "html5lib")


def figures_in(page, decimal_mark):
    """How often each number stands in the tables and in the charts of a page, its decimal mark a point."""
    found = Counter()
    for where in page.select("td, th, figure svg text, figure svg desc"):
        text = THOUSANDS[decimal_mark].sub("", where.get_text(" ")).replace("por ciento", "de cada 100")
        numbers = (number.replace(",", ".") for number in NUMBER.findall(text))
        found.update(number for number in numbers if number not in SAID_IN_WORDS)
    return found


def test_no_sentence_of_a_spanish_page_is_untranslated():
    missed = sorted(set().union(*(spanish_page(path, AMERICA)[1] for path in demo_orders())))

    assert not missed, f"{len(missed)} sentences without Spanish:\n" + "\n".join(one[:70] for one in missed)


@pytest.mark.parametrize("locale", [SPAIN, AMERICA])
def test_the_figures_of_the_spanish_page_are_those_of_the_english_one(demo_order, locale):
    spanish = figures_in(spanish_page(demo_order, locale)[0], language(locale).decimal_mark)
    english = figures_in(english_page(demo_order), ".")

    assert sum(english.values()) > 50
    assert {"only English": english - spanish, "only Spanish": spanish - english} == {
        "only English": Counter(),
        "only Spanish": Counter(),
    }


def test_a_figure_that_differs_is_found_and_marks_do_not_matter():
    def figures(text, mark):
        return figures_in(BeautifulSoup(f"<table><tr><td>{text}</td></tr></table>", "html5lib"), mark)

    assert figures("4.5 mm, $1,234.50, 20,000", ".") == figures("4,5 mm, 1234,50 US$, 20.000", ",")
    assert figures("4.5 mm", ".") != figures("4,6 mm", ",")
    assert figures("4.5 mm", ".") != figures("45 mm", ",")


def dates_near(order, place):
    """Every date that a page of this order may name, as the locale itself writes it."""
    days = [order.ordered_on + timedelta(days=count) for count in range(120)]
    return tuple(text for day in days for text in (place.day(day), place.short_day(day)))


def test_every_text_of_a_whole_page_comes_from_the_catalogue(demo_order):
    pair = pair_of(demo_order, SPAIN, "es")
    typed = (*(words for text in typed_by_the_shop(pair) for words in (text, sentence_case(text))), " y ", " x ")

    with speaking_with(Wrapping()):
        story = tell(pair)

    dates = dates_near(pair.order, Place(SPAIN, pair.shop.currency))
    lost = not_wrapped((story.first, story.groups), (*typed, *dates))
    assert not lost, f"{len(lost)} texts from no catalogue:\n" + "\n".join(sorted({one[:70] for one in lost}))
