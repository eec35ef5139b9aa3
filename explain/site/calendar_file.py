"""Calendar file: reminders as iCalendar (RFC 5545), the same bytes for the same order, with no way back to the page."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta

from icalendar import Calendar, Event

from explain.language import spoken
from explain.story.reminders import Reminder


def calendar_text(reminders: Sequence[Reminder], address: str, made_on: date) -> str:
    """Write reminders as a calendar. address: the page's own, of which each event's id is a digest.

    A calendar is often shared, so the page's link is not in it and cannot be worked out from the ids.
    """
    calendar = Calendar()
    calendar.add("prodid", f"-//order-explainer//{spoken().code.upper()}")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for reminder in reminders:
        calendar.add_component(_event(reminder, address, made_on))
    text: str = calendar.to_ical().decode("utf-8")
    return text


def _event(reminder: Reminder, address: str, made_on: date) -> Event:
    event = Event()
    event.add("uid", _uid(address, reminder.key))
    event.add("dtstamp", datetime.combine(made_on, time(), UTC))
    event.add("dtstart", reminder.day)
    event.add("dtend", reminder.day + timedelta(days=1))
    event.add("summary", reminder.title)
    event.add("description", reminder.text)
    event.add("transp", "TRANSPARENT")
    if reminder.is_yearly:
        event.add("rrule", {"freq": "yearly"})
    return event


def _uid(address: str, key: str) -> str:
    return f"{hashlib.sha256(f'{address}:{key}'.encode()).hexdigest()[:32]}@reminders.invalid"
