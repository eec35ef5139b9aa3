"""Where to look: which part of this pair serves each use that the order names, and which uses it does not serve."""

from __future__ import annotations

import math
from typing import Any

from explain.language import _, later
from explain.optics.near import average_amplitude_dpt
from explain.optics.progressive import down_for_distance_mm, own_focus_dpt, reading_cm
from explain.order.model import Order, Use
from explain.story.blocks import Block, Heading, Table
from explain.story.pair import Eye, Pair
from explain.story.parts import ARM_CM, JUST_INSIDE_MM, eyes_with_add, reach
from explain.story.wording import cm_with_inches, mm, plain

UNNOTICED_DPT = 0.20
"""Blur this small goes unnoticed by most people (Duane's Ophthalmology ch. 51B)."""
OVER_YEARS = 65
SCREEN_IN = 24
SCREEN_WIDE_CM = SCREEN_IN * 2.54 * 16 / math.hypot(16, 9)
"""Width of a usual screen, 16 to 9, from its diagonal."""
AT_A_DISTANCE = ("desk", "reading", "music stand")
UNNAMED = {
    "progressive": (Use("all day"), Use("desk"), Use("reading")),
    "bifocal": (Use("all day"), Use("desk"), Use("reading")),
    "reading": (Use("reading"),),
}
"""Uses that a page speaks of where the order names none."""
_NAMES = {"all day": later("All day"), "driving": later("Driving"), "sport": later("Sport")}
_NAMES_AT = {
    "desk": later("Desk at {distance}"),
    "reading": later("Reading at {distance}"),
    "music stand": later("Music stand at {distance}"),
}
_NAMES_TAKEN_AS = {
    "desk": later("Desk, taken as {distance}"),
    "reading": later("Reading, taken as {distance}"),
    "music stand": later("Music stand, taken as {distance}"),
}


def where_blocks(pair: Pair) -> list[Block]:
    """A row for each use that needs a word; nothing where the whole lens serves them all."""
    uses = pair.order.use or UNNAMED.get(pair.order.lenses.design, ())
    rows = tuple((use_name(use, pair), text) for use in uses if (text := where_text(pair, use)))
    return [Heading(_("Where to look")), Table(_("For each use"), (_("For"), _("Look here")), rows)] if rows else []


def use_name(use: Use, pair: Pair) -> str:
    """Name a use with its distance; one that we took ourselves is said to be taken."""
    if use.what not in AT_A_DISTANCE:
        return _(_NAMES[use.what])
    names = _NAMES_AT if use.distance_cm else _NAMES_TAKEN_AS
    return _(names[use.what], distance=cm_with_inches(_distance_cm(pair, use)))


def where_text(pair: Pair, use: Use) -> str:
    """Where to look for one use, or that this pair does not serve it and what would; empty where the lens serves."""
    design = pair.order.lenses.design
    if use.what == "sport":
        return _(SPORT)
    if design == "plano":
        return ""
    if use.what == "driving":
        return _(DRIVING[design]) if design in DRIVING else ""
    if use.what == "all day":
        return all_day_text(pair)
    near = {"progressive": progressive_text, "bifocal": bifocal_text, "reading": near_only_text}
    return near.get(design, far_only_text)(pair, use, _distance_cm(pair, use))


SPORT = later("Street glasses are not sports glasses. Ask us about eyewear made for your sport.")
DRIVING = {
    "progressive": later(
        "Far is level with your pupils and above. Look lower for the dials. Turn your head to each mirror."
    ),
    "bifocal": later("Look above the line at the road and the mirrors."),
    "reading": later("Never in this pair: far things are blurred through it."),
}


def all_day_text(pair: Pair) -> str:
    """Where far and near lie for somebody who wears the pair all day; empty for one power all over."""
    design, eyes = pair.order.lenses.design, eyes_with_add(pair)
    if design == "reading":
        return _("Not this pair: it is for near. Take it off to walk about.")
    if not eyes or design not in ("progressive", "bifocal"):
        return _(FAR_ALONE) if _had_reading_power(pair.order) else ""
    near = cm_with_inches(reading_cm(eyes[0].ordered.add_dpt or 0.0))
    if design == "bifocal":
        return _("Far is above the line. Near, {near}, is in the window.", near=near)
    return _(
        "Far is level with your pupils and above. Near, {near}, is at the bottom. Turn your head to look sideways.",
        near=near,
    )


