"""Retired: which pages are put away, since when and why, and which are due."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

from msgspec import Struct
from msgspec.structs import asdict

from explain.order.model import Order, Shop
from explain.order.span import months_after, span_text
from explain.site.publish import FolderError, write_whole

RECORD = "retired.json"
SOON = timedelta(days=31)


class Retirement(Struct, frozen=True):
    """When a page is put away, and why; is_undone: on that day it was brought back, and its time counts anew."""

    on: date
    why: str
    is_undone: bool = False


def read_retirement(private: Path, number: str) -> Retirement | None:
    """The record of an order, or None. Raises FolderError for one that cannot be read: nothing is guessed then."""
    record = private / number / RECORD
    if not record.is_file():
        return None
    try:
        found = json.loads(record.read_text(encoding="utf-8"))
        return Retirement(date.fromisoformat(found["on"]), str(found["why"]), bool(found["is_undone"]))
    except (ValueError, KeyError, TypeError) as error:
        raise FolderError(
            f"{record.as_posix()}: this is not the record that was written when the page was put away.\n"
            'It holds one line such as   {"on": "2026-10-02", "why": "", "is_undone": false}\n'
            f"Put it right; or delete it, and then at once:   explain retire {number}"
        ) from error


def is_put_away(private: Path, number: str) -> bool:
    """True where a notice stands in place of the page: it was put away, and not brought back."""
    recorded = read_retirement(private, number)
    return recorded is not None and not recorded.is_undone


def retirement_text(retirement: Retirement) -> str:
    """The record of when and why a page is put away."""
    return json.dumps(asdict(retirement) | {"on": retirement.on.isoformat()}, ensure_ascii=False) + "\n"


def write_retirement(private: Path, number: str, retirement: Retirement) -> None:
    """Record when and why a page is put away."""
    write_whole(private / number / RECORD, retirement_text(retirement))


def retirement_of(order: Order, shop: Shop, private: Path) -> Retirement | None:
    """When this order's page is put away: as recorded, else when its time is over. None where it stays for good."""
    return retirement_by(read_retirement(private, order.number), order, shop)


def retirement_by(recorded: Retirement | None, order: Order, shop: Shop) -> Retirement | None:
    """The same, by what is recorded of its page."""
    if recorded is not None and not recorded.is_undone:
        return recorded
    if shop.retire_after_months is None:
        return None
    span = span_text(shop.retire_after_months)
    if recorded is not None:
        return Retirement(months_after(recorded.on, shop.retire_after_months), f"{span} after it was brought back")
    since, what = (order.sent_on, "sent") if order.sent_on else (order.ordered_on, "ordered")
    return Retirement(months_after(since, shop.retire_after_months), f"{span} after it was {what}")


def is_soon(retirement: Retirement | None, private: Path, number: str, today: date) -> bool:
    """True for a page that will be put away within a month, or is overdue; not for one already put away."""
    if retirement is None or retirement.on > today + SOON:
        return False
    recorded = read_retirement(private, number)
    return recorded is None or recorded.is_undone or recorded.on > today
