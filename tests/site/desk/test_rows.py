"""The rows of the desk: how far each order has come, in which order they stand, and whose link is whose."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from explain.site.desk.rows import desk_rows
from explain.site.publish import prepare
from explain.site.retire import bring_back, published, retire
from explain.site.retired import Retirement
from explain.site.survey import beside
from tests.story.invented import write_shop

ODD = {"checked": {"right": "-4.00 DS", "on": "2026-09-01"}}
"""Checked before it was ordered: worth a warning."""


def rows_of(shop):
    there = beside([str(path) for path in sorted(shop.orders.glob("T-*.yaml"))])
    return desk_rows([Path(path) for path in there], shop.out)


def row_of(shop, number="T-0001"):
    return next(row for row in rows_of(shop) if row.number == number)


def to_type(path):
    draft = path.read_text(encoding="utf-8").replace("for: Odile", "for:    # TO TYPE: what to call the customer")
    path.write_text(f"# Complete the lines that say TO TYPE: then check.\n{draft}", encoding="utf-8")


def test_an_order_without_its_page_is_checked_when_nothing_is_odd_and_doubted_when_something_is(shop):
    shop.order()
    shop.order(order="T-0002", **ODD)

    assert {row.number: row.state for row in rows_of(shop)} == {"T-0001": "checked", "T-0002": "doubts"}
    assert "before it was ordered" in row_of(shop, "T-0002").warnings[0]


def test_an_order_whose_page_is_built_is_published_and_keeps_the_warnings_that_only_a_build_finds(shop):
    shop.build(shop.order(checked={"right": "-4.00 DS"}))
    row = row_of(shop)

    assert (row.state, row.is_changed) == ("published", False)
    assert any("the left lens" in text for text in row.warnings)


def test_an_order_that_was_changed_since_says_so_until_it_is_built_again(shop):
    path = shop.order()
    shop.build(path)
    shop.order(date="2026-10-03")
    assert row_of(shop).is_changed

    shop.build(path)

    assert not row_of(shop).is_changed


def test_a_file_with_lines_to_type_or_faults_is_open_and_its_published_page_is_still_known(shop):
    path = shop.order()
    shop.build(path)
    to_type(path)
    (row,) = rows_of(shop)

    assert (row.state, row.to_type, row.number, row.message) == ("open", 1, "T-0001", None)
    assert row.address is not None
    assert row.faults


def test_a_file_that_cannot_be_read_is_named_and_stands_before_all_dated_orders(shop):
    shop.order(order="T-0001", date="2026-10-02")
    shop.order(order="T-0003", date="2026-10-02")
    shop.order(order="T-0002", date="2026-10-09")
    (shop.orders / "T-0000.yaml").write_text("order: T-0000\n", encoding="utf-8")

    assert [row.number for row in rows_of(shop)] == ["T-0000.yaml", "T-0002", "T-0003", "T-0001"]


def test_the_day_to_call_is_that_of_the_page(shop):
    shop.build(shop.order(sent="2026-10-10"))

    assert row_of(shop).follow_up == date(2026, 10, 27)


def test_a_copied_order_never_gets_the_link_of_the_first_customer(shop):
    path = shop.order()
    shop.build(path)
    copy = shop.orders / "T-copy.yaml"
    copy.write_text(path.read_text(encoding="utf-8").replace("Odile", "Odette"), encoding="utf-8")

    rows = {row.file: row for row in rows_of(shop)}

    assert rows["T-0001.yaml"].message.text.startswith("Hello Odile,")
    assert (rows["T-copy.yaml"].state, rows["T-copy.yaml"].address, rows["T-copy.yaml"].message) == ("open", None, None)
    assert "T-0001.yaml" in rows["T-copy.yaml"].faults[0]


@pytest.mark.parametrize(("language", "hello"), [("en", "Hello Odile,"), ("es", "Hola, Odile:")])
def test_the_message_is_in_the_language_of_the_page_and_ends_with_the_link(shop, language, hello):
    (result,) = shop.build(shop.order(language=language))
    message = row_of(shop).message

    assert message.text.startswith(hello)
    assert message.text.endswith(f"\n\nhttps://glasses.quillharbor.example/{result.page.parent.name}/")
    assert "<!--" not in message.text
    assert "%0D%0A%0D%0Ahttps%3A//glasses" in message.mail_link
    assert message.phone_link.startswith("sms:?&body=Hol" if language == "es" else "sms:?&body=Hel")


def test_a_shop_may_write_its_own_message_and_still_the_link_stands_under_it(shop):
    (shop.orders / "words").mkdir()
    (shop.orders / "words" / "message.md").write_text("Dear {{ for }}: here & now.\n", encoding="utf-8")
    shop.build(shop.order())

    first, _, last = row_of(shop).message.text.partition("\n\n")

    assert first == "Dear Odile: here & now."
    assert last.startswith("https://")


def test_without_a_web_address_there_is_a_folder_and_no_message_and_no_card(shop):
    write_shop(shop.orders, **{"web-address": None})
    (result,) = shop.build(shop.order())
    row = row_of(shop)

    assert row.link == f"upload/{result.page.parent.name}/"
    assert (row.message, row.papers) == (None, ("bench.html",))


def test_taking_the_web_address_out_takes_the_cards_along(shop):
    path = shop.order()
    shop.build(path)
    assert row_of(shop).papers == ("bench.html", "card.html", "card-4x6.html")
    write_shop(shop.orders, **{"web-address": None})

    shop.build(path)

    assert row_of(shop).papers == ("bench.html",)


def test_a_damaged_note_of_the_last_build_is_passed_over(shop):
    shop.build(shop.order())
    (shop.out / "private" / "T-0001" / "desk.json").write_text("[1", encoding="utf-8")

    assert row_of(shop).is_changed


def test_rows_are_read_without_making_a_secret(shop):
    shop.order()
    prepare(shop.out)

    rows_of(shop)

    assert not (shop.orders / "address.secret").exists()


def test_words_left_behind_a_value_that_was_typed_are_not_a_line_to_type(shop):
    path = shop.order()
    text = path.read_text(encoding="utf-8").replace("for: Odile", "for: Odile    # TO TYPE: what to call the customer")
    path.write_text(text, encoding="utf-8")

    assert (row_of(shop).to_type, row_of(shop).state) == (0, "checked")


def test_an_order_whose_page_was_put_away_is_retired_and_has_nothing_to_send_until_it_is_brought_back(shop):
    path = shop.order()
    shop.build(path)
    page, today = published(str(path), shop.out), date(2026, 11, 1)
    retire(page, Retirement(today, ""), today)
    away = row_of(shop)

    bring_back(page, today)

    assert (away.state, away.message, away.papers, away.goes_on) == ("retired", None, ("bench.html",), today)
    assert row_of(shop).state == "published"


def test_a_page_to_be_put_away_later_is_still_published_and_its_day_is_known(shop):
    path = shop.order()
    shop.build(path)
    by_itself = row_of(shop).goes_on
    retire(published(str(path), shop.out), Retirement(date(2027, 1, 2), ""), date(2026, 11, 1))

    assert by_itself == date(2028, 10, 2)
    assert (row_of(shop).state, row_of(shop).goes_on) == ("published", date(2027, 1, 2))
    assert row_of(shop).message


def test_the_page_of_a_pair_made_again_leads_on_once_the_new_one_is_built_and_its_old_link_is_not_sent(shop):
    shop.build(shop.order())
    new = shop.order(order="T-0002", replaces={"order": "T-0001", "what": "the left lens", "why": "its axis was off"})
    before = row_of(shop)

    shop.build(new)
    after = row_of(shop)

    assert (before.state, before.led_to) == ("published", "")
    assert before.message
    assert (after.state, after.led_to, after.message, after.goes_on) == ("leads on", "T-0002", None, None)
    assert after.papers == ("bench.html",)
    assert row_of(shop, "T-0002").message


def test_a_page_that_leads_on_still_does_while_the_newer_file_cannot_be_read(shop):
    shop.build(shop.order())
    new = shop.order(order="T-0002", replaces={"order": "T-0001", "what": "the left lens", "why": "its axis was off"})
    shop.build(new)
    new.write_text("replaces: {order: T-0001\n  what", encoding="utf-8")

    assert (row_of(shop).state, row_of(shop).led_to, row_of(shop).message) == ("leads on", "another order", None)
