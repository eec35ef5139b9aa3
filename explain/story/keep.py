"""Keep this: every figure another optician needs, and when to call."""

from __future__ import annotations

from explain.optics.power import spherical_equivalent_dpt
from explain.order.model import EyePrescription, Order
from explain.story.blocks import Block, Bullets, Heading, Prose, Section, Table
from explain.story.pair import READING_CM, Pair
from explain.story.prescription import prism_text, side_name
from explain.story.thickness import measured_centres_text
from explain.story.wearing import frame_size_text
from explain.story.wording import Place, cm_with_inches, degrees, dioptres, mm, plain, rounded


def keep_section(pair: Pair, place: Place) -> Section:
    """Part 12 of the page."""
    plano = pair.order.lenses.design == "plano"
    blocks: list[Block] = [
        Table("For any optician", ("What", "Figure"), tuple(_figures(pair, place))),
        Bullets(assumptions(pair), lead="What we assumed"),
        Heading("New lenses for this frame"),
        Prose("keep-this-plano" if plano else "keep-this", level=4),
        Heading("What this page cannot know"),
        Prose("what-we-cannot-know-plano" if plano else "what-we-cannot-know", level=4),
        Heading("Who can see this page"),
        Prose("privacy", level=4),
    ]
    return Section("keep", "Keep this", "Keep this", tuple(blocks))


def line_form(ordered: EyePrescription) -> str:
    """Write one eye's prescription as an optician would.

    >>> from explain.optics.power import SphereCylinder
    >>> line_form(EyePrescription("", SphereCylinder(-3.25, -0.75, 172)))
    '−3.25 −0.75 x 172'
    """
    if ordered.power is None:
        return "balance lens"
    text = dioptres(ordered.power.sphere_dpt)
    if rounded(ordered.power.cylinder_dpt, 2):
        text += f" {dioptres(ordered.power.cylinder_dpt)} x {degrees(ordered.power.axis_deg)}"
    if ordered.prisms:
        text += f", prism {prism_text(ordered)}"
    if ordered.add_dpt:
        text += f", add {dioptres(ordered.add_dpt)}"
    return text


def _figures(pair: Pair, place: Place) -> list[tuple[str, str]]:
    order, frame = pair.order, pair.order.frame
    rows = [("Order", f"{order.number}, {place.day(order.ordered_on)}")]
    rows += [(side_name(eye.side), line_form(eye.ordered)) for eye in pair.eyes]
    if order.lenses.design == "reading":
        rows += [(f"{side_name(eye.side)}, power made", line_form(EyePrescription("", eye.made))) for eye in pair.eyes]
    rows.append(("Pupil to middle of nose", "; ".join(f"{eye.side} {mm(eye.pd_mm)}" for eye in pair.eyes)))
    rows.append(_height_row(order, pair))
    name = f"{frame.name}, {frame.colour}" if frame.colour else frame.name
    rows.append(("Frame", f"{name}: {frame_size_text(order)}"))
    material = pair.chosen.material
    rows.append(("Lens material", f"{material.name} (index at 587.6 nm: {plain(material.index_at_587_6_nm, 3)})"))
    rows += _made_rows(pair)
    return rows


def _height_row(order: Order, pair: Pair) -> tuple[str, str]:
    given = order.fit.height_right_mm is not None or order.fit.height_left_mm is not None
    label = "Height of the lens center" if given else "Height of the lens center, assumed"
    if order.lenses.design == "bifocal":
        label = "Height of the line"
    elif order.lenses.design == "progressive":
        label = "Fitting height"
    heights = [
        (eye.side, getattr(order.fit, f"height_{eye.side}_mm") if order.lenses.design == "bifocal" else eye.height_mm)
        for eye in pair.eyes
    ]
    return label, "; ".join(f"{side} {mm(value)}" for side, value in heights if value is not None)


def _made_rows(pair: Pair) -> list[tuple[str, str]]:
    """Front curve and centre thickness, where they were ordered or measured; a curve by rule is nobody's lens."""
    rows = []
    if pair.order.lenses.base_curve_dpt is not None:
        rows.append(("Front curve, ordered", f"{plain(pair.order.lenses.base_curve_dpt, 2)} on the 1.530 scale"))
    measured = measured_centres_text(pair.order)
    if measured:
        rows.append(("Thickness", measured.strip()))
    return rows


def assumptions(pair: Pair) -> tuple[str, ...]:
    """Everything the order left open and we filled in, in words."""
    order = pair.order
    found = []
    if order.fit.pd_was_split:
        found.append("The distance between your pupils came as one number. We halved it.")
    if order.fit.height_right_mm is None and order.fit.height_left_mm is None:
        found.append("No height was given. We centered each lens half-way up its frame.")
    elif order.lenses.design == "bifocal":
        found.append("The far part of each lens is centered half-way up its frame.")
    if order.lenses.base_curve_dpt is None:
        found.append("The front curve follows a textbook rule (Vogel's). The maker may use another.")
    if order.lenses.design == "reading" and order.fit.near_pd_right_mm is None:
        found.append(f"Your pupils' distance for near was worked out for {cm_with_inches(pair.reading_cm)}.")
    if order.lenses.design in {"progressive", "bifocal"}:
        found.append(f"Reading distance is taken as {cm_with_inches(READING_CM)}.")
    found += order.frame.notes
    if any(spherical_equivalent_dpt(eye.made) > 0 for eye in pair.eyes):
        found.append("We took plus lenses as ground for this frame. One cut from stock is thicker in the middle.")
    least = max(eye_lens.lens.centre_mm for eye_lens in pair.chosen.lenses.values())
    found.append(f"No lens is made thinner than its material allows. The thicker one is {mm(least)} at its center.")
    return tuple(found)


def calling_section(pair: Pair) -> Section:
    """Part 13 of the page: call us, ask whoever tested your eyes, see someone today, always in this order."""
    blocks: list[Block] = [Heading("Call us"), Prose("call-us", level=4)]
    if pair.order.lenses.design != "plano":
        blocks += [Heading("Ask whoever tested your eyes"), Prose("ask-your-prescriber", level=4)]
    blocks += [Heading("See an eye doctor today"), Prose("see-someone-today", level=4)]
    heading = "When to call us, and signs to see an eye doctor today"
    return Section("calling", heading, "When to call, and signs for today", tuple(blocks))
