"""Span: how long a page stays published, typed as months or years, and the day it ends."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date

from explain.order.faults import UnclearError
from explain.order.numbers import cut

SPAN = re.compile(r"(?P<count>[0-9]{1,3}) (?P<unit>month|year)s?")
NEVER = "never"
DEFAULT_MONTHS = 24
LONGEST_MONTHS = 240


def read_span(text: str, example: str) -> int | None:
    """Months in a span as typed; None for never. Raises UnclearError for anything else.

    >>> read_span("2 years", ""), read_span("18 months", ""), read_span("never", "")
    (24, 18, None)
    """
    tidy = " ".join(text.lower().split())
    if tidy == NEVER:
        return None
    found = SPAN.fullmatch(tidy)
    months = int(found["count"]) * (12 if found["unit"] == "year" else 1) if found else 0
    if not 1 <= months <= LONGEST_MONTHS:
        raise UnclearError(
            f"{cut(text)} is not a time that a page can stay",
            "A whole number of months or years, from 1 month to 20 years; or never.",
            f"Type it as in:   {example}",
        )
    return months


def months_after(day: date, months: int) -> date:
    """The same day of the month, so many months later; the last of a shorter month.

    >>> months_after(date(2026, 10, 5), 24), months_after(date(2026, 8, 31), 6)
    (datetime.date(2028, 10, 5), datetime.date(2027, 2, 28))
    """
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def span_text(months: int) -> str:
    """Say a number of months as it would be typed.

    >>> span_text(24), span_text(18), span_text(12), span_text(1)
    ('2 years', '18 months', '1 year', '1 month')
    """
    count, unit = (months // 12, "year") if months % 12 == 0 else (months, "month")
    return f"{count} {unit}{'' if count == 1 else 's'}"
