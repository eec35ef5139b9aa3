"""What you bought: the first screen, which has to stand alone."""

from __future__ import annotations

from dataclasses import dataclass

from explain.facts import may_drive_by_day
from explain.order.model import Order
from explain.story.pair import Pair
from explain.story.verify import comparisons, outside
from explain.story.wording import Place, cm_with_inches, listed, sentence_case


@dataclass(frozen=True, slots=True)
class Step:
    """One of the first things to do: a verb first, how, and the part of the page it leads to ("phone" for a call)."""

    what: str
    how: str = ""
    leads_to: str = ""


@dataclass(frozen=True, slots=True)
class FirstScreen:
    """Main message, what you have in one line, and the first three things to do."""

    message: str
    have: str
    first: tuple[Step, ...]
    urgent: str


def first_screen(pair: Pair, place: Place) -> FirstScreen:
    """Fill the first screen for this order."""
    return FirstScreen(message_text(pair, place), have_text(pair.order), _first_three(pair.order), URGENT)


URGENT = "Sudden loss of sight, flashes, a curtain, pain or sudden double sight: see an eye doctor today."
GOOD_EYE = "one good eye"


def is_dark(order: Order) -> bool:
    """True for lenses with a fixed tint or a polarizing layer: not for driving at night."""
    return bool({"sun-tint", "polarised"} & set(order.lenses.add_ons))


def message_text(pair: Pair, place: Place) -> str:
    """Say that these are the ordered glasses, and that they match, or what differs."""
    whose = _whose_text(pair.order)
    if not any(one.allowed is not None for one in comparisons(pair)):
        return f"{whose}."
    on = pair.order.checked.on if pair.order.checked else None
    when = f" on {place.day(on)}" if on else ""
    if outside(pair):
        return f"{whose}. We measured them{when}: {_difference(pair)}"
    if pair.order.lenses.design == "plano":
        return f"{whose}. We measured their power{when}: none, as ordered."
    what = "them" if all_powers_measured(pair) else "part of them"
    return f"{whose}. We measured {what}{when}: every figure with a limit is inside the allowed difference."


def all_powers_measured(pair: Pair) -> bool:
    """True where the check holds a power for every lens of the order."""
    return all(getattr(pair.order.checked, eye.side, None) is not None for eye in pair.eyes)


def _whose_text(order: Order) -> str:
    """Start the message: to the wearer, or about a child to whoever reads the page."""
    plano = order.lenses.design == "plano"
    if "child" in order.wearer:
        made = "have no power, as ordered" if plano else "are made to the prescription"
        return f"{order.first_name}'s glasses {made}"
    if plano:
        kind = "sunglasses" if order.lenses.tint else "glasses"
        return f"{order.first_name}, these are {kind} without a prescription"
    return f"{order.first_name}, these glasses are made to your prescription"


def _difference(pair: Pair) -> str:
    """Say which lens is outside a limit, and who accepted it."""
    eyes = sorted({one.eye for one in outside(pair)}, reverse=True)
    where = "the pair" if "both" in eyes else f"the {listed(eyes)} lens" + ("es" if len(eyes) > 1 else "")
    verb = "are" if len(eyes) > 1 and "both" not in eyes else "is"
    if pair.order.accepted is None:
        return f"{where} {verb} outside the allowed difference."
    by = pair.order.accepted.by.split(",")[0]
    who = "you" if by in {"you", pair.order.first_name} else by
    return f"{where} {verb} outside the allowed difference, and {who} accepted that."


def have_text(order: Order) -> str:
    """Say use, lens kind and frame in one line; a distance only where it is the one thing the pair is for."""
    kinds = {
        "single-vision": "single-vision lenses (1 power)",
        "progressive": "progressive lenses (no line)",
        "bifocal": "lined bifocal lenses",
        "reading": "lenses for near",
        "plano": "lenses without power",
    }
    frame = f"{order.frame.name} ({order.frame.colour})" if order.frame.colour else order.frame.name
    uses = listed([_use_words(use.what, use.distance_cm if len(order.use) == 1 else None) for use in order.use])
    before = "light-reactive " if "light-reactive" in order.lenses.add_ons else ""
    before += "polarized " if "polarised" in order.lenses.add_ons else ""
    tint = f", tinted {order.lenses.tint.colour}," if order.lenses.tint else ""
    tail = f", for {uses}" if uses else ""
    child = f" On this page, \u201cyou\u201d is {order.first_name}." if "child" in order.wearer else ""
    return sentence_case(f"{before}{kinds[order.lenses.design]}{tint} in the frame {frame}{tail}.") + child


def _use_words(what: str, distance_cm: float | None) -> str:
    words = {"all day": "all day", "desk": "your desk", "music stand": "reading music"}.get(what, what)
    return f"{words} at {cm_with_inches(distance_cm)}" if distance_cm else words


def _first_three(order: Order) -> tuple[Step, ...]:
    check = "Check the fit on your child's face." if "child" in order.wearer else "Check how they sit on your face."
    second = {
        "progressive": Step("Wear them sitting down first.", "Then on level floor."),
        "bifocal": Step("Wear them sitting down first.", "Look over the line to walk."),
        "reading": Step("Use them seated.", "Take them off to walk about."),
        "plano": Step("Keep them for daylight.", "Never drive in them at night."),
    }.get(order.lenses.design, Step("Wear them at home first."))
    if order.lenses.design == "plano" and not is_dark(order):
        second = Step("Wear them at home first.")
    elif is_dark(order):
        second = Step("Keep them for daylight.", "Never drive in them at night.")
    if order.lenses.tint is not None and not may_drive_by_day(order.lenses.tint.category):
        second = Step("Never drive in them.", "They are too dark for it.")
    if GOOD_EYE in order.wearer:
        second = Step("Read how to protect the good eye.", leads_to="good-eye")
    return (
        Step(check, "It takes 5 minutes.", "fit"),
        second,
        Step("Call us if anything feels wrong:", leads_to="phone"),
    )
