"""Reminders: the days of a calendar file beside the page, which names neither the customer nor a figure."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from explain.language import _
from explain.order.model import Order, Shop
from explain.story.diary import recheck_day

PLAIN_LENSES = "plano"


class Reminder(Struct, frozen=True):
    """One whole day of a calendar, in words. key: what it is for, alike in every language."""

    key: str
    day: date
    title: str
    text: str
    is_yearly: bool = False


def has_reminders(order: Order) -> bool:
    """True where the page has two weeks to tick, and they have dates."""
    return order.lenses.design != PLAIN_LENSES and recheck_day(order) is not None


def reminders(order: Order, shop: Shop) -> tuple[Reminder, ...]:
    """The day to call by when something is not right, and a yearly one for the eye test; none without dates."""
    check = recheck_day(order)
    if check is None or not has_reminders(order):
        return ()
    eye_test = _("Whoever tested the eyes sets the date of the next test. It may be sooner or later than this day.")
    return (
        Reminder("check", check, _("Are your glasses right?"), _check_text(shop)),
        Reminder("eye-test", a_year_after(order.ordered_on), _("Ask when your next eye test is due"), eye_test, True),  # noqa: FBT003
    )


def _check_text(shop: Shop) -> str:
    return _(
        "It has been 2 weeks with the new glasses. If anything is still not right, call {shop}: {phone}.",
        shop=shop.name,
        phone=shop.phone,
    )


def a_year_after(day: date) -> date:
    """The same day a year later; 28 February after a 29th, since a yearly event on a 29th comes every 4 years.

    >>> a_year_after(date(2024, 2, 29))
    datetime.date(2025, 2, 28)
    """
    is_leap_day = (day.month, day.day) == (2, 29)
    return day.replace(year=day.year + 1, day=28 if is_leap_day else day.day)
