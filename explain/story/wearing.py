"""Wearing them: protecting the eyes, light-reactive and dark lenses, looking after them."""

from __future__ import annotations

from explain.facts import may_drive_by_day
from explain.order.model import Order
from explain.story.blocks import Block, Heading, Paragraph, Pictured, PicturedStep, Prose, Section
from explain.story.bought import is_dark
from explain.story.light import darkening, light_reactive_days, light_reactive_figure, light_reactive_sources
from explain.story.pair import Pair
from explain.story.sketches import sketches
from explain.story.thickness import measured_centres_text
from explain.story.tints import categories_text, tint_table
from explain.story.wording import mm

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
