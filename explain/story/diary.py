"""Diary: two weeks to tick, with the days and dates, and when to call."""

from __future__ import annotations

from datetime import date, timedelta

from msgspec import Struct

from explain.facts import data_file
from explain.language import _, in_context, later, plural
from explain.order.model import Order
from explain.story.blocks import Diary, Stage
from explain.story.wording import Place

DAYS = 14
STAGES = ((1, 2), (3, 7), (8, DAYS))
"""First and last day of each stage: the weeks of the trade's advice (common practice, no source)."""
HELPS = {
    "single-vision": (
        later("Sit down first. Look far, then near, and turn your head slowly."),
        later("Wear them for all they are made for, the new pair rather than the old."),
        later("Look at the same door frame or sign each day. Is it better?"),
    ),
    "progressive": (
        later("Sit. Look far through the top; for a page, lower your eyes, not your chin."),
        later("Wear them at home. Point your nose at what you look at."),
        later("Walk on level ground you know, then in a store, with the new pair."),
    ),
    "bifocal": (
        later("Sit. Look far above the line; for a page, lower your eyes, not your chin."),
        later("Wear them at home. Set your screen lower and nearer."),
        later("Walk on level ground you know, looking above the line."),
    ),
    "reading": (
        later("Sit with light on the page. Move it until it is clear, and note how far."),
        later("Read longer each day. Look up over the top now and then."),
        later("Measure again: is the distance still the same?"),
    ),
    "child": (
        later("Start sitting down, with something your child likes. On and off with both hands."),
        later("As long each day as whoever tested the eyes told you."),
        later("Look once a day for the signs below."),
    ),
}


class FirstDay(Struct, frozen=True):
    """The day a diary starts on; when is None where the order has no date. reckoned_from: "sent", "checked" or ""."""

    when: date | None
    reckoned_from: str


def first_day(order: Order) -> FirstDay:
    """Day 1: 3 days after the pair was sent, or after it was checked; not dated where neither is known."""
    checked = order.checked.on if order.checked else None
    start = order.sent_on or checked
    if start is None:
        return FirstDay(None, "")
    reckoned_from = "sent" if order.sent_on else "checked"
    return FirstDay(start + timedelta(days=data_file("getting_used")["first_day"]["mail_days"]), reckoned_from)


def recheck_day(order: Order) -> date | None:
    """The last day to wait before a call; None where the order has no date to go by."""
    first = first_day(order).when
    return None if first is None else first + timedelta(days=data_file("getting_used")["recheck_days"])


def recheck_text(order: Order, place: Place) -> str:
    """The last day to wait before a call: a date, or two weeks from a first day that we do not know."""
    day, days = recheck_day(order), data_file("getting_used")["recheck_days"]
    if day is None:
        return plural(
            "{count} week after your first day with them", "{count} weeks after your first day with them", days // 7
        )
    return place.day(day)


def diary(order: Order, place: Place, *, slow_start: bool) -> Diary:
    """Fourteen rows in three stages. slow_start: a column with the hours of whoever starts slowly."""
    kind = "child" if "child" in order.wearer else order.lenses.design
    first = first_day(order)
    boxes = _boxes(kind)
    hours = (_("Hours"),) if slow_start else ()
    rows = [
        (day_text(day, first.when, place), *([hours_text(day)] if slow_start else []), *("" for _ in boxes))
        for day in range(1, DAYS + 1)
    ]
    stages = tuple(
        Stage(f"{_days(start, end)} {_(what)}", tuple(rows[start - 1 : end]))
        for (start, end), what in zip(STAGES, HELPS[kind], strict=True)
    )
    calendar = _("Add the 2-week check to your calendar") if first.when else ""
    return Diary(_("Tick what is right"), (_("Day"), *hours, *boxes), stages, note_text(first), calendar)


def _days(start: int, end: int) -> str:
    if end == start + 1:
        return _("Days {start} and {end}.", start=start, end=end)
    return _("Days {start} to {end}.", start=start, end=end)


def _boxes(kind: str) -> tuple[str, ...]:
    """What is ticked each day: how it is seen, and how they sit."""
    clear, steady = in_context("to tick in a diary", "Clear"), in_context("to tick in a diary", "Steady")
    sit, worn = in_context("to tick in a diary", "Sit well"), in_context("to tick in a diary", "Worn")
    if kind in ("progressive", "bifocal"):
        return in_context("to tick in a diary", "Far"), in_context("to tick in a diary", "Near"), steady
    return {"reading": (clear, sit), "child": (worn, steady, sit)}.get(kind, (clear, steady, sit))


def day_text(day: int, first: date | None, place: Place) -> str:
    """Number a day, with its date where the first one is known; day counts from 1."""
    if first is None:
        return f"{day}: ____" if day == 1 else str(day)
    return f"{day}: {place.short_day(first + timedelta(days=day - 1))}"


def hours_text(day: int) -> str:
    """Hours of wear on a day for whoever starts slowly; day counts from 1. Status: pages of practices, no study.

    >>> hours_text(1), hours_text(6), hours_text(7)
    ('1 to 2', '6 to 12', 'all day')
    """
    slow = data_file("getting_used")["slow_start"]
    fewest, most = (day * more for more in slow["hours_more_each_day"])
    if day <= slow["until_day"]:
        return _("{low} to {high}", low=fewest, high=most)
    return in_context("hours of wear", "all day")


HOURS = later(
    "Sources differ on hours. Several practices say all day from day 1; "
    "others say the hours printed here. We found no study."
)


def note_text(first: FirstDay) -> str:
    """Say what day 1 was reckoned from."""
    if first.when is None:
        return _("Write the date of your first day beside 1.")
    days = plural("{count} day", "{count} days", data_file("getting_used")["first_day"]["mail_days"])
    if first.reckoned_from == "sent":
        return _("Day 1 is {days} after we sent them. If yours is later, count from that.", days=days)
    return _("Day 1 is {days} after we checked them. If yours is later, count from that.", days=days)
