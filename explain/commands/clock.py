"""Clock: the day it is, or the day that a repeatable build is told."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime

TOLD = "SOURCE_DATE_EPOCH"
"""Seconds since 1970: the usual way to tell a build its day, so that it gives the same bytes later."""


def today() -> date:
    """The day here and now; where SOURCE_DATE_EPOCH holds a number, the day that it says."""
    told = os.environ.get(TOLD, "")
    if told.isdecimal():
        return datetime.fromtimestamp(int(told), tz=UTC).date()
    return datetime.now(tz=UTC).astimezone().date()
