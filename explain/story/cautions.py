"""Cautions: stairs and driving in a new pair, each at its place on the page and said once."""

from __future__ import annotations

from explain.order.model import Order
from explain.order.previous import eye_changes
from explain.story.blocks import Caution

UNSTEADY = "keep a pair for far alone for stairs and for places you do not know."


def caution_blocks(order: Order) -> list[Caution]:
    """What to take care of with this pair; nothing for one without power, whose tint has a part of its own."""
    return [caution for caution in (stairs_caution(order), driving_caution(order)) if caution is not None]


def stairs_caution(order: Order) -> Caution | None:
    """How to take stairs with this lens kind and this wearer; None without power."""
    design = order.lenses.design
    if design == "plano":
        return None
    if "child" in order.wearer:
        return Caution("Stairs.", "Steps may look nearer or farther at first.", "Hold a small child's hand.")
    if design == "reading":
        return Caution(
            "Stairs, walking and driving.",
            "The floor, steps and the road are blurred.",
            "Take them off before you stand up. Never drive in them.",
        )
    if design in ("progressive", "bifocal"):
        where = "the upper part" if design == "progressive" else "the part above the line"
        now = f"Hold the rail, tip your chin down, and look through {where}. Take 1 step at a time."
        return Caution("Stairs and curbs.", "Low down, steps are blurred or seem closer.", now, _unsteady(order))
    return Caution("Stairs.", "Steps may look nearer or farther at first.", f"Hold the rail.{_longer(order)}")


def _unsteady(order: Order) -> str:
    whom = "Over 65" if "over 65" in order.wearer else "If you are unsteady"
    return f"{whom}, {UNSTEADY}"


def _longer(order: Order) -> str:
    careful = "over 65" in order.wearer or any(change.is_large for change in eye_changes(order))
    return " Keep to it until steps look the right distance away." if careful else ""


def driving_caution(order: Order) -> Caution | None:
    """When to drive in this pair; None for a child, for a near-only pair and where the order names other uses alone."""
    named = {use.what for use in order.use}
    drives = not named or bool({"driving", "all day"} & named)
    if not drives or "child" in order.wearer or order.lenses.design in ("plano", "reading"):
        return None
    return Caution("Driving.", "Test them parked: road, each mirror, dials.", f"{_when(order)} {RULES}")


RULES = "Rules differ, so check the rule where you live."


def _when(order: Order) -> str:
    old = order.previous.design if order.previous else None
    if order.lenses.design != "progressive" or old == "progressive":
        return "Drive once all of it is clear without searching."
    start = "" if is_first_of_kind(order) else "If these are your first progressives, "
    return f"{start}{'D' if not start else 'd'}o not drive in them until they feel comfortable."


def is_first_of_kind(order: Order) -> bool:
    """True where the order tells that these are the first progressives or the first lined bifocals."""
    if order.lenses.design not in ("progressive", "bifocal"):
        return False
    old = order.previous.design if order.previous else None
    return order.is_first_pair or (old is not None and old != order.lenses.design)
