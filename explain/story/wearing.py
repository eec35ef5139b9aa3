"""Wearing them: getting used to them, light-reactive lenses, looking after them."""

from __future__ import annotations

from explain.facts import may_drive_by_day
from explain.optics.power import SphereCylinder, difference, strongest_power_dpt
from explain.order.model import EyePrescription, Order
from explain.story.blocks import Block, Caution, Heading, Paragraph, Pictured, PicturedStep, Prose, Section
from explain.story.bought import is_dark
from explain.story.light import darkening, light_reactive_days, light_reactive_figure, light_reactive_sources
from explain.story.pair import Pair
from explain.story.prescription import side_name
from explain.story.sideways import sideways_blocks
from explain.story.sketches import sketches
from explain.story.thickness import measured_centres_text
from explain.story.tints import categories_text, tint_table
from explain.story.window import bifocal_blocks
from explain.story.wording import mm, plain, rounded
from explain.story.zones import progressive_blocks

_LOOK_WHERE = {"progressive", "bifocal", "reading"}
LOOK_STEPS = (
    PicturedStep(
        "Far: look straight ahead through the top.",
        "Look at something across the street, with your head level.",
        sketches("look-far"),
    ),
    PicturedStep(
        "Arm's length: look a little down, through the middle.",
        "Look at a screen, 46 to 71 cm (18 to 28 in) away.",
        sketches("look-arm"),
    ),
    PicturedStep(
        "Near: look further down, through the bottom.",
        "Look at a page at about 40 cm (16 in).",
        sketches("look-near"),
    ),
)
"""Where to look in a progressive lens: pg-03, wd-01 and wd-02 in data/words_sources.yaml."""
CARE_STEPS = (
    PicturedStep("Rinse under cool or lukewarm water.", "Grit washes off.", sketches("clean-rinse")),
    PicturedStep(
        "Rub on a drop of dish soap.",
        "Use clean fingers, and soap without lotion. Rinse again.",
        sketches("clean-drop"),
    ),
    PicturedStep(
        "Dry with a clean, soft lens cloth.",
        "A shirt, a paper towel or a tissue scratches plastic or leaves a film.",
        sketches("clean-wipe"),
    ),
    PicturedStep("Lay them down with the lenses up.", "Better still, in the case.", sketches("lay-down")),
)
"""Cleaning: cl-01 in data/words_sources.yaml; lenses up is common practice, no source."""


def getting_used_section(pair: Pair) -> Section:
    """Part 7 of the page: by lens kind, by wearer, by what changed."""
    order = pair.order
    blocks: list[Block] = [*_changes(order), *_sport(order)]
    blocks.append(Prose("getting-used-child" if "child" in order.wearer else f"getting-used-{order.lenses.design}"))
    if order.lenses.design == "progressive":
        blocks += [Heading("Find the 3 parts"), Pictured(LOOK_STEPS)]
    if order.lenses.design in _LOOK_WHERE:
        blocks.append(Prose(f"where-to-look-{order.lenses.design}"))
    if order.lenses.design == "progressive":
        blocks += progressive_blocks(pair)
    if order.lenses.design == "bifocal":
        blocks += bifocal_blocks(pair)
    if order.lenses.design == "reading" and any(use.what == "desk" for use in order.use):
        blocks.append(Prose("desk"))
    blocks += sideways_blocks(pair)
    return Section("getting-used", "Getting used to them", "Getting used to them", tuple(blocks))


def _changes(order: Order) -> list[Block]:
    if order.previous is None:
        return []
    sentences = [_change(side, order) for side in ("right", "left")]
    text = " ".join([*(sentence for sentence in sentences if sentence), *_other_changes(order)])
    blocks: list[Block] = [Paragraph(text, lead="What changed since your old pair.")] if text else []
    old, new = order.previous.design, order.lenses.design
    if old is not None and old != new:
        blocks.append(Paragraph(f"The lens kind changed as well, from {KINDS[old]} to {KINDS[new]}."))
    if new == "progressive" and old not in {None, "progressive"}:
        blocks.append(Paragraph(FIRST_PROGRESSIVE))
    return blocks


