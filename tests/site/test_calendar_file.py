"""The calendar beside a page, read back by a library: days, words, ids, and nothing about the customer."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from icalendar import Calendar

from explain.site.places import CALENDAR_NAME
from explain.story.reminders import reminders
from tests.language.wrapped import Wrapping, speaking_with
from tests.story.invented import pair_in

SENT = {"sent": "2026-10-10"}


def events_of(result):
    calendar = Calendar.from_ical((result.page.parent / CALENDAR_NAME).read_bytes())
    assert (calendar["version"], len(calendar.errors)) == ("2.0", 0)
    return {str(event["rrule"]["freq"][0]) if "rrule" in event else "once": event for event in calendar.events}


def test_the_check_is_on_the_day_the_page_names_and_the_eye_test_a_year_after_the_order(shop):
    (result,) = shop.build(shop.order(**SENT))
    events = events_of(result)

    assert events["once"]["dtstart"].dt == date(2026, 10, 10) + timedelta(days=3 + 14)
    assert "October 27, 2026" in shop.page(result)
    assert events["YEARLY"]["dtstart"].dt == date(2027, 10, 2)
    assert "Whoever tested the eyes sets the date" in events["YEARLY"]["description"]
    assert [event["dtend"].dt - event["dtstart"].dt for event in events.values()] == [timedelta(days=1)] * 2


def test_every_event_has_what_the_standard_asks_for_and_no_day_of_its_own(shop):
    (result,) = shop.build(shop.order(**SENT))
    text = (result.page.parent / CALENDAR_NAME).read_bytes()

    assert [event["dtstamp"].dt for event in events_of(result).values()] == [datetime(2026, 10, 2, tzinfo=UTC)] * 2
    assert all(line.endswith(b"\r") and len(line) <= 76 for line in text.split(b"\n")[:-1])
    shop.build(shop.order(**SENT))
    assert (result.page.parent / CALENDAR_NAME).read_bytes() == text


def test_it_names_the_shop_and_neither_customer_nor_order_nor_link_nor_power(shop):
    (result,) = shop.build(shop.order(**SENT))
    text = (result.page.parent / CALENDAR_NAME).read_text(encoding="utf-8").replace("\n ", "").replace("\r", "")

    assert "Quill Harbor Opticians" in text
    assert "(555) 010-0142" in text
    assert [said for said in ("Odile", "T-0001", result.page.parent.name, "4.00", "−", "https") if said in text] == []


def test_two_orders_have_ids_of_their_own_and_one_order_keeps_its_own(shop):
    first, second = shop.build(shop.order(**SENT), shop.order(order="T-0002", **SENT))
    (again,) = shop.build(shop.order(sent="2026-10-12"))

    ids = [[str(event["uid"]) for event in events_of(result).values()] for result in (first, second)]
    assert len(set(ids[0] + ids[1])) == 4
    assert [str(event["uid"]) for event in events_of(again).values()] == ids[0]


def test_a_date_that_is_taken_out_takes_the_calendar_and_its_link_along(shop):
    shop.build(shop.order(**SENT))

    (result,) = shop.build(shop.order())

    assert not (result.page.parent / CALENDAR_NAME).exists()
    assert CALENDAR_NAME not in shop.page(result)


def test_glasses_without_power_have_no_two_weeks_and_no_calendar(tmp_path):
    plain = {"prescription": {"right": "plano", "left": "plano"}, "lenses": {"design": "plano"}}
    pair = pair_in(tmp_path, **plain, **SENT)

    assert reminders(pair.order, pair.shop) == ()


def test_every_word_comes_from_the_catalogue(tmp_path):
    pair = pair_in(tmp_path, **SENT)

    with speaking_with(Wrapping()):
        told = reminders(pair.order, pair.shop)

    assert [text for one in told for text in (one.title, one.text) if not text.startswith("«")] == []


def test_a_yearly_day_is_never_the_29th_of_february(tmp_path):
    pair = pair_in(tmp_path, date="2028-02-29", sent="2028-03-01")

    assert [one.day for one in reminders(pair.order, pair.shop) if one.is_yearly] == [date(2029, 2, 28)]
