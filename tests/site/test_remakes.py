"""Remakes: the new page says what changed, the old address leads to it, and no figure of the old pair is left."""

from __future__ import annotations

from datetime import date

import pytest
from bs4 import BeautifulSoup

from explain.site.remakes import Remakes
from explain.site.retire import bring_back, published, retire
from explain.site.retired import Retirement

WHY = {"what": "the left lens was made again", "why": "its axis was 6 degrees off"}
OLD_FRAME = "Rowan"


def again(shop, number="T-0002", old="T-0001", **changes):
    return shop.order(order=number, replaces={"order": old, **WHY}, frame={"name": "Alder"}, **changes)


def page_of(shop, order):
    return published(str(order), shop.out).folder / "index.html"


def words(page):
    return BeautifulSoup(page.read_bytes(), "html5lib").body.get_text(" ")


@pytest.fixture
def old(shop):
    order = shop.order()
    shop.build(order)
    return order


def test_the_new_page_says_what_changed_and_why_after_the_first_screen(shop, old):
    assert old
    (new,) = shop.build(again(shop))

    soup = BeautifulSoup(shop.page(new), "html5lib")
    said = soup.find(id="remake").get_text(" ", strip=True)
    assert "What changed: the left lens was made again. Why: its axis was 6 degrees off." in said
    assert soup.find(id="remake").find_previous("section")["id"] == "first"
    assert len(soup.find(id="first").get_text(" ").split()) <= 70


def test_the_old_address_leads_to_the_new_page_and_shows_nothing_of_the_old_pair(shop, old):
    (new,) = shop.build(again(shop))

    notice = BeautifulSoup(page_of(shop, old).read_bytes(), "html5lib")
    links = [link["href"] for link in notice.find_all("a")]
    assert (page_of(shop, old).parent / links[0]).resolve() == new.page.resolve()
    assert links[1].startswith("tel:")
    assert notice.find("meta", attrs={"http-equiv": "refresh"}) is None
    texts = [
        path.read_text(encoding="utf-8") for path in shop.out.glob("upload/*/*.html") if "answers" not in str(path)
    ]
    assert [text for text in texts if OLD_FRAME in text] == []
    assert OLD_FRAME in (shop.out / "private" / "T-0001" / "taken-down" / "index.html").read_text(encoding="utf-8")


def test_building_the_old_order_later_leaves_it_leading_on(shop, old):
    shop.build(again(shop))

    (result,) = shop.build(old)

    assert (result.page, result.standing.led_to, result.faults) == (None, "T-0002", ())
    assert OLD_FRAME not in words(page_of(shop, old))


def test_a_remake_with_faults_leaves_the_old_page_as_it_was(shop, old):
    before = page_of(shop, old).read_text(encoding="utf-8")

    shop.build(again(shop, prescription={"left": "-4.00 -1.00"}))

    assert page_of(shop, old).read_text(encoding="utf-8") == before


@pytest.mark.parametrize("broken", ["replaces: {order: T-0001\n  what", None], ids=["cannot be read", "replaced twice"])
def test_no_figure_comes_back_while_the_remake_is_unclear(shop, old, broken):
    new = again(shop)
    shop.build(new)
    if broken:
        new.write_text(broken, encoding="utf-8")
    else:
        again(shop, number="T-0003")

    shop.build(old)

    assert OLD_FRAME not in words(page_of(shop, old))


def test_without_replaces_the_old_page_comes_back(shop, old):
    shop.build(again(shop))
    shop.order(order="T-0002")

    (result,) = shop.build(old)

    assert result.page == page_of(shop, old)
    assert OLD_FRAME in words(result.page)


def test_a_remake_of_a_remake_leads_both_old_pages_to_the_newest(shop, old):
    second, third = again(shop), again(shop, number="T-0003", old="T-0002")

    shop.build(old, second, third)

    for order in (old, second):
        assert page_of(shop, third).parent.name in page_of(shop, order).read_text(encoding="utf-8")


def test_a_page_that_was_put_away_stays_put_away(shop, old):
    day = date(2026, 11, 25)
    retire(published(str(old), shop.out), Retirement(day, ""), day)

    shop.build(again(shop), today=day)

    assert "put away" in words(page_of(shop, old))
    bring_back(published(str(old), shop.out), day)
    assert shop.build(old, today=day)[0].standing.led_to == "T-0002"


def test_orders_that_replace_each_other_are_both_refused(shop, old):
    assert old
    first, second = again(shop, number="T-0003", old="T-0004"), again(shop, number="T-0004", old="T-0003")

    results = shop.build(first, second)

    assert [len(result.faults) for result in results] == [1, 1]
    assert "replaces this one in turn" in results[0].faults[0].message
    assert list(Remakes.in_folder(shop.orders).older("T-0003")) == ["T-0004"]


def test_a_longer_circle_is_found_too(shop):
    orders = [again(shop, number=f"T-000{n}", old=f"T-000{n % 3 + 1}") for n in (1, 2, 3)]

    assert [len(result.faults) for result in shop.build(*orders)] == [1, 1, 1]