def _other_changes(order: Order) -> list[str]:
    """Changes of prism and of the add, each in a sentence."""
    pairs = [(getattr(order, side), getattr(order.previous, side)) for side in ("right", "left")]
    known = [(new, old) for new, old in pairs if new is not None and old is not None]
    found = []
    if any(sorted(map(str, new.prisms)) != sorted(map(str, old.prisms)) for new, old in known):
        found.append("The prism is new or changed.")
    if any(new.add_dpt and old.add_dpt and new.add_dpt != old.add_dpt for new, old in known):
        found.append("The add is changed.")
    return found


KINDS = {
    "single-vision": "single-vision",
    "progressive": "progressive",
    "bifocal": "bifocal",
    "reading": "near only",
    "plano": "no power",
}
FIRST_PROGRESSIVE = (
    "If these are your first progressives, that is the larger change. "
    "Do not drive in them until road, mirrors and dials are clear without searching."
)


def good_eye_section(order: Order) -> Section | None:
    """How to protect the good eye, or a child's eyes; only where the order says so, and before all other wearing."""
    wearer = set(order.wearer)
    if not {"child", "one good eye"} & wearer:
        return None
    title = "Protect the good eye" if "one good eye" in wearer else "Sport, play and tools"
    blocks: list[Block] = [*_centre_text(order), Prose("injury-child-one-eye")]
    return Section("good-eye", title, title, tuple(blocks))


def _centre_text(order: Order) -> list[Block]:
    """Say how thick the lenses were ordered, and what was measured."""
    ordered = "These lenses are ordered to be at least 2.0 mm thick in the middle, as advised for daily wear."
    measured = measured_centres_text(order) or "We did not measure it on the finished pair."
    return [Paragraph(f"{ordered} {measured}".strip())]


def _sport(order: Order) -> list[Block]:
    if not any(use.what == "sport" for use in order.use):
        return []
    return [
        Caution(
            watch="You named sport.",
            why="Glasses for the street are not sports glasses.",
            now="For ball games, sticks or racing, ask us about eyewear made and marked for your sport.",
        )
    ]


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
        return f"{side_name(side)}: the same power."
    return f"{side_name(side)}: {plain(change, 2)} diopters different."


def light_reactive_section(pair: Pair) -> Section | None:
    """Part 8 of the page: light-reactive lenses, or a fixed tint."""
    if "light-reactive" not in pair.order.lenses.add_ons:
        return None
    blocks: list[Block] = []
    if any(use.what == "driving" for use in pair.order.use):
        text = "You drive, and in a car they will often stay clear. For sun at the wheel, use a pair with a fixed tint."
        blocks.append(Paragraph(text))
    blocks += [Prose("light-reactive"), light_reactive_figure(), light_reactive_sources()]
    blocks += [Heading("At the wheel"), Paragraph(categories_text(darkening().end_of_100))]
    blocks += [] if is_dark(pair.order) else [tint_table(pair.order)]
    blocks += [Heading("The first weeks"), *light_reactive_days()]
    return Section("light-reactive", "Light-reactive lenses", "Light-reactive lenses", tuple(blocks))


def care_section(pair: Pair) -> Section:
    """Part 10 of the page."""
    layered = {"anti-reflective", "hard-layer", "polarised", "sun-tint"} & set(pair.order.lenses.add_ons)
    blocks: list[Block] = [Heading("Each day"), Pictured(CARE_STEPS), Prose("care")]
    if layered:
        blocks.append(Prose("care-layers"))
    blocks += [Heading("If a screw comes out"), Prose("care-screws", level=4)]
    return Section("care", "Looking after them", "Looking after them", tuple(blocks))


def tint_section(order: Order) -> Section | None:
    """Words about dark lenses and driving; for a fixed tint or a polarizing layer."""
    if not is_dark(order):
        return None
    tint = order.lenses.tint
    blocks: list[Block] = []
    if tint is not None and not may_drive_by_day(tint.category):
        blocks.append(Paragraph(f"Yours are category {tint.category}. Never drive in them, by day or by night."))
    elif tint is not None:
        blocks.append(Paragraph(f"Yours are ordered as category {tint.category}."))
    return Section(
        "tint",
        "Dark lenses, sun and driving",
        "Dark lenses and driving",
        (*blocks, tint_table(order), Prose("sunglasses")),
    )


def frame_size_text(order: Order) -> str:
    """Say the frame's size in the boxing system, in words."""
    frame = order.frame
    side = f", side {mm(frame.side_mm)}" if frame.side_mm else ""
    return f"lens {mm(frame.lens_width_mm)} wide and {mm(frame.depth_mm)} deep, bridge {mm(frame.bridge_mm)}{side}"
