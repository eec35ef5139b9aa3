"""Wearing them: getting used to them, light-reactive lenses, how they sit, looking after them."""

from __future__ import annotations

from explain.optics.power import SphereCylinder, difference, strongest_power_dpt
from explain.order.model import EyePrescription, Order
from explain.story.blocks import Block, Heading, Note, Paragraph, Prose, Section, Table
from explain.story.pair import Pair
from explain.story.prescription import side_name
from explain.story.wording import mm, mm_with_inches, plain, rounded

_LOOK_WHERE = {"progressive", "bifocal", "reading"}


def getting_used_section(pair: Pair) -> Section:
    """Part 7 of the page: by lens kind, by wearer, by what changed."""
    order = pair.order
    blocks: list[Block] = _changes(order)
    blocks.append(Prose("getting-used-child" if "child" in order.wearer else f"getting-used-{order.lenses.design}"))
    if order.lenses.design in _LOOK_WHERE:
        blocks.append(Prose(f"where-to-look-{order.lenses.design}"))
    if order.lenses.design == "reading" and any(use.what == "desk" for use in order.use):
        blocks.append(Prose("desk"))
    return Section("getting-used", "Getting used to them", "Getting used to them", tuple(blocks))


def _changes(order: Order) -> list[Block]:
    if order.previous is None:
        return []
    sentences = [_change(side, order) for side in ("right", "left")]
    text = " ".join(sentence for sentence in sentences if sentence)
    return [Paragraph(text, lead="What changed since your old pair.")] if text else []


def _change(side: str, order: Order) -> str:
    now: EyePrescription | None = getattr(order, side)
    old: EyePrescription | None = getattr(order.previous, side)
    if now is None or old is None or now.power is None or old.power is None:
        return ""
    return change_sentence(side, old.power, now.power)


def change_sentence(side: str, old: SphereCylinder, new: SphereCylinder) -> str:
    """Say how much one eye's power changed, in the direction it changed most.

    >>> change_sentence("right", SphereCylinder(-1.0), SphereCylinder(-1.25))
    'Right eye: 0.25 diopters different.'
    """
    change = abs(strongest_power_dpt(difference(new, old)))
    if rounded(change, 2) == 0:
        return f"{side_name(side)}: the same."
    return f"{side_name(side)}: {plain(change, 2)} diopters different."


def light_reactive_section(pair: Pair) -> Section | None:
    """Part 8 of the page: light-reactive lenses, or a fixed tint."""
    if "light-reactive" not in pair.order.lenses.add_ons:
        return _tint_section(pair.order)
    blocks = (Prose("light-reactive"), Heading("The first weeks"), Prose("light-reactive-first-weeks", level=4))
    return Section("light-reactive", "Lenses that darken outdoors", "Light-reactive lenses", blocks)


def fit_section(pair: Pair) -> Section:
    """Part 9 of the page: the home check, and who adjusts."""
    order = pair.order
    child = "child" in order.wearer
    blocks: list[Block] = [Prose("sits-right-child" if child else "sits-right")]
    blocks += _heights(pair)
    blocks.append(Prose("adjusting"))
    return Section("fit", "How they should sit", "How they should sit", tuple(blocks))


def _heights(pair: Pair) -> list[Block]:
    given = [eye for eye in pair.eyes if getattr(pair.order.fit, f"height_{eye.side}_mm") is not None]
    if not given:
        text = "No height was measured, so each lens is centered half-way up its frame."
        return [Note(text, label="What we assumed")]
    what = "top of the reading window" if pair.order.lenses.design == "bifocal" else "middle of your pupil"
    rows = tuple((side_name(e.side), mm_with_inches(getattr(pair.order.fit, f"height_{e.side}_mm"))) for e in given)
    note = f"Look straight ahead. The {what} should be this far above the lowest point of the lens."
    return [Table("Height to compare", ("Eye", "Height"), rows, note)]


def care_section(pair: Pair) -> Section:
    """Part 10 of the page."""
    layered = {"anti-reflective", "hard-layer", "polarised", "sun-tint"} & set(pair.order.lenses.add_ons)
    blocks: list[Block] = [Prose("care")]
    if layered:
        blocks.append(Prose("care-layers"))
    blocks += [Heading("If a screw comes out"), Prose("care-screws", level=4)]
    return Section("care", "Looking after them", "Looking after them", tuple(blocks))


def _tint_section(order: Order) -> Section | None:
    if order.lenses.tint is None:
        return None
    return Section("tint", "Dark lenses, sun and driving", "Dark lenses and driving", (Prose("sunglasses"),))


def frame_size_text(order: Order) -> str:
    """Say the frame's size in the boxing system, in words."""
    frame = order.frame
    side = f", side {mm(frame.side_mm)}" if frame.side_mm else ""
    return f"lens {mm(frame.lens_width_mm)} wide and {mm(frame.depth_mm)} deep, bridge {mm(frame.bridge_mm)}{side}"
