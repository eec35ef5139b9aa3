"""Quick: whether a build of all orders would change anything, asked without importing what makes pages."""

from __future__ import annotations

import json
import os
from typing import Any

from explain.site.engine.sweep import INTENT, RECORD, STAGED, Swept

ORDERS = "orders"
SECRET = os.path.join(ORDERS, "address.secret")


def glance(out: str, today: str) -> tuple[dict[str, Any] | None, Swept | None]:
    """What the last build of all orders counted where nothing changed since, and how everything looks now.

    out: folder of the build. today: as 2026-10-02. Without the first a build has to look closer; it may do so by the
    second, which is there where a record of that build is. Orders with faults are always looked at again.
    """
    head = _head_of_last(out, today)
    if head is None:
        return None, None
    swept = Swept([ORDERS], out)
    is_same = swept.inputs() == head["inputs"] and swept.published.hex() == head["published"]
    return head if is_same else None, swept


def is_open_to_others(path: str) -> bool:
    """True for a file that others on this computer may have rights to, which no look at its size and time shows."""
    try:
        return bool(os.stat(path).st_mode & 0o077)
    except OSError:
        return False


def _head_of_last(out: str, today: str) -> dict[str, Any] | None:
    """What the record says of the last build as a whole, where it can tell that nothing changed; else None."""
    try:
        with open(os.path.join(out, "private", RECORD), encoding="utf-8") as file:
            head: dict[str, Any] = json.loads(file.readline())
        can_tell = head["whole"] and not head["faulty"] and not head["is_racy"]
        is_its_time = head["away_since"] <= today and (not head["due"] or today < head["due"])
        holds = can_tell and is_its_time and {"inputs", "published"} <= head.keys()
    except (OSError, ValueError, LookupError, TypeError, AttributeError):
        return None
    if not holds or os.path.exists(os.path.join(out, "private", STAGED, INTENT)):
        return None
    return head
