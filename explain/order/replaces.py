"""Replaces: a pair that was made again, and which order it takes the place of."""

from __future__ import annotations

from explain.order.faults import Remark
from explain.order.fields import Section
from explain.order.model import Replaced

LONGEST_WORDS = 120


def read_replaced(root: Section, number: str | None) -> Replaced | None:
    """The order that this one replaces, what changed and why; None where it replaces none."""
    section = root.child("replaces")
    if section is None:
        return None
    old, what, why = (
        section.raw_text("order", 40),
        section.text("what", LONGEST_WORDS),
        section.text("why", LONGEST_WORDS),
    )
    if old is None or what is None or why is None:
        return None
    if number is not None and old.casefold() == number.casefold():
        message = f"order {number} cannot replace itself"
        allowed = "A pair that is made again has an order of its own, which names the earlier one."
        section.fault("order", Remark(message, allowed, "Type the number of the earlier order."))
        return None
    return Replaced(old, what.rstrip("."), why.rstrip("."))