FAR_ALONE = later("This pair is for far alone. Your old pair had reading power: keep a pair with it for print.")


def progressive_text(pair: Pair, use: Use, distance_cm: float) -> str:
    """Where a distance is looked at in a progressive lens, and how much of it is clear at once, by the sketch."""
    eyes = eyes_with_add(pair)
    if not eyes:
        return ""
    lens = eyes[0].sketch
    down = down_for_distance_mm(lens, distance_cm)
    if down >= lens.bottom_mm - JUST_INSIDE_MM:
        ends = _("Not with this pair: your frame ends above the part for it.")
        return _joined(ends, _would_serve(distance_cm))
    lower = _("Lower your eyes about {height} on the lens.", height=mm(down))
    if down >= lens.corridor_mm:
        return _joined(lower, _nearer_text(lens.add_dpt, distance_cm), _(READING))
    return _joined(lower, clear_width_text(use.what, distance_cm, _clear_width_cm(eyes[0], down, distance_cm)))


def _clear_width_cm(eye: Eye, down_mm: float, distance_cm: float) -> float:
    """How much is clear side to side at once at a distance [cm], through one height of a progressive lens."""
    nose, outer = (aside for _, aside in reach(eye, eye.sketch, down_mm, distance_cm))
    return nose + outer


READING = later("Point your nose at the line. Lying down, prop yourself up to look down at the page.")


def clear_width_text(what: str, distance_cm: float, width_cm: float) -> str:
    """Say how much is clear at once, side to side, and what helps.

    >>> clear_width_text("music stand", 70, 9.0).split(". ")[1]
    'Turn your head'
    """
    width = cm_with_inches(width_cm)
    if what != "desk":
        clear = _("By our sketch, {width} are clear side to side at once. Turn your head.", width=width)
        return _joined(clear, _all_would_serve(distance_cm))
    clear = _(
        "By our sketch, {width} are clear side to side at once; a {inches} in screen is {screen} cm wide. "
        "Turn your head, and set the screen low.",
        width=width,
        inches=SCREEN_IN,
        screen=plain(SCREEN_WIDE_CM, 0),
    )
    return _joined(clear, _all_would_serve(distance_cm))


def bifocal_text(pair: Pair, use: Use, distance_cm: float) -> str:
    """Whether a distance is in focus in the window or above it; our own focus assumed as for the sketches."""
    eyes = eyes_with_add(pair)
    if not eyes:
        return ""
    add = eyes[0].ordered.add_dpt or 0.0
    if reaches(add, distance_cm):
        return _joined(_("In the window."), _nearer_text(add, distance_cm), _lying(use))
    if 100 / distance_cm <= own_focus_dpt(add):
        return _("Above the line, with a little focus of your own.")
    clear = _(
        "Not with this pair: the window is clear up to {distance}, and the rest is for far.",
        distance=cm_with_inches(100 / add),
    )
    return _joined(clear, _would_serve(distance_cm))


def _lying(use: Use) -> str:
    return _("Lying down, prop yourself up to look down at the page.") if use.what == "reading" else ""


def near_only_text(pair: Pair, use: Use, distance_cm: float) -> str:
    """Whether a distance is in focus through a near-only pair; how near depends on the eye's own focus."""
    eyes = eyes_with_add(pair)
    if not eyes:
        return ""
    add = eyes[0].ordered.add_dpt or 0.0
    if not reaches(add, distance_cm):
        up_to = _("Not with this pair: it is clear up to {distance}.", distance=cm_with_inches(100 / add))
        return _joined(up_to, _would_serve(distance_cm))
    far = cm_with_inches(max(100 / add, distance_cm))
    clear = _("The whole lens: it is clear up to {distance}.", distance=far)
    nearer = _nearer_text(add, distance_cm) or _("Nearer, it is clear as far as your own focus goes.")
    return _joined(clear, nearer, _set_text(use))


def _set_text(use: Use) -> str:
    if use.what != "desk":
        return ""
    return _("Put the screen straight ahead, a little below your eyes. If you lean in, move the screen, not your neck.")


