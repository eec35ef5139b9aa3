"""Getting used to them: what changed, what to notice, where to look, two weeks to tick, and when to call."""

from __future__ import annotations

from collections.abc import Iterator

from explain.facts import data_file
from explain.language import _, later
from explain.optics.change import cylinder_of_change_dpt
from explain.optics.magnify import power_factor, pupil_distance_mm
from explain.optics.power import spherical_equivalent_dpt
from explain.order.model import Order
from explain.order.previous import EyeChange, eye_changes, limit
from explain.story.blocks import Block, Heading, Paragraph, Pictured, PicturedStep, Prose, Section, Steps, Table
from explain.story.cautions import caution_blocks, is_first_of_kind
from explain.story.changes import change_blocks
from explain.story.diary import HOURS, diary
from explain.story.pair import VERTEX_MM, Pair
from explain.story.sideways import sideways_blocks
from explain.story.sketches import said_steps, sketches
from explain.story.where import where_blocks
from explain.story.window import bifocal_blocks
from explain.story.wording import Place, cm_with_inches, plain, rounded
from explain.story.zones import progressive_blocks

GOOD_EYE = "one good eye"
LOOK_STEPS = (
    PicturedStep(
        later("Far: look straight ahead through the top."),
        later("Look at something across the street, with your head level."),
        sketches("look-far"),
    ),
    PicturedStep(
        later("Arm's length: look a little down, through the middle."),
        later("Look at a screen, 46 to 71 cm (18 to 28 in) away."),
        sketches("look-arm"),
    ),
    PicturedStep(
        later("Near: look further down, through the bottom."),
        later("Look at a page at about 40 cm (16 in)."),
        sketches("look-near"),
    ),
)
"""Where to look in a progressive lens: pg-03, wd-01 and wd-02 in data/words_sources.yaml."""


def getting_used_section(pair: Pair, place: Place) -> Section:
    """Part 7 of the page: by lens kind, by wearer, by what changed and by what the pair is for."""
    order = pair.order
    blocks: list[Block] = [*change_blocks(order), *notice_blocks(pair), *where_blocks(pair)]
    if order.lenses.design == "progressive":
        blocks.append(Pictured(said_steps(LOOK_STEPS)))
    blocks += [*progressive_blocks(pair), *bifocal_blocks(pair), *sideways_blocks(pair)]
    blocks += caution_blocks(order)
    if order.lenses.design != "plano":
        blocks += diary_blocks(order, place)
    blocks += not_right_blocks(order)
    return Section("getting-used", _("Getting used to them"), _("Getting used to them"), tuple(blocks))


def notice_blocks(pair: Pair) -> list[Block]:
    """The table of what the wearer may notice, why, and for how long, with where the spans come from."""
    facts = data_file("getting_used")
    rows = []
    for key, figures in notices(pair):
        entry = facts["notices"][key]
        what, why, span = entry["what"], entry["why"], facts["spans"][entry["span"]]
        rows.append((_(what, **figures), _(why), _(span)))
    heading = _("What your child may notice") if "child" in pair.order.wearer else _("What you may notice")
    columns = (_("What"), _("Why"), _("How long"))
    table = Table(_("What, why, how long"), columns, tuple(rows), spans_text(pair.order))
    return [Heading(heading), table]


def spans_text(order: Order) -> str:
    """Say where the spans come from, and how they differ; nothing for a pair without power."""
    if order.lenses.design == "plano":
        return ""
    if "child" in order.wearer:
        return _("The days are for new glasses in general. We found no good study of children.")
    if order.lenses.design == "progressive":
        return _(
            "Sources differ: 2 to 4 days for most, up to 2 weeks is common, 4 weeks in 1 source; "
            "for a first progressive, 1 to 2 months in others."
        )
    return _("Sources differ: 2 to 4 days for most, up to 2 weeks is common, 4 weeks in 1 source.")


def notices(pair: Pair) -> Iterator[tuple[str, dict[str, str]]]:
    """Which of the notices of data/getting_used.yaml belong on this page, in their order, with their figures."""
    order = pair.order
    design = order.lenses.design
    if design == "plano":
        yield "rim", {}
        if order.lenses.tint:
            yield "colors", {}
        return
    changed = list(_of_the_change(order))
    yield from _of_the_design(order)
    yield from changed
    if "child" not in order.wearer:
        if changed != [LITTLE_CHANGED]:
            yield "tired", {}
        if "anti-reflective" not in order.lenses.add_ons:
            yield "mirror", {}


LITTLE_CHANGED: tuple[str, dict[str, str]] = ("new-shape", {})


def _of_the_design(order: Order) -> Iterator[tuple[str, dict[str, str]]]:
    design = order.lenses.design
    old = order.previous.design if order.previous else None
    if design == "progressive":
        yield "side-blur" if old == "progressive" else "side-blur-first", {}
    if design == "bifocal":
        yield "line-jump", {}
    if design == "reading":
        yield "far-blur", {}


