"""What you bought: the first screen, which has to stand alone."""

from __future__ import annotations

from msgspec import Struct

from explain.facts import may_drive_by_day
from explain.language import _, later
from explain.order.model import Order
from explain.story.have import have_text
from explain.story.matching import message_text
from explain.story.pair import Pair
from explain.story.wording import Place


class Step(Struct, frozen=True):
    """One of the first things to do: a verb first, how, and the part of the page it leads to ("phone" for a call)."""

    what: str
    how: str = ""
    leads_to: str = ""


class FirstScreen(Struct, frozen=True):
    """Main message, what you have in one line, and the first three things to do."""

    message: str
    have: str
    first: tuple[Step, ...]
    urgent: str


def first_screen(pair: Pair, place: Place) -> FirstScreen:
    """Fill the first screen for this order."""
    return FirstScreen(message_text(pair, place), have_text(pair.order), _first_three(pair.order), _(URGENT))


URGENT = later("Sudden loss of sight, flashes, a curtain, pain or sudden double sight: see an eye doctor today.")
GOOD_EYE = "one good eye"


def is_dark(order: Order) -> bool:
    """True for lenses with a fixed tint or a polarizing layer: not for driving at night."""
    return bool({"sun-tint", "polarised"} & set(order.lenses.add_ons))


def _first_three(order: Order) -> tuple[Step, ...]:
    return (
        Step(_fit_step(order), _("It takes 5 minutes."), "fit"),
        _second_step(order),
        Step(_("Call us if anything feels wrong:"), leads_to="phone"),
    )


def _fit_step(order: Order) -> str:
    if "child" in order.wearer:
        return _("Check the fit on your child's face.")
    return _("Check how they sit on your face.")


def _second_step(order: Order) -> Step:
    """Give the step that matters most for this pair: the good eye, then driving, then walking."""
    if GOOD_EYE in order.wearer:
        return Step(_("Read how to protect the good eye."), leads_to="good-eye")
    if order.lenses.tint is not None and not may_drive_by_day(order.lenses.tint.category):
        return Step(_("Never drive in them."), _("They are too dark for it."))
    if is_dark(order):
        return Step(_("Keep them for daylight."), _("Never drive in them at night."))
    return _first_wear(order)


def _first_wear(order: Order) -> Step:
    if order.lenses.design == "progressive":
        return Step(_("Wear them sitting down first."), _("Then on level floor."))
    if order.lenses.design == "bifocal":
        return Step(_("Wear them sitting down first."), _("Look over the line to walk."))
    if order.lenses.design == "reading":
        return Step(_("Use them seated."), _("Take them off to walk about."))
    return Step(_("Wear them at home first."))