def far_only_text(pair: Pair, use: Use, distance_cm: float) -> str:  # noqa: ARG001  one form for all kinds of lens
    """What a pair for far asks of the eyes at a distance; nothing for a child, whose eyes focus."""
    order = pair.order
    if "child" in order.wearer:
        return ""
    if _had_reading_power(order):
        old = _("Not with this pair: it is for far, and your old pair had reading power.")
        return _joined(old, _would_serve(distance_cm))
    if "over 65" in order.wearer and average_amplitude_dpt(OVER_YEARS) <= UNNOTICED_DPT:
        far = _("Not with this pair: it is for far. At {age}, the average eye has no focus left.", age=OVER_YEARS)
        return _joined(far, _would_serve(distance_cm))
    return _(
        "The whole lens, while your eyes can add {focus} diopters of focus. "
        "From about age 42 that gets hard. If it blurs, ask us about a pair for {distance}.",
        focus=plain(100 / distance_cm, 2),
        distance=cm_with_inches(distance_cm),
    )


def reaches(add_dpt: float, distance_cm: float) -> bool:
    """True where an add reaches as far as a distance, with blur that goes unnoticed allowed. The add is above 0.

    >>> reaches(1.50, 65), reaches(2.50, 65), reaches(2.50, 43)
    (True, False, True)
    """
    return 100 / distance_cm >= add_dpt - UNNOTICED_DPT


def _nearer_text(add_dpt: float, distance_cm: float) -> str:
    """Say what it takes to see nearer than the reading distance; nothing where the add is set for that distance."""
    missing = 100 / distance_cm - 100 / reading_cm(add_dpt)
    if missing <= UNNOTICED_DPT:
        return ""
    return _(
        "It is set for {distance}: nearer, your eyes must add focus, and we do not know how much they have.",
        distance=cm_with_inches(reading_cm(add_dpt)),
    )


def _would_serve(distance_cm: float) -> str:
    return _("A pair set for {distance} shows it: ask us.", distance=cm_with_inches(distance_cm))


def _all_would_serve(distance_cm: float) -> str:
    return _("A pair set for {distance} shows all of it: ask us.", distance=cm_with_inches(distance_cm))


def _joined(*sentences: str) -> str:
    return " ".join(sentence for sentence in sentences if sentence)


def _had_reading_power(order: Order) -> bool:
    old = order.previous
    if old is None:
        return False
    adds = [eye.add_dpt for eye in (old.right, old.left) if eye is not None]
    return old.design in ("progressive", "bifocal", "reading") or any(adds)


def _distance_cm(pair: Pair, use: Use) -> float:
    if use.distance_cm:
        return use.distance_cm
    if use.what != "reading":
        return ARM_CM
    eyes = eyes_with_add(pair)
    return reading_cm(eyes[0].ordered.add_dpt or 0.0) if eyes else pair.reading_cm


def where_numbers(pair: Pair) -> list[dict[str, Any]]:
    """Figures of each use at a distance, in full precision; empty for a pair without power."""
    if pair.order.lenses.design == "plano":
        return []
    uses = pair.order.use or UNNAMED.get(pair.order.lenses.design, ())
    return [_use_numbers(pair, use) for use in uses if use.what in AT_A_DISTANCE]


def _use_numbers(pair: Pair, use: Use) -> dict[str, Any]:
    distance, eyes = _distance_cm(pair, use), eyes_with_add(pair)
    figures: dict[str, Any] = {"use": use.what, "distance_cm": distance, "focus_needed_dpt": 100 / distance}
    if use.what == "desk":
        figures["screen_width_cm"] = SCREEN_WIDE_CM
    if eyes:
        figures["clear_up_to_cm"] = 100 / (eyes[0].ordered.add_dpt or 0.0)
        figures["set_for_cm"] = reading_cm(eyes[0].ordered.add_dpt or 0.0)
    if eyes and pair.order.lenses.design == "progressive":
        down = down_for_distance_mm(eyes[0].sketch, distance)
        figures |= {"below_pupil_mm": down, "clear_width_cm": _clear_width_cm(eyes[0], down, distance)}
    return figures
