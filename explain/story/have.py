"""Have: what kind of glasses these are, in one line: lenses, tint, frame and uses."""

from __future__ import annotations

from explain.language import _, later
from explain.order.model import Order
from explain.story.wording import cm_with_inches, listed, sentence_case

_LENSES = {
    ("single-vision", False, False): later("single-vision lenses (1 power)"),
    ("single-vision", True, False): later("light-reactive single-vision lenses (1 power)"),
    ("single-vision", False, True): later("polarized single-vision lenses (1 power)"),
    ("single-vision", True, True): later("light-reactive polarized single-vision lenses (1 power)"),
    ("progressive", False, False): later("progressive lenses (no line)"),
    ("progressive", True, False): later("light-reactive progressive lenses (no line)"),
    ("progressive", False, True): later("polarized progressive lenses (no line)"),
    ("progressive", True, True): later("light-reactive polarized progressive lenses (no line)"),
    ("bifocal", False, False): later("lined bifocal lenses"),
    ("bifocal", True, False): later("light-reactive lined bifocal lenses"),
    ("bifocal", False, True): later("polarized lined bifocal lenses"),
    ("bifocal", True, True): later("light-reactive polarized lined bifocal lenses"),
    ("reading", False, False): later("lenses for near"),
    ("reading", True, False): later("light-reactive lenses for near"),
    ("reading", False, True): later("polarized lenses for near"),
    ("reading", True, True): later("light-reactive polarized lenses for near"),
    ("plano", False, False): later("lenses without power"),
    ("plano", True, False): later("light-reactive lenses without power"),
    ("plano", False, True): later("polarized lenses without power"),
    ("plano", True, True): later("light-reactive polarized lenses without power"),
}
"""By lens kind, whether light-reactive, and whether polarized; whole, for languages whose adjectives follow."""

_USES = {
    "all day": later("all day"),
    "driving": later("driving"),
    "desk": later("your desk"),
    "reading": later("reading"),
    "music stand": later("reading music"),
    "sport": later("sport"),
}
_USES_AT = {
    "desk": later("your desk at {distance}"),
    "reading": later("reading at {distance}"),
    "music stand": later("reading music at {distance}"),
}


def have_text(order: Order) -> str:
    """Say use, lens kind and frame in one line; a distance only where it is the one thing the pair is for."""
    text = sentence_case(_line(order))
    if "child" not in order.wearer:
        return text
    return text + " " + _("On this page, \u201cyou\u201d is {name}.", name=order.first_name)


def _line(order: Order) -> str:
    lenses, frame = _lenses(order), _frame(order)
    colour = order.lenses.tint.colour if order.lenses.tint else None
    uses = listed([_use_words(use.what, use.distance_cm if len(order.use) == 1 else None) for use in order.use])
    if colour and uses:
        return _(
            "{lenses}, tinted {color}, in the frame {frame}, for {uses}.",
            lenses=lenses,
            color=colour,
            frame=frame,
            uses=uses,
        )
    if colour:
        return _("{lenses}, tinted {color}, in the frame {frame}.", lenses=lenses, color=colour, frame=frame)
    if uses:
        return _("{lenses} in the frame {frame}, for {uses}.", lenses=lenses, frame=frame, uses=uses)
    return _("{lenses} in the frame {frame}.", lenses=lenses, frame=frame)


def _lenses(order: Order) -> str:
    layers = order.lenses.add_ons
    lenses = _LENSES[order.lenses.design, "light-reactive" in layers, "polarised" in layers]
    return _(lenses)


def _frame(order: Order) -> str:
    return f"{order.frame.name} ({order.frame.colour})" if order.frame.colour else order.frame.name


def _use_words(what: str, distance_cm: float | None) -> str:
    if distance_cm:
        return _(_USES_AT[what], distance=cm_with_inches(distance_cm))
    return _(_USES[what])
