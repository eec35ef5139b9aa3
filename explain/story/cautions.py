"""Cautions: stairs and driving in a new pair, each at its place on the page and said once."""

from __future__ import annotations

from explain.language import _, later
from explain.order.model import Order
from explain.order.previous import eye_changes
from explain.story.blocks import Caution


def caution_blocks(order: Order) -> list[Caution]:
    """What to take care of with this pair; nothing for one without power, whose tint has a part of its own."""
    return [caution for caution in (stairs_caution(order), driving_caution(order)) if caution is not None]


def stairs_caution(order: Order) -> Caution | None:
    """How to take stairs with this lens kind and this wearer; None without power."""
    design = order.lenses.design
    if design == "plano":
        return None
    if "child" in order.wearer:
        return Caution(_("Stairs."), _(STEPS_LOOK), _("Hold a small child's hand."))
    if design == "reading":
        return Caution(
            _("Stairs, walking and driving."),
            _("The floor, steps and the road are blurred."),
            _("Take them off before you stand up. Never drive in them."),
        )
    if design in ("progressive", "bifocal"):
        why = _("Low down, steps are blurred or seem closer.")
        return Caution(_("Stairs and curbs."), why, _look_text(design), _unsteady(order))
    return Caution(_("Stairs."), _(STEPS_LOOK), _rail_text(order))


STEPS_LOOK = later("Steps may look nearer or farther at first.")


def _look_text(design: str) -> str:
    if design == "progressive":
        return _("Hold the rail, tip your chin down, and look through the upper part. Take 1 step at a time.")
    return _("Hold the rail, tip your chin down, and look through the part above the line. Take 1 step at a time.")


def _unsteady(order: Order) -> str:
    """Advise a pair for far alone on stairs; the old pair where it is one."""
    is_over_65 = "over 65" in order.wearer
    if order.previous and order.previous.design == "single-vision":
        if is_over_65:
            return _("Over 65, keep a pair for far, such as your old one, for stairs and places you do not know.")
        return _("If you are unsteady, keep a pair for far, such as your old one, for stairs and unknown places.")
    if is_over_65:
        return _("Over 65, keep a pair for far alone for stairs and for places you do not know.")
    return _("If you are unsteady, keep a pair for far alone for stairs and for places you do not know.")


def _rail_text(order: Order) -> str:
    careful = "over 65" in order.wearer or any(change.is_large for change in eye_changes(order))
    if careful:
        return _("Hold the rail. Keep to it until steps look the right distance away.")
    return _("Hold the rail.")


def driving_caution(order: Order) -> Caution | None:
    """When to drive in this pair; None for a child, for a near-only pair and where the order names other uses alone."""
    named = {use.what for use in order.use}
    drives = not named or bool({"driving", "all day"} & named)
    if not drives or "child" in order.wearer or order.lenses.design in ("plano", "reading"):
        return None
    now = " ".join((_when(order), _("Rules differ, so check the rule where you live.")))
    return Caution(_("Driving."), _("Test them parked: road, each mirror, dials."), now)


def _when(order: Order) -> str:
    old = order.previous.design if order.previous else None
    if order.lenses.design != "progressive" or old == "progressive":
        return _("Drive when all of it is clear without searching.")
    if is_first_of_kind(order):
        return _("Do not drive in them until they feel comfortable.")
    return _("If these are your first progressives, do not drive in them until they feel comfortable.")


def is_first_of_kind(order: Order) -> bool:
    """True where the order tells that these are the first progressives or the first lined bifocals."""
    if order.lenses.design not in ("progressive", "bifocal"):
        return False
    old = order.previous.design if order.previous else None
    return order.is_first_pair or (old is not None and old != order.lenses.design)
