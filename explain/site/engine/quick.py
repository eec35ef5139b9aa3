"""Quick: whether a build of all orders would change anything, asked without importing what makes pages."""

from __future__ import annotations

import json
import os
from typing import Any

from explain.site.engine import sweep

ORDERS = "orders"


def unchanged_since(out: str, today: str) -> dict[str, Any] | None:
    """What the last build of all orders counted, where nothing changed since; None where a build has to look closer.

    out: folder of the build. today: as 2026-10-02. Orders with faults are always looked at again.
    """
    try:
        with open(os.path.join(out, "private", sweep.RECORD), encoding="utf-8") as file:
            head: dict[str, Any] = json.loads(file.readline())
        holds = (
            head["whole"] and not head["faulty"] and not head["is_racy"] and (not head["due"] or today < head["due"])
        )
    except (OSError, ValueError, LookupError, TypeError):
        return None
    if not holds or os.path.exists(os.path.join(out, "private", sweep.STAGED, sweep.INTENT)):
        return None
    if sweep.inputs([ORDERS]).hex() != head["inputs"] or sweep.outputs(out) != head["outputs"]:
        return None
    return head
