"""Own: a shop's words, parts and answers win over ours file by file, and never lead out of the shop's folder."""

from __future__ import annotations

import pytest
from bs4 import BeautifulSoup

from explain.order.faults import OrderError
from explain.site.own import PLACEHOLDERS, read_own
from explain.site.places import templates_folder
from tests.story.invented import write_answer
from tests.story.test_words import ALLOWED

PART = (templates_folder() / "parts" / "contents.html").read_text(encoding="utf-8")


def write(folder, name, text):
    path = folder / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def messages(folder):
    with pytest.raises(OrderError) as caught:
        read_own(folder)
    return "\n".join(str(fault) for fault in caught.value.faults)


def part_of(shop, result, name):
    return BeautifulSoup(shop.page(result), "html5lib").find(id=name).get_text()


def test_a_shop_without_files_of_its_own_has_none(shop):
    own = read_own(shop.orders)

    assert (own.texts, own.answers, own.doubts) == ((), (), ())


def test_words_of_the_shop_take_the_place_of_ours_and_no_others_change(shop):
    (before,) = shop.build(shop.order())
    fit, care = part_of(shop, before, "fit"), part_of(shop, before, "care")
    write(shop.orders, "words/care.md", "Rinse them, says {{ shop.optician }}.\n")

    (after,) = shop.build(shop.order())

    assert "Rinse them, says Marta Ellwood." in part_of(shop, after, "care")
    assert part_of(shop, after, "care") != care
    assert part_of(shop, after, "fit") == fit


def test_words_of_the_shop_are_cleaned_and_what_is_left_out_is_said(shop):
    write(shop.orders, "words/care.md", "Rinse <script>alert(1)</script> them.\n\n![x](https://a.example/x.png)\n")
    said = []

    (result,) = shop.build(shop.order(), tell=said.append)

    page = BeautifulSoup(shop.page(result), "html5lib")
    assert page.find(["script", "img"]) is None
    assert [doubt.line for doubt in said[0].read.doubts] == [1, 3]


def test_a_part_of_the_shop_takes_the_place_of_ours(shop):
    write(shop.orders, "parts/contents.html", PART.replace("On this page", "Where is what"))

    (result,) = shop.build(shop.order())

    assert "Where is what" in part_of(shop, result, "contents")


@pytest.mark.parametrize(
    ("name", "near"),
    [("words/cares.md", "care.md"), ("words/call-me.md", "call-us.md"), ("parts/content.html", "contents.html")],
)
def test_a_file_that_replaces_nothing_is_a_fault_with_the_nearest_name(shop, name, near):
    write(shop.orders, name, "x\n")

    said = messages(shop.orders)

    assert f"there is no {name} of ours to replace" in said
    assert f"Perhaps you meant:   {near}" in said


def test_all_faults_of_all_files_come_at_once_and_nothing_is_built(shop):
    write(shop.orders, "words/care.md", "Hello {{ name }}.\n")
    write(shop.orders, "words/nowhere.md", "x\n")
    write(shop.orders, "parts/contents.html", "{% macro contents(groups) %}")

    (result,) = shop.build(shop.order())

    assert len(result.faults) == 3
    assert result.page is None
    assert not (shop.out / "upload" / "answers").exists()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Hello {{ name }}", "{{ name }} is nothing that can be filled in"),
        ("Hello {{ shop.fone }}", "Perhaps you meant:   {{ shop.phone }}"),
        ("{{ ''.__class__.__mro__ }}", "curly brackets stand here"),
        ("{% include 'x' %}", "curly brackets stand here"),
        ("{# note #}", "curly brackets stand here"),
        ("{{ shop.phone", "curly brackets stand here"),
    ],
)
def test_only_known_facts_are_filled_into_words(shop, text, said):
    write(shop.orders, "words/care.md", f"First.\n{text}\n")

    found = messages(shop.orders)
    assert said in found
    assert "care.md:2: " in found


def test_the_facts_that_are_filled_in_are_those_of_our_own_words():
    assert set(PLACEHOLDERS) == ALLOWED


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{% macro contents(groups) %}", "this cannot be read"),
        ("{# empty #}", "the macro contents is missing"),
        ("{% for x %}", "this cannot be read"),
    ],
)
def test_a_part_that_cannot_work_is_a_fault(shop, text, said):
    write(shop.orders, "parts/contents.html", text + "\n")

    assert said in messages(shop.orders)


@pytest.mark.parametrize(
    "inside", ["{{ nowhere }}", "{{ groups.__class__ }}", "{{ groups[0].__init__.__globals__ }}", "{{ 1 + 'a' }}"]
)
def test_a_part_that_fails_on_the_page_is_a_fault_and_no_traceback(shop, inside):
    write(shop.orders, "parts/contents.html", f"{{% macro contents(groups) %}}{inside}{{% endmacro %}}\n")

    (result,) = shop.build(shop.order())

    assert result.page is None
    assert "cannot be filled with these parts" in str(result.faults[0])


@pytest.mark.parametrize("name", ["words/care.md", "parts/contents.html", "faq/thick-edges.md"])
def test_a_link_out_of_the_shops_folder_is_refused(shop, tmp_path, name):
    secret = tmp_path / "secret.txt"
    secret.write_text("a secret\n", encoding="utf-8")
    path = shop.orders / name
    path.parent.mkdir()
    path.symlink_to(secret)

    assert "leads out of the folder of your orders" in messages(shop.orders)


def test_a_folder_that_leads_out_is_refused(shop, tmp_path):
    write(tmp_path, "elsewhere/care.md", "x\n")
    (shop.orders / "words").symlink_to(tmp_path / "elsewhere")

    assert "leads out of the folder of your orders" in messages(shop.orders)


@pytest.mark.parametrize("name", ["words/care.txt", "parts/contents.md", "faq/thick.html"])
def test_a_file_of_another_kind_is_named(shop, name):
    write(shop.orders, name, "x\n")

    assert "this is no file that ends in" in messages(shop.orders)


def test_hidden_files_copies_of_an_editor_and_notes_are_passed_over(shop):
    for name in ("words/.care.md.swp", "words/care.md~", "faq/README.md"):
        write(shop.orders, name, "x\n")

    own = read_own(shop.orders)

    assert (own.texts, own.answers) == ((), ())


def test_an_answer_of_the_shop_may_be_new_or_take_the_place_of_ours(shop):
    write_answer(shop.orders / "faq", "light-reactive-not-dark-in-the-car", title="Ours to say")
    write_answer(shop.orders / "faq", "parking-at-the-shop", subject="ordering-by-post", title="Parking")

    shop.build(shop.order())

    folder = shop.out / "upload" / "answers"
    assert "Ours to say" in (folder / "light-reactive-not-dark-in-the-car.html").read_text(encoding="utf-8")
    assert (folder / "parking-at-the-shop.html").is_file()
    assert "parking-at-the-shop.html" in (folder / "index.html").read_text(encoding="utf-8")
