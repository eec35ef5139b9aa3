"""FAQ: every answer has a page of its own and a place in the index, public, alone, valid and small."""

from __future__ import annotations

import gzip
import itertools
import re
from collections import Counter

import html5lib
import pytest
from bs4 import BeautifulSoup

from explain.order.answer_keys import SUBJECTS
from explain.site import faq, faq_pages
from explain.site.checking import check_answers
from explain.site.faq import answer_paths
from explain.site.own import Own
from explain.site.render import stylesheet
from tests.story.invented import EXAMPLE, write_answer, write_order, write_shop

NAMES = [*answer_paths(Own()), "index"]
LARGEST_BYTES, LARGEST_SENT_BYTES = 52_000, 13_000


@pytest.fixture(scope="module")
def folder(demo_results):
    """The built answers, beside the demo pages."""
    page = next(iter(demo_results.values())).page
    return page.parents[1] / "answers"


@pytest.fixture(scope="module")
def texts(folder):
    return {path.stem: path.read_text(encoding="utf-8") for path in sorted(folder.iterdir())}


@pytest.fixture(scope="module")
def soups(texts):
    return {name: BeautifulSoup(text, "html5lib") for name, text in texts.items()}


each_page = pytest.mark.parametrize("name", NAMES)
each_answer = pytest.mark.parametrize("name", NAMES[:-1])


def test_every_answer_has_its_page_and_no_other_page_is_there(folder):
    assert sorted(path.name for path in folder.iterdir()) == sorted(f"{name}.html" for name in NAMES)


@each_page
def test_a_page_is_valid_html_and_small(texts, name):
    html5lib.HTMLParser(strict=True).parse(texts[name])
    assert len(texts[name].encode()) <= LARGEST_BYTES
    assert len(gzip.compress(texts[name].encode(), mtime=0)) <= LARGEST_SENT_BYTES


@each_page
def test_a_page_does_not_carry_the_rules_of_the_customers_page(soups, name):
    shared, customers = (named_in(stylesheet(sheet)) for sheet in ("style.css", "order.css"))
    carried = named_in(soups[name].style.string)
    worn = {name for tag in soups[name].find_all(class_=re.compile("")) for name in tag["class"]}

    assert carried <= shared
    assert worn & (customers - shared) == set()


def named_in(css):
    """Classes and ids that the rules of a stylesheet are for."""
    bare = re.sub(r'"[^"]*"', "", css)
    return {name for rule in re.findall(r"[^{};]+(?={)", bare) for name in re.findall(r"[.#]([a-z][\w-]*)", rule)}


@each_page
def test_a_page_has_one_h1_headings_that_do_not_skip_and_ids_of_its_own(soups, name):
    levels = [int(heading.name[1]) for heading in soups[name].find_all(re.compile("^h[1-6]$"))]
    ids = Counter(tag["id"] for tag in soups[name].find_all(id=True))

    assert (levels[0], levels.count(1)) == (1, 1)
    assert [(a, b) for a, b in itertools.pairwise(levels) if b > a + 1] == []
    assert [one for one, count in ids.items() if count > 1] == []


@each_page
def test_every_link_of_a_page_resolves_from_disk(soups, folder, name):
    for link in (tag["href"] for tag in soups[name].find_all("a")):
        if link.startswith(("tel:", "mailto:", "https:")):
            continue
        file, _, place = link.partition("#")
        target = file.removesuffix(".html") if file else name
        assert "/" not in link, link
        assert (folder / f"{target}.html").is_file(), link
        assert not place or soups[target].find(id=place), link


@each_page
def test_a_page_asks_nothing_of_anyone_and_runs_nothing(texts, soups, name):
    text = texts[name].replace('xmlns="http://www.w3.org/2000/svg"', "")
    text = text.replace('xmlns:xlink="http://www.w3.org/1999/xlink"', "")

    assert re.findall(r"@import|url\((?!#)|src=|http:", text) == []
    assert soups[name].find(["script", "link", "iframe", "form", "img", "object"]) is None
    assert "default-src 'none'" in soups[name].find("meta", attrs={"http-equiv": "Content-Security-Policy"})["content"]


@each_page
def test_a_page_is_public_and_still_tells_no_one_where_a_reader_came_from(soups, name):
    assert soups[name].find("meta", attrs={"name": "robots"}) is None
    assert soups[name].find("meta", attrs={"name": "referrer"})["content"] == "no-referrer"


@each_page
def test_a_page_knows_no_customer(texts, demo_results, name):
    known = [(result.number, result.page.parent.name) for result in demo_results.values()]

    assert [word for words in known for word in words if word in texts[name]] == []
    assert "QH-" not in texts[name]


@each_answer
def test_an_answer_has_its_question_its_anchor_its_day_and_its_subject(soups, name):
    page = soups[name]

    assert page.title.get_text(strip=True)
    assert page.find("article", id=name).h1.get_text().endswith("?")
    assert "Last looked at." in page.get_text()
    assert page.select_one('a[href^="index.html#"]')["href"].partition("#")[2] in SUBJECTS


@each_answer
def test_an_answer_leaves_no_place_unfilled(soups, name):
    assert re.findall(r"\[\[|\]\]|\{\{|\}\}", soups[name].get_text()) == []


@each_answer
def test_the_short_answer_comes_before_any_chart_table_or_heading(soups, name):
    parts = [
        tag.name for tag in soups[name].article.find_all(["h1", "h2", "p", "ul", "figure", "table"], recursive=False)
    ]
    after = parts[parts.index("h1") + 1]

    assert after == "p"


