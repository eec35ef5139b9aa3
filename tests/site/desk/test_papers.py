"""The papers of an order: valid HTML, private, the card in the language of the page, the bench sheet in English."""

from __future__ import annotations

import html5lib
import pytest
from bs4 import BeautifulSoup

from explain.site.desk.papers import CARDS, qr_code
from explain.story.card import card_words
from tests.language.wrapped import Wrapping, not_wrapped, speaking_with
from tests.story.invented import pair_in


def paper_of(shop, name):
    text = (shop.out / "private" / "T-0001" / name).read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(text)
    return BeautifulSoup(text, "html5lib")


@pytest.mark.parametrize("name", [*CARDS, "bench.html"])
def test_a_paper_runs_no_script_and_asks_for_nothing(shop, name):
    shop.build(shop.order())
    soup = paper_of(shop, name)

    assert soup.find("script") is None
    assert soup.find(src=True) is None
    assert "default-src 'none'" in soup.find("meta", attrs={"http-equiv": "Content-Security-Policy"})["content"]


@pytest.mark.parametrize(("language", "scan"), [("en", "Scan for the page"), ("es", "Escanee para ver la página")])
def test_the_card_has_name_number_phone_and_link_and_no_power_in_the_language_of_the_page(shop, language, scan):
    (result,) = shop.build(shop.order(language=language))
    soup = paper_of(shop, "card.html")
    text = soup.body.get_text()

    assert soup.html["lang"] == f"{language}-US"
    assert all(word in text for word in (scan, "Odile", "T-0001", "(555) 010-0142", result.page.parent.name))
    assert "4.00" not in text


def test_every_word_of_the_card_comes_from_the_catalogue(tmp_path):
    pair = pair_in(tmp_path)
    with speaking_with(Wrapping()):
        words = card_words(pair.order, pair.shop)

    assert not_wrapped(words) == []


@pytest.mark.parametrize("name", [*CARDS, "bench.html"])
def test_the_same_order_gives_the_same_bytes(shop, name):
    path = shop.order()
    shop.build(path)
    first = (shop.out / "private" / "T-0001" / name).read_bytes()

    shop.build(path)

    assert (shop.out / "private" / "T-0001" / name).read_bytes() == first


def test_the_bench_sheet_is_english_for_a_page_in_spanish(shop):
    shop.build(shop.order(language="es"))
    soup = paper_of(shop, "bench.html")

    assert soup.html["lang"] == "en"
    assert "Smallest blank" in soup.get_text()
    assert "Right eye" in soup.get_text()


def test_the_code_has_a_white_margin_of_four_squares():
    drawn = BeautifulSoup(qr_code("https://a.example/x/"), "html.parser").svg

    assert drawn["viewbox"] == f"0 0 {25 + 2 * 4} {25 + 2 * 4}"
