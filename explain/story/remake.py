"""Remake: what the page of a pair that was made again says first about it, in the order's own words."""

from __future__ import annotations

from msgspec import Struct

from explain.language import _
from explain.order.model import Order


class Remake(Struct, frozen=True):
    """A heading, and what was made again and why."""

    heading: str
    words: str


def remake_of(order: Order) -> Remake | None:
    """Say what changed and why; None for a pair that replaces no other."""
    if order.replaced is None:
        return None
    told = order.replaced
    return Remake(
        _("What we made again"),
        _("What changed: {what}. Why: {why}. Wear this pair from now on.", what=told.what, why=told.why),
    )