def test_the_index_has_every_question_once_by_subject_and_its_other_wordings_to_be_found(soups):
    index = soups["index"]
    links = [link["href"] for link in index.select("ul.answers a")]
    words = " ".join(index.get_text().split())

    assert sorted(links) == sorted(f"{name}.html" for name in NAMES[:-1])
    assert [link for link in links if not index.find(id=f"answer-{link.removesuffix('.html')}")] == []
    for name in NAMES[:-1]:
        for also in soups[name].select("article .also"):
            assert " ".join(also.get_text().split()) in words


def test_the_index_jumps_to_each_subject_that_has_answers(soups):
    index = soups["index"]

    assert [link["href"][1:] for link in index.select("nav a")] == [part["id"] for part in index.select("section.part")]


def test_an_answer_with_figures_and_links_of_the_shop_is_filled(shop):
    text = (
        "Up to [[value: thickest_mm]] at [[shop]].\n\n### What to do\n\n[[figure: edge]]\n\n"
        "Call [[phone]], [[hours]].\n\n[[returns]]\n\n[[remakes]]\n"
    )
    write_answer(shop.orders / "faq", "thick", text=text, example=EXAMPLE)
    write_shop(shop.orders, returns="Within *30* days <b>.")

    shop.build(shop.order())

    page = BeautifulSoup((shop.out / "upload" / "answers" / "thick.html").read_text(encoding="utf-8"), "html5lib")
    assert "Up to 7.2\u00a0mm at Quill Harbor Opticians." in page.article.get_text()
    assert [heading.get_text() for heading in page.article.find_all("h2")] == ["What to do"]
    assert page.article.select_one("figure svg")
    assert page.article.find("a", href="tel:5550100142")
    assert "Within *30* days <b>." in page.article.get_text()


@pytest.mark.parametrize(
    ("cover", "said"),
    [({"cover": "We mend for 2 years."}, "We mend for 2 years."), ({"cover": None}, "Ask us what is covered")],
)
def test_an_answer_says_what_the_shop_covers_or_to_ask(shop, cover, said):
    write_answer(shop.orders / "faq", "broken", text="It depends.\n\n[[cover]]\n")
    write_shop(shop.orders, **cover)

    shop.build(shop.order())

    page = BeautifulSoup((shop.out / "upload" / "answers" / "broken.html").read_text(encoding="utf-8"), "html5lib")
    assert said in page.article.get_text()


def test_a_faulty_answer_leaves_its_page_and_the_others_are_written(shop):
    write_answer(shop.orders / "faq", "thick", text="Old words.\n")
    shop.build(shop.order())
    write_answer(shop.orders / "faq", "thick", text="New [[words]].\n")
    write_answer(shop.orders / "faq", "other", text="Others.\n")
    said = []

    shop.build(shop.order(), all_answers=True, tell=said.append)

    folder = shop.out / "upload" / "answers"
    assert "Old words" in (folder / "thick.html").read_text(encoding="utf-8")
    assert (folder / "other.html").is_file()
    assert (said[0].read.faulty, len(said[0].read.faults)) == ({"thick"}, 1)
    assert '"thick.html"' not in (folder / "index.html").read_text(encoding="utf-8")


def test_what_an_example_cannot_give_is_a_fault_of_a_check_too(shop):
    write_answer(shop.orders / "faq", "thick", text="Short.\n\n[[figure: zones]]\n", example=EXAMPLE)

    done = check_answers([shop.order()])

    assert "needs the design progressive" in str(done.read.faults[0])
    assert done.written is None


def test_the_page_of_an_answer_that_is_gone_is_taken_down_and_a_strangers_file_stays(shop):
    mine = write_answer(shop.orders / "faq", "thick")
    shop.build(shop.order())
    folder = shop.out / "upload" / "answers"
    (folder / "hello.html").write_text("not ours", encoding="utf-8")
    mine.unlink()

    shop.build(shop.order(), all_answers=True)

    assert not (folder / "thick.html").exists()
    assert (folder / "hello.html").is_file()


def test_only_what_differs_is_written_anew(shop):
    write_answer(shop.orders / "faq", "thick", text="Old words.\n")
    shop.build(shop.order())
    folder = shop.out / "upload" / "answers"
    before = {path.name: path.stat().st_ino for path in folder.iterdir()}
    write_answer(shop.orders / "faq", "thick", text="New words.\n")

    shop.build(shop.order(), all_answers=True)

    after = {path.name: path.stat().st_ino for path in folder.iterdir()}
    assert [name for name in before if before[name] != after[name]] == ["thick.html"]


def test_single_orders_build_the_answers_only_where_one_is_missing(shop):
    order, said = shop.order(), []
    shop.build(order, tell=said.append)
    shop.build(order, tell=said.append)
    (shop.out / "upload" / "answers" / f"{NAMES[0]}.html").unlink()
    shop.build(order, tell=said.append)

    assert [done.written > 0 for done in said] == [True, True]


def test_an_order_of_another_shop_leads_to_no_answers(shop, tmp_path):
    other = tmp_path / "other"
    other.mkdir()
    write_shop(other)
    first, second = shop.build(shop.order(), write_order(other, order="T-0002"))

    assert "../answers/" in shop.page(first)
    assert "../answers/" not in shop.page(second)


def test_two_builds_of_the_answers_give_the_same_bytes(shop, texts):
    faq._story.cache_clear()
    faq_pages._answer_html.cache_clear()

    shop.build(shop.order())

    again = {path.stem: path.read_text(encoding="utf-8") for path in (shop.out / "upload" / "answers").iterdir()}
    assert again == texts
