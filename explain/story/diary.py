"""Diary: two weeks to tick, with the days and dates, and when to call."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from explain.facts import data_file
from explain.order.model import Order
from explain.story.blocks import Diary, Stage
from explain.story.wording import Place, counted

DAYS = 14
STAGES = ((1, 2), (3, 7), (8, DAYS))
"""First and last day of each stage: the weeks of the trade's advice (common practice, no source)."""
BOXES = {
    "single-vision": ("Clear", "Steady", "Sit well"),
    "progressive": ("Far", "Near", "Steady"),
    "bifocal": ("Far", "Near", "Steady"),
    "reading": ("Clear", "Sit well"),
    "child": ("Worn", "Steady", "Sit well"),
}
HELPS = {
    "single-vision": (
        "Sit down first. Look far, then near, and turn your head slowly.",
        "Wear them for all they are made for. Leave the old pair off.",
        "Look at the same door frame or sign each day. Is it better?",
    ),
    "progressive": (
        "Sit. Look far through the top; for a page, lower your eyes, not your chin.",
        "Wear them at home. Point your nose at what you look at.",
        "Walk on level ground you know, then in a store. Leave the old pair off.",
    ),
    "bifocal": (
        "Sit. Look far above the line; for a page, lower your eyes, not your chin.",
        "Wear them at home. Set your screen lower and nearer.",
        "Walk on level ground you know, looking above the line.",
    ),
    "reading": (
        "Sit with light on the page. Move it until it is clear, and note how far.",
        "Read longer each day. Look up over the top now and then.",
        "Measure again: is the distance still the same?",
    ),
    "child": (
        "Start sitting down, with something your child likes. On and off with both hands.",
        "As long each day as whoever tested the eyes told you.",
        "Look once a day for the signs below.",
    ),
}


@dataclass(frozen=True, slots=True)
class FirstDay:
    """The day a diary starts on, and what it was reckoned from; when is None where the order has no date to go by."""

    when: date | None
    reckoned_from: str


def first_day(order: Order) -> FirstDay:
    """Day 1: 3 days after the pair was sent, or after it was checked; not dated where neither is known."""
    checked = order.checked.on if order.checked else None
    start = order.sent_on or checked
    if start is None:
        return FirstDay(None, "")
    reckoned_from = "we sent them" if order.sent_on else "we checked them"
    return FirstDay(start + timedelta(days=data_file("getting_used")["first_day"]["mail_days"]), reckoned_from)


def recheck_text(order: Order, place: Place) -> str:
    """The last day to wait before a call: a date, or two weeks from a first day that we do not know."""
    first, days = first_day(order).when, data_file("getting_used")["recheck_days"]
    if first is None:
        return f"{counted(days // 7, 'week', 'weeks')} after your first day with them"
    return place.day(first + timedelta(days=days))


def diary(order: Order, place: Place, *, slow_start: bool) -> Diary:
    """Fourteen rows in three stages. slow_start: a column with the hours of whoever starts slowly."""
    kind = "child" if "child" in order.wearer else order.lenses.design
    first = first_day(order)
    boxes = BOXES[kind]
    hours = ("Hours",) if slow_start else ()
    rows = [
        (day_text(day, first.when, place), *([hours_text(day)] if slow_start else []), *("" for _ in boxes))
        for day in range(1, DAYS + 1)
    ]
    stages = tuple(
        Stage(f"{_days(start, end)} {what}", tuple(rows[start - 1 : end]))
        for (start, end), what in zip(STAGES, HELPS[kind], strict=True)
    )
    return Diary("Tick what is right", ("Day", *hours, *boxes), stages, note_text(first))


def _days(start: int, end: int) -> str:
    return f"Days {start} and {end}." if end == start + 1 else f"Days {start} to {end}."


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
    return f"{fewest} to {most}" if day <= slow["until_day"] else "all day"


HOURS = (
    "Sources differ on hours. Several practices say all day from day 1; "
    "others say the hours printed here. We found no study."
)


def note_text(first: FirstDay) -> str:
    """Say what day 1 was reckoned from."""
    if first.when is None:
        return "Write the date of your first day beside 1."
    days = counted(data_file("getting_used")["first_day"]["mail_days"], "day", "days")
    return f"Day 1 is {days} after {first.reckoned_from}. If yours is later, count from that."
