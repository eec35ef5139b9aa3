"""Matching: whose glasses these are, and whether what we measured is what was ordered."""

from __future__ import annotations

from explain.language import _
from explain.order.model import Order
from explain.story.pair import Pair
from explain.story.sides import the_lens
from explain.story.verify import comparisons, outside
from explain.story.wording import Place


def message_text(pair: Pair, place: Place) -> str:
    """Say that these are the ordered glasses, and that they match, or what differs."""
    whose = _whose_text(pair.order)
    if not any(one.allowed is not None for one in comparisons(pair)):
        return whose
    on = pair.order.checked.on if pair.order.checked else None
    day = place.day(on) if on else None
    return f"{whose} {_outside_text(pair, day) if outside(pair) else _inside_text(pair, day)}"


def all_powers_measured(pair: Pair) -> bool:
    """True where the check holds a power for every lens of the order."""
    return all(getattr(pair.order.checked, eye.side, None) is not None for eye in pair.eyes)


def _whose_text(order: Order) -> str:
    """Start the message: to the wearer, or about a child to whoever reads the page."""
    plano, name = order.lenses.design == "plano", order.first_name
    if "child" in order.wearer:
        if plano:
            return _("{name}'s glasses have no power, as ordered.", name=name)
        return _("{name}'s glasses are made to the prescription.", name=name)
    if not plano:
        return _("{name}, these glasses are made to your prescription.", name=name)
    if order.lenses.tint:
        return _("{name}, these are sunglasses without a prescription.", name=name)
    return _("{name}, these are glasses without a prescription.", name=name)


def _inside_text(pair: Pair, day: str | None) -> str:
    if pair.order.lenses.design == "plano":
        if day is None:
            return _("We measured their power: none, as ordered.")
        return _("We measured their power on {day}: none, as ordered.", day=day)
    if all_powers_measured(pair):
        if day is None:
            return _("We measured them: each figure that has a limit is within it.")
        return _("We measured them on {day}: each figure that has a limit is within it.", day=day)
    if day is None:
        return _("We measured part of them: each figure that has a limit is within it.")
    return _("We measured part of them on {day}: each figure that has a limit is within it.", day=day)


def _outside_text(pair: Pair, day: str | None) -> str:
    measured = _("We measured them:") if day is None else _("We measured them on {day}:", day=day)
    return f"{measured} {_difference(pair)}"


def _difference(pair: Pair) -> str:
    """Say which lens is outside a limit, and who accepted it."""
    eyes = {one.eye for one in outside(pair)}
    if len(eyes) > 1 and "both" not in eyes:
        return _both_outside(_who_accepted(pair))
    return _one_outside(_("the pair") if "both" in eyes else the_lens(eyes.pop()), _who_accepted(pair))


def _who_accepted(pair: Pair) -> str | None:
    """Name who accepted the difference: "" for the reader, None for nobody."""
    if pair.order.accepted is None:
        return None
    by = pair.order.accepted.by.split(",")[0]
    return "" if by in {"you", pair.order.first_name} else by


def _both_outside(who: str | None) -> str:
    if who is None:
        return _("the right and left lenses are outside the allowed difference.")
    if not who:
        return _("the right and left lenses are outside the allowed difference, and you accepted that.")
    return _("the right and left lenses are outside the allowed difference, and {who} accepted that.", who=who)


def _one_outside(what: str, who: str | None) -> str:
    if who is None:
        return _("{what} is outside the allowed difference.", what=what)
    if not who:
        return _("{what} is outside the allowed difference, and you accepted that.", what=what)
    return _("{what} is outside the allowed difference, and {who} accepted that.", what=what, who=who)
