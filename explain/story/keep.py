"""Keep this: the sheet for any optician, what was assumed, who can see the page, and when to call."""

from __future__ import annotations

from explain.language import _
from explain.optics.power import spherical_equivalent_dpt
from explain.story.blocks import Block, Bullets, Heading, Prose, Section
from explain.story.keep_sheet import sheet_blocks
from explain.story.pair import READING_CM, Pair
from explain.story.wording import Place, cm_with_inches, mm


def keep_section(pair: Pair, place: Place) -> Section:
    """Part 12 of the page."""
    plano = pair.order.lenses.design == "plano"
    blocks: list[Block] = [
        *sheet_blocks(pair, place),
        Heading(_("What we assumed")),
        Bullets(assumptions(pair)),
        Heading(_("New lenses for this frame")),
        Prose("keep-this-plano" if plano else "keep-this", level=4),
        Heading(_("What this page cannot know")),
        Prose("what-we-cannot-know-plano" if plano else "what-we-cannot-know", level=4),
        Heading(_("Who can see this page")),
        Prose("privacy", level=4),
    ]
    return Section("keep", _("Keep this"), _("A sheet to keep"), tuple(blocks))


def assumptions(pair: Pair) -> tuple[str, ...]:
    """Everything the order left open and we filled in, in words."""
    order = pair.order
    found = []
    if order.fit.pd_was_split:
        found.append(_("The distance between your pupils came as one number. We halved it."))
    if order.fit.height_right_mm is None and order.fit.height_left_mm is None:
        found.append(_("No height was given. We centered each lens half-way up its frame."))
    elif order.lenses.design == "bifocal":
        found.append(_("The far part of each lens is centered half-way up its frame."))
    if order.lenses.base_curve_dpt is None:
        found.append(_("The front curve follows a textbook rule (Vogel's). The maker may use another."))
    if order.lenses.design == "reading" and order.fit.near_pd_right_mm is None:
        found.append(
            _("Your pupils' distance for near was worked out for {distance}.", distance=cm_with_inches(pair.reading_cm))
        )
    if order.lenses.design in {"progressive", "bifocal"}:
        found.append(_("Reading distance is taken as {distance}.", distance=cm_with_inches(READING_CM)))
    found += [_(note) for note in order.frame.notes]
    if any(spherical_equivalent_dpt(eye.made) > 0 for eye in pair.eyes):
        found.append(_("We took plus lenses as ground for this frame. One cut from stock is thicker in the middle."))
    least = max(eye_lens.lens.centre_mm for eye_lens in pair.chosen.lenses.values())
    found.append(
        _(
            "No lens is made thinner than its material allows. The thicker one is {thick} at its center.",
            thick=mm(least),
        )
    )
    return tuple(found)


def calling_section(pair: Pair) -> Section:
    """Part 13 of the page: call us, ask whoever tested your eyes, see someone today, always in this order."""
    blocks: list[Block] = [Heading(_("Call us")), Prose("call-us", level=4)]
    if pair.order.lenses.design != "plano":
        blocks += [Heading(_("Ask whoever tested your eyes")), Prose("ask-your-prescriber", level=4)]
    blocks += [Heading(_("See an eye doctor today")), Prose("see-someone-today", level=4)]
    heading = _("When to call us, and signs to see an eye doctor today")
    return Section("calling", heading, _("When to call, or see a doctor"), tuple(blocks))