def _of_the_change(order: Order) -> Iterator[tuple[str, dict[str, str]]]:
    if "child" in order.wearer:
        yield "child", {}
        return
    changes = eye_changes(order)
    if not changes:
        yield "any-lens", {}
        return
    found = [*_size(order, changes), *_lean(changes), *_near(order), *_slope(changes)]
    yield from found or [LITTLE_CHANGED]


def _size(order: Order, changes: tuple[EyeChange, ...]) -> Iterator[tuple[str, dict[str, str]]]:
    if (order.previous and order.previous.design == "reading") != (order.lenses.design == "reading"):
        return  # a near power and a far one are for different things
    grown = [100 * (size_ratio(order, change) - 1) for change in changes]
    most = max(grown, key=abs)
    agree = all(rounded(one, 0) == 0 or (one > 0) == (most > 0) for one in grown)
    if agree and rounded(most, 0):
        yield "larger" if most > 0 else "smaller", {"size": plain(abs(most), 0)}


def size_ratio(order: Order, change: EyeChange) -> float:
    """Size of what one eye sees through the new lens, against the old one [ratio]; by their average powers alone."""
    to_pupil = pupil_distance_mm(VERTEX_MM if order.lenses.vertex_mm is None else order.lenses.vertex_mm)
    new, old = (power_factor(spherical_equivalent_dpt(power), to_pupil) for power in (change.new, change.old))
    return new / old


def _lean(changes: tuple[EyeChange, ...]) -> Iterator[tuple[str, dict[str, str]]]:
    bent = max(cylinder_of_change_dpt(change.old, change.new) for change in changes)
    if rounded(bent, 2) >= rounded(limit("cylinder_noticed_dpt"), 2):
        yield "lean", {}


def _near(order: Order) -> Iterator[tuple[str, dict[str, str]]]:
    for side in ("right", "left"):
        now, before = getattr(order, side), getattr(order.previous, side)
        if now and before and now.add_dpt and before.add_dpt and now.add_dpt != before.add_dpt:
            to, until = cm_with_inches(100 / now.add_dpt), cm_with_inches(100 / before.add_dpt)
            yield "near-moves", {"to": to, "before": until}
            return


def _slope(changes: tuple[EyeChange, ...]) -> Iterator[tuple[str, dict[str, str]]]:
    if any(rounded(change.prism_prism_dpt, 2) for change in changes):
        yield "slope", {}


def diary_blocks(order: Order, place: Place) -> list[Block]:
    """Two weeks to tick; with the hours of a slow start where the step is a large one."""
    slow = starts_slowly(order)
    hours: list[Block] = [Paragraph(_(HOURS))] if slow else []
    return [Heading(_("Your first 2 weeks")), diary(order, place, slow_start=slow), *hours]


def starts_slowly(order: Order) -> bool:
    """True for a first pair of its kind and for a large change; a child's hours are for whoever tested the eyes."""
    if "child" in order.wearer or order.lenses.design == "reading":
        return False
    return order.is_first_pair or is_first_of_kind(order) or any(change.is_large for change in eye_changes(order))


def not_right_blocks(order: Order) -> list[Block]:
    """The date after which to call, how to tell which eye, and the order in which we look for the cause."""
    if order.lenses.design == "plano":
        return [Heading(_(NOT_RIGHT)), Prose("not-right-plano", level=4)]
    words = "not-right-child" if "child" in order.wearer else "not-right"
    cover = [Paragraph(_(COVER), lead=_("Which eye?"))] if can_compare_eyes(order) else []
    return [Heading(_(NOT_RIGHT)), Prose(words, level=4), Steps(_checks()), *cover]


NOT_RIGHT = later("If they are not right")


def can_compare_eyes(order: Order) -> bool:
    """True where covering one eye tells something: both lenses have a power of their own, and both eyes see alike."""
    both = all(eye is not None and not eye.is_balance for eye in (order.right, order.left))
    return both and GOOD_EYE not in order.wearer and "child" not in order.wearer


COVER = later(
    "Cover 1 eye with your palm, without pressing, and read something. Change eyes. "
    "If 1 side is less clear, tell us which, how far away, and since when."
)


def _checks() -> tuple[tuple[str, str], ...]:
    """The order in which we look for the cause."""
    studies = _(
        "About 2 in 100 new pairs cannot be worn as they are. "
        "In 5 studies (2021), nearly half came from the test's figures."
    )
    return (
        (_("How they sit."), _("It is the quickest to put right.")),
        (_("Centering."), _("We compare the middle of each lens with the pupils.")),
        (_("Powers."), _("We measure the lenses again, against your order.")),
        (_("The prescription."), " ".join((_("Whoever tested the eyes checks it."), studies))),
    )
