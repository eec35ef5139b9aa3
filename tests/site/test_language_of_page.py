"""The language of a page: the order's, else the shop's; dates, money and decimal marks follow it."""

from __future__ import annotations

import pytest
from bs4 import BeautifulSoup

from explain.site.places import templates_folder
from explain.site.render import page_count_css
from explain.story.page import locale_of_page
from tests.language.wrapped import Wrapping, speaking_with
from tests.story.invented import pair_in, write_shop

LAYERS = {"lenses": {"add-ons": ["anti-reflective", "hard-layer"]}}


@pytest.fixture
def shop_with_spanish_words(shop):
    """A shop that brings all its long words in Spanish."""
    folder = shop.orders / "words" / "es"
    folder.mkdir(parents=True)
    for path in (templates_folder() / "words").glob("*.md"):
        (folder / path.name).write_text(f"Palabras de {path.stem}.\n", encoding="utf-8")
    return shop


def built(shop, **changes):
    (result,) = shop.build(shop.order(**LAYERS, **changes))
    assert result.faults == ()
    return BeautifulSoup(shop.page(result), "html5lib")


@pytest.mark.parametrize(
    ("shops", "orders", "locale"),
    [
        ({}, {}, "en_US"),
        ({}, {"language": "es"}, "es_US"),
        ({"language": "es"}, {}, "es_US"),
        ({"language": "es"}, {"language": "en"}, "en_US"),
        ({"locale": "de_DE"}, {}, "en_DE"),
        ({"locale": "es_ES", "language": "es"}, {}, "es_ES"),
        ({"locale": "es_ES"}, {"language": "ES"}, "es_ES"),
    ],
)
def test_the_language_of_the_order_wins_over_that_of_the_shop(tmp_path, shops, orders, locale):
    assert locale_of_page(pair_in(tmp_path, shop=shops, **orders)) == locale


@pytest.mark.parametrize(
    ("locale", "language", "lang", "day", "price"),
    [
        ("en_US", "en", "en-US", "October 2, 2026", "$100.00"),
        ("en_US", "es", "es-US", "2 de octubre de 2026", "$100.00"),
        ("es_ES", "es", "es-ES", "2 de octubre de 2026", "100,00\N{NO-BREAK SPACE}US$"),
        ("de_DE", "en", "en-DE", "2 October 2026", "100,00\N{NO-BREAK SPACE}US$"),
    ],
)
def test_dates_money_and_the_decimal_mark_follow_the_language(
    shop_with_spanish_words, locale, language, lang, day, price
):
    write_shop(shop_with_spanish_words.orders, locale=locale)

    page = built(shop_with_spanish_words, language=language)

    assert page.html["lang"] == lang
    assert day in page.header.get_text()
    assert price in page.find(id="price").get_text()
    thickest = page.find(id="thickness").get_text()
    assert ("4,5" in thickest, "4.5" in thickest) == (("," in price), ("," not in price))


def test_the_figures_kept_for_the_shop_are_the_same_in_every_language(shop_with_spanish_words):
    shop, kept = shop_with_spanish_words, []
    for language in ("en", "es"):
        built(shop, language=language)
        kept.append((shop.out / "private" / "T-0001" / "numbers.json").read_bytes())

    assert kept[0] == kept[1]


def test_the_shops_spanish_words_are_on_the_spanish_page_and_its_english_ones_are_not(shop_with_spanish_words):
    (shop_with_spanish_words.orders / "words" / "care.md").write_text("Rinse them.\n", encoding="utf-8")

    spanish, english = (
        built(shop_with_spanish_words, language=code).find(id="care").get_text() for code in ("es", "en")
    )

    assert ("Palabras de care." in spanish, "Rinse them." in spanish) == (True, False)
    assert ("Palabras de care." in english, "Rinse them." in english) == (False, True)


def test_spanish_words_that_replace_nothing_or_fill_in_nothing_known_are_faults(shop):
    folder = shop.orders / "words" / "es"
    folder.mkdir(parents=True)
    (folder / "cares.md").write_text("x\n", encoding="utf-8")
    (folder / "care.md").write_text("{{ shop.fone }}\n", encoding="utf-8")

    (result,) = shop.build(shop.order())

    assert {fault.message for fault in result.faults} == {
        "{{ shop.fone }} is nothing that can be filled in",
        "there is no words/es/cares.md of ours to replace",
    }


def test_a_folder_of_a_language_we_do_not_speak_is_a_fault(shop):
    (shop.orders / "words" / "xx").mkdir(parents=True)

    (result,) = shop.build(shop.order())

    assert [fault.message for fault in result.faults] == ["this is no file that ends in .md"]


def test_the_answers_stay_english_and_a_spanish_page_says_so(shop_with_spanish_words):
    spanish, english = (built(shop_with_spanish_words, language=code) for code in ("es", "en"))

    links = [page.select(".more li a") for page in (spanish, english)]
    assert len(links[0]) == len(links[1]) > 0
    assert {(link["hreflang"], link["lang"]) for link in links[0]} == {("en", "en")}
    assert [link for link in links[1] if link.has_attr("hreflang") or link.has_attr("lang")] == []
    assert "(in English)" not in english.get_text()
    index = BeautifulSoup((shop_with_spanish_words.out / "upload/answers/index.html").read_text("utf-8"), "html5lib")
    assert index.html["lang"] == "en-US"


def test_printed_pages_are_counted_in_the_language_of_the_page():
    with speaking_with(Wrapping()):
        assert page_count_css() == r'"\ab Page " counter(page) " of " counter(pages) "\bb "'
    assert (templates_folder() / "style.css").read_text(encoding="utf-8").count(page_count_css()) == 1
