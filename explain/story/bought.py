"""What you bought: the first screen, which has to stand alone."""

from __future__ import annotations

from dataclasses import dataclass

from explain.order.model import Order
from explain.story.pair import Pair
from explain.story.verify import comparisons, outside
from explain.story.wording import Place, cm_with_inches, listed, sentence_case


@dataclass(frozen=True, slots=True)
class FirstScreen:
    """Main message, what you have in one line, and the first three things to do (verb, how)."""

    message: str
    have: str
    first: tuple[tuple[str, str], ...]
    urgent: str


def first_screen(pair: Pair, place: Place) -> FirstScreen:
    """Fill the first screen for this order."""
    return FirstScreen(message_text(pair, place), have_text(pair.order), _first_three(pair.order), URGENT)


URGENT = "Sudden loss of sight, flashes, a curtain, pain or sudden double sight: see someone today."


def message_text(pair: Pair, place: Place) -> str:
    """Say that these are the ordered glasses, and that they match, or what differs."""
    plano = pair.order.lenses.design == "plano"
    whose = _whose_text(pair.order)
    if not comparisons(pair):
        return f"{whose} have no power and are made as you ordered them." if plano else f"{whose}."
    found = outside(pair)
    on = pair.order.checked.on if pair.order.checked else None
    when = f" on {place.day(on)}" if on else ""
    if found:
        return f"{whose}. We measured them{when}: {_difference(pair)}"
    if plano:
        return f"{whose} have no power. We measured them{when}, and they match your order."
    return f"{whose}. We measured them{when}, and they match."


def _whose_text(order: Order) -> str:
    """Start the message: to the wearer, or about a child to whoever reads the page."""
    if "child" in order.wearer:
        return f"{order.first_name}'s glasses" + ("" if order.lenses.design == "plano" else " match the prescription")
    start = f"{order.first_name}, these glasses"
    return start if order.lenses.design == "plano" else f"{start} are made to your prescription"


def _difference(pair: Pair) -> str:
    eyes = sorted({one.eye for one in outside(pair)}, reverse=True)
    where = "the pair" if "both" in eyes else f"the {listed(eyes)} lens" + ("es" if len(eyes) > 1 else "")
    if pair.order.accepted is None:
        return f"{where} differs a little. See How we checked."
    by = pair.order.accepted.by.split(",")[0]
    who = "you accepted it" if by == pair.order.first_name else f"{by} accepted it"
    return f"{where} differs a little, and {who}."


def have_text(order: Order) -> str:
    """Say use, lens kind and frame in one line."""
    kinds = {
        "single-vision": "single-vision lenses",
        "progressive": "progressive lenses",
        "bifocal": "lined bifocal lenses",
        "reading": "lenses for near",
        "plano": "lenses without power",
    }
    frame = f"{order.frame.name} ({order.frame.colour})" if order.frame.colour else order.frame.name
    uses = listed([_use_words(use.what, use.distance_cm) for use in order.use])
    reactive = "light-reactive " if "light-reactive" in order.lenses.add_ons else ""
    tint = f", tinted {order.lenses.tint.colour}," if order.lenses.tint else ""
    tail = f", for {uses}" if uses else ""
    child = f" On this page, \u201cyou\u201d is {order.first_name}." if "child" in order.wearer else ""
    return sentence_case(f"{reactive}{kinds[order.lenses.design]}{tint} in the frame {frame}{tail}.") + child


def _use_words(what: str, distance_cm: float | None) -> str:
    words = {"all day": "all day", "desk": "your desk", "music stand": "your music stand"}.get(what, what)
    return f"{words} at {cm_with_inches(distance_cm)}" if distance_cm else words


def _first_three(order: Order) -> tuple[tuple[str, str], ...]:
    whom = "your child's" if "child" in order.wearer else "your"
    second = {
        "progressive": ("Wear them sitting down first.", "Then walk on level floor, then stairs."),
        "bifocal": ("Wear them sitting down first.", "Look over the line to walk."),
        "reading": ("Use them seated, at your desk.", "Take them off to walk about."),
        "plano": ("Keep them for daylight.", "Never drive in them at dusk or night."),
    }.get(order.lenses.design, ("Wear them at home first.", "Give your eyes a few days."))
    return (
        (f"Check how they sit on {whom} face.", "It takes 5 minutes."),
        second,
        ("Call us if anything feels wrong.", "There is no need to wait."),
    )
