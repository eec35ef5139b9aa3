"""Wearing them: protecting the eyes, light-reactive and dark lenses, looking after them."""

from __future__ import annotations

from explain.facts import may_drive_by_day
from explain.language import _, later
from explain.order.model import Order
from explain.story.blocks import Block, Heading, Paragraph, Pictured, PicturedStep, Prose, Section
from explain.story.bought import is_dark
from explain.story.light import darkening, light_reactive_days, light_reactive_figure, light_reactive_sources
from explain.story.pair import Pair
from explain.story.sketches import said_steps, sketches
from explain.story.thickness import measured_centres_text
from explain.story.tints import categories_text, tint_table
from explain.story.wording import mm

ADVISED_CENTRE_MM = 2.0
"""Least thickness in the middle for daily wear of a child or of one good eye, as the words of that part give it."""
CARE_STEPS = (
    PicturedStep(later("Rinse under cool or lukewarm water."), later("Grit washes off."), sketches("clean-rinse")),
    PicturedStep(
        later("Rub on a drop of dish soap."),
        later("Use clean fingers, and soap without lotion. Rinse again."),
        sketches("clean-drop"),
    ),
    PicturedStep(
        later("Dry with a clean, soft lens cloth."),
        later("A shirt, a paper towel or a tissue scratches plastic or leaves a film."),
        sketches("clean-wipe"),
    ),
    PicturedStep(later("Lay them down with the lenses up."), later("Better still, in the case."), sketches("lay-down")),
)
"""Cleaning: cl-01 in data/words_sources.yaml; lenses up is common practice, no source."""


def good_eye_section(order: Order) -> Section | None:
    """How to protect the good eye, or a child's eyes; only where the order says so, and before all other wearing."""
    wearer = set(order.wearer)
    if not {"child", "one good eye"} & wearer:
        return None
    title = _("Protect the good eye") if "one good eye" in wearer else _("Sport, play and tools")
    blocks: list[Block] = [*_centre_text(order), Prose("injury-child-one-eye")]
    return Section("good-eye", title, title, tuple(blocks))


def _centre_text(order: Order) -> list[Block]:
    """Say how thick the lenses were ordered, and what was measured."""
    ordered = _(
        "These lenses are ordered to be at least {thick} thick in the middle, as advised for daily wear.",
        thick=mm(ADVISED_CENTRE_MM),
    )
    measured = measured_centres_text(order) or _("We did not measure it on the finished pair.")
    return [Paragraph(f"{ordered} {measured}".strip())]


def light_reactive_section(pair: Pair) -> Section | None:
    """Part 8 of the page: light-reactive lenses, or a fixed tint."""
    if "light-reactive" not in pair.order.lenses.add_ons:
        return None
    blocks: list[Block] = []
    if any(use.what == "driving" for use in pair.order.use):
        text = _(
            "You drive, and in a car they will often stay clear. For sun at the wheel, use a pair with a fixed tint."
        )
        blocks.append(Paragraph(text))
    blocks += [Prose("light-reactive"), light_reactive_figure(), light_reactive_sources()]
    blocks += [Heading(_("At the wheel")), Paragraph(categories_text(darkening().end_of_100))]
    blocks += [] if is_dark(pair.order) else [tint_table(pair.order)]
    blocks += [Heading(_("The first weeks")), *light_reactive_days()]
    return Section("light-reactive", _("Light-reactive lenses"), _("Light-reactive lenses"), tuple(blocks))


def care_section(pair: Pair) -> Section:
    """Part 10 of the page."""
    layered = {"anti-reflective", "hard-layer", "polarised", "sun-tint"} & set(pair.order.lenses.add_ons)
    blocks: list[Block] = [Heading(_("Each day")), Pictured(said_steps(CARE_STEPS)), Prose("care")]
    if layered:
        blocks.append(Prose("care-layers"))
    if "anti-reflective" in pair.order.lenses.add_ons:
        blocks.append(Paragraph(_("On an anti-reflective layer marks show more. Soap and water clear most of them.")))
    blocks += [Heading(_("If a screw comes out")), Prose("care-screws", level=4)]
    return Section("care", _("Looking after them"), _("Looking after them"), tuple(blocks))


def tint_section(order: Order) -> Section | None:
    """Words about dark lenses and driving; for a fixed tint or a polarizing layer."""
    if not is_dark(order):
        return None
    tint = order.lenses.tint
    blocks: list[Block] = []
    if tint is not None and not may_drive_by_day(tint.category):
        text = _("Yours are category {category}. Never drive in them, by day or by night.", category=tint.category)
        blocks.append(Paragraph(text))
    elif tint is not None:
        blocks.append(Paragraph(_("Yours are ordered as category {category}.", category=tint.category)))
    return Section(
        "tint",
        _("Dark lenses, sun and driving"),
        _("Dark lenses and driving"),
        (*blocks, tint_table(order), Prose("sunglasses")),
    )


def frame_size_text(order: Order) -> str:
    """Say the frame's size in the boxing system, in words."""
    frame = order.frame
    wide, deep, bridge = mm(frame.lens_width_mm), mm(frame.depth_mm), mm(frame.bridge_mm)
    if not frame.side_mm:
        return _("lens {wide} wide and {deep} deep, bridge {bridge}", wide=wide, deep=deep, bridge=bridge)
    return _(
        "lens {wide} wide and {deep} deep, bridge {bridge}, side {side}",
        wide=wide,
        deep=deep,
        bridge=bridge,
        side=mm(frame.side_mm),
    )
