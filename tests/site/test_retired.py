"""Retired: a notice at the same address, the page kept in private/, until it is undone; old pages by themselves."""

from __future__ import annotations

from datetime import date

import pytest
from bs4 import BeautifulSoup

from explain.order import read_order
from explain.order.faults import UnclearError
from explain.order.span import read_span
from explain.site.publish import FolderError
from explain.site.retire import RetireError, bring_back, published, retire
from explain.site.retired import RECORD, Retirement, is_soon, read_retirement, retirement_of
from tests.site.conftest import ShopFolder

TODAY = date(2026, 11, 25)
BY_HAND = Retirement(TODAY, "asked for by phone")
TWO_YEARS_ON = date(2028, 10, 2)


@pytest.fixture
def built(shop):
    (result,) = shop.build(shop.order(), today=TODAY)
    return result


def put_away(shop: ShopFolder, order) -> None:
    assert retire(published(str(order), shop.out), BY_HAND, TODAY)


def test_a_page_put_away_is_a_notice_with_the_phone_and_nothing_of_the_order(shop, built):
    put_away(shop, built.path)

    words = BeautifulSoup(built.page.read_bytes(), "html5lib").body.get_text(" ")
    assert "(555) 010-0142" in words
    assert [found for found in ("Odile", "T-0001", "4.00", "31", "100", "180", "Rowan") if found in words] == []


def test_what_was_put_away_stays_in_private(shop, built):
    before = shop.page(built)
    (built.page.parent / "extra.ics").write_text("x", encoding="utf-8")

    put_away(shop, built.path)

    kept = shop.out / "private" / "T-0001" / "taken-down"
    assert (kept / "index.html").read_text(encoding="utf-8") == before
    assert (kept / "extra.ics").is_file()
    assert [path.name for path in built.page.parent.iterdir()] == ["index.html"]
    assert read_retirement(shop.out / "private", "T-0001") == BY_HAND


@pytest.mark.parametrize("today", [None, TODAY], ids=["no clock", "today"])
def test_later_builds_leave_the_notice(shop, built, today):
    put_away(shop, built.path)
    notice = shop.page(built)

    (again,) = shop.build(built.path, today=today)

    assert (again.page, again.standing.is_away, again.faults) == (None, True, ())
    assert shop.page(built) == notice


def test_undo_brings_the_page_back_as_it_was_and_builds_go_on(shop, built):
    before = shop.page(built)
    put_away(shop, built.path)

    assert bring_back(published(str(built.path), shop.out), TODAY)

    assert shop.page(built) == before
    assert not (shop.out / "private" / "T-0001" / "taken-down").exists()
    assert shop.build(built.path, today=TODAY)[0].page == built.page


def test_a_day_to_come_waits_for_a_build_on_that_day(shop, built):
    before = shop.page(built)
    later = Retirement(date(2026, 12, 24), "")

    assert not retire(published(str(built.path), shop.out), later, TODAY)

    assert shop.build(built.path, today=date(2026, 12, 23))[0].page
    assert shop.page(built) == before
    assert shop.build(built.path, today=date(2026, 12, 24))[0].standing.is_away


@pytest.mark.parametrize(
    ("changes", "last_day"),
    [({}, TWO_YEARS_ON), ({"sent": "2026-10-20"}, date(2028, 10, 20))],
    ids=["from the order", "from the day it was sent"],
)
def test_after_two_years_a_build_puts_the_page_away_by_itself(shop, changes, last_day):
    order = shop.order(**changes)

    (kept,) = shop.build(order, today=last_day.replace(day=last_day.day - 1))
    (away,) = shop.build(order, today=last_day)

    assert (kept.standing.is_away, away.standing.is_away) == (False, True)
    assert "2 years after it was " in away.standing.retirement.why


def test_a_page_brought_back_counts_its_time_anew(shop, built):
    shop.build(built.path, today=TWO_YEARS_ON)

    bring_back(published(str(built.path), shop.out), TWO_YEARS_ON)

    assert shop.build(built.path, today=date(2030, 10, 1))[0].page
    assert shop.build(built.path, today=date(2030, 10, 2))[0].standing.is_away


def test_what_is_due_within_a_month_is_soon_and_what_is_away_is_not(shop, built):
    private = shop.out / "private"
    retirement = retirement_of(read_order(built.path, _shop_of(shop)).order, _shop_of(shop), private)

    assert is_soon(retirement, private, "T-0001", date(2028, 9, 2))
    assert not is_soon(retirement, private, "T-0001", date(2028, 8, 31))

    shop.build(built.path, today=TWO_YEARS_ON)
    assert not is_soon(retirement, private, "T-0001", TWO_YEARS_ON)


def _shop_of(shop):
    from explain.order import read_shop

    return read_shop(shop.orders / "shop.yaml")


def test_a_record_that_cannot_be_read_stops_the_build_rather_than_publish(shop, built):
    put_away(shop, built.path)
    (shop.out / "private" / "T-0001" / RECORD).write_text("{}", encoding="utf-8")

    with pytest.raises(FolderError, match="not the record"):
        shop.build(built.path, today=TODAY)


@pytest.mark.parametrize("order", ["T-0009", "../T-0001", "no such file.yaml"])
def test_an_order_that_was_never_published_cannot_be_put_away(shop, built, order, monkeypatch):
    assert built.page
    monkeypatch.chdir(shop.orders.parent)

    with pytest.raises(RetireError):
        published(order, shop.out)


def test_what_was_not_put_away_cannot_be_brought_back(shop, built):
    with pytest.raises(RetireError, match="not put away"):
        bring_back(published(str(built.path), shop.out), TODAY)


@pytest.mark.parametrize(
    ("typed", "months"), [("2 years", 24), ("1 year", 12), ("18 Months", 18), ("20 years", 240), ("never", None)]
)
def test_a_time_to_stay_is_read_in_months_and_years(typed, months):
    assert read_span(typed, "") == months


@pytest.mark.parametrize("typed", ["0 months", "21 years", "2", "two years", "2 weeks", "-1 year", ""])
def test_a_time_to_stay_that_is_unclear_is_not_guessed_at(typed):
    with pytest.raises(UnclearError):
        read_span(typed, "")
