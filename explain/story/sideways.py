"""Sideways: what the lenses do to colours and directions when their wearer does not look through the middle."""

from __future__ import annotations

import math
from typing import Any

from explain.facts import data_file
from explain.language import _
from explain.optics.power import largest_difference_dpt
from explain.optics.prism import prism_components
from explain.optics.progressive import added_prism_dpt
from explain.order.model import Order
from explain.story.blocks import Block, Bullets, Heading, Paragraph, Prose, Table
from explain.story.fringes import LOOK_ASIDE_MM, fringe_prism_dpt, fringe_seen_from_mm, seen_fringe_prism_dpt
from explain.story.pair import Eye, InMaterial, Pair
from explain.story.sides import lens_name
from explain.story.verdict import band_sentence, material_name
from explain.story.wording import NO_BREAK, cm_with_inches, mm, plain, rounded

OFF_CENTRE_MM = (5.0, 10.0, 15.0)
_WITHIN_MM = 25.0
READ_BELOW_MM = 10.0
"""Where single-vision and bifocal wearers are taken to look through for reading (magazine_reading in
data/sources.yaml); in a progressive lens it is the start of full reading power."""
UNEVEN_DPT = 2.00
"""From this difference between the eyes on, the page says what may be felt (137 of 3000 people in a survey)."""


def sideways_blocks(pair: Pair) -> list[Block]:
    """Colours at the sides, shifts, and uneven shifts; only what is large enough to matter. Nothing without power."""
    if pair.order.lenses.design == "plano":
        return []
    blocks = [*_shift_blocks(pair), *_fringe_blocks(pair)]
    sides = [Heading(_("When you look through the sides")), *blocks] if blocks else []
    return [*sides, *_uneven_blocks(pair)]


def fringe_matters(pair: Pair) -> bool:
    """Tell whether the chosen material shows, 15 mm aside, a fringe that some people see."""
    return fringe_prism_dpt(pair, pair.chosen, OFF_CENTRE_MM[-1]) >= seen_fringe_prism_dpt()


def shift_matters(pair: Pair) -> bool:
    """Tell whether any lens shifts the view enough to be shown, 10 mm to the side or down."""
    return max(max(shifts_prism_dpt(pair, eye)) for eye in pair.eyes) >= _shown_from("shift_prism_dpt")


def imbalance_matters(pair: Pair) -> bool:
    """Tell whether the lenses differ enough at the reading level for a remedy to be thought of."""
    unlike = reading_imbalance_prism_dpt(pair)
    return unlike is not None and unlike >= _shown_from("imbalance_prism_dpt")


def shifts_prism_dpt(pair: Pair, eye: Eye) -> tuple[float, float]:
    """How far one lens shifts the view 10 mm to the side and 10 mm down [prism dpt], 0 or more.

    Ordered prism is left out: it shifts all of the view alike. A bifocal is taken above its window.
    """
    aside = math.hypot(*prism_components(eye.made, LOOK_ASIDE_MM, 0.0))
    level = prism_components(eye.made, 0.0, -LOOK_ASIDE_MM)[0]
    return aside, math.hypot(level, upright_shift_prism_dpt(pair, eye, LOOK_ASIDE_MM))


def upright_shift_prism_dpt(pair: Pair, eye: Eye, drop_mm: float) -> float:
    """Upright prism of one lens drop_mm below its middle [prism dpt], base up plus; with the add of a progressive."""
    own = prism_components(eye.made, 0.0, -drop_mm)[1]
    if pair.order.lenses.design != "progressive" or not eye.ordered.add_dpt:
        return own
    return own + added_prism_dpt(eye.sketch, drop_mm)


def reading_drop_mm(pair: Pair) -> float:
    """How far below the middle of the lenses reading is taken to be done [mm]."""
    if pair.order.lenses.design != "progressive":
        return READ_BELOW_MM
    return max((eye.sketch.corridor_mm for eye in pair.eyes if eye.ordered.add_dpt), default=READ_BELOW_MM)


def reading_imbalance_prism_dpt(pair: Pair) -> float | None:
    """Difference of the two lenses' upright prism at the reading level [prism dpt]; None unless both have a power."""
    if len(pair.eyes) < 2 or any(eye.ordered.is_balance for eye in pair.eyes):
        return None
    right, left = (upright_shift_prism_dpt(pair, eye, reading_drop_mm(pair)) for eye in pair.eyes)
    return abs(right - left)


def _shown_from(name: str) -> float:
    return float(data_file("verdicts")["shown_from"][name]["use"])


def sideways_numbers(pair: Pair) -> dict[str, Any]:
    """Figures of this part in full precision, units in the keys; the fringes of each material stand beside it."""
    seen_from_mm = fringe_seen_from_mm(pair, pair.chosen)
    return {
        "fringe_seen_from_mm": None if math.isinf(seen_from_mm) else seen_from_mm,
        **{eye.side: _shift_numbers(pair, eye) for eye in pair.eyes},
        "reading_level_below_middle_mm": reading_drop_mm(pair),
        "imbalance_at_reading_level_prism_dpt": reading_imbalance_prism_dpt(pair),
        "imbalance_on_the_page_mm": _apart_mm(pair),
    }


def _shift_numbers(pair: Pair, eye: Eye) -> dict[str, float]:
    aside, down = shifts_prism_dpt(pair, eye)
    return {"shift_10_mm_aside_prism_dpt": aside, "shift_10_mm_down_prism_dpt": down}


def fringe_words(prism_dpt: float) -> str:
    """Say what a fringe means, by the figure as it is printed.

    >>> fringe_words(0.05), fringe_words(0.096) == fringe_words(0.10)
    ('Most people see no colored edges at that.', True)
    """
    return band_sentence("fringe_prism_dpt", float(rounded(prism_dpt, 2)))


def fringe_text(fringe_prism_dpt: float, seen_from_mm: float) -> str:
    """Say how far colours lie apart 10 mm aside, what that means, and from where on they may be seen.

    >>> fringe_text(0.04, 25.1).split(". ")[1]
    'Most people see no colored edges at that.'
    """
    texts = [
        _(
            "{off} off the middle, blue and red part by {apart} at {distance}.",
            off=f"10{NO_BREAK}mm",
            apart=mm(10 * fringe_prism_dpt),
            distance=f"1{NO_BREAK}m",
        ),
        fringe_words(fringe_prism_dpt),
    ]
    if seen_from_mm <= _WITHIN_MM:
        texts.append(
            _("They may begin to show about {off} off the middle.", off=f"{plain(seen_from_mm, 0)}{NO_BREAK}mm")
        )
    return " ".join(texts)


def _fringe_blocks(pair: Pair) -> list[Block]:
    if not fringe_matters(pair):
        return []
    made = sorted((pair.chosen, *pair.others), key=lambda one: one.material.index_at_587_6_nm)
    table = Table(
        _("Color fringe off the middle, in prism diopters"),
        (_("Material"), *(f"{plain(off, 0)}{NO_BREAK}mm" for off in OFF_CENTRE_MM)),
        tuple(_fringe_row(pair, one) for one in made),
        _(
            "Worked out for your wider fringe. Most people notice none below {limit} (common practice, no source).",
            limit=plain(seen_fringe_prism_dpt(), 2),
        ),
    )
    text = fringe_text(fringe_prism_dpt(pair, pair.chosen), fringe_seen_from_mm(pair, pair.chosen))
    return [Paragraph(text, lead=_("Colored edges.")), table]


def _fringe_row(pair: Pair, made: InMaterial) -> tuple[str, ...]:
    name = material_name(made)
    if made is pair.chosen:
        name = _("{material} (yours)", material=name)
    return name, *(plain(fringe_prism_dpt(pair, made, off), 2) for off in OFF_CENTRE_MM)


def _shift_blocks(pair: Pair) -> list[Block]:
    if not shift_matters(pair):
        return []
    rows = tuple(
        (lens_name(eye.side), *(f"{plain(shift, 1)}{NO_BREAK}cm" for shift in shifts_prism_dpt(pair, eye)))
        for eye in pair.eyes
    )
    text = _(
        "Away from its middle, a lens shows things a little beside where they are. "
        "Most people get used to it in a few days."
    )
    columns = (_("Lens"), _("To the side"), _("Down"))
    return [
        Paragraph(text, lead=_("Shifted views.")),
        Table(_("How far your lenses shift the view"), columns, rows, _shift_note(pair)),
    ]


def _shift_note(pair: Pair) -> str:
    note = _("Worked out 10 mm off the middle, for something 1 m away. There, 1 cm is 1 prism diopter.")
    if pair.order.lenses.design == "bifocal":
        note += " " + _("Down is taken above the window.")
    return note


def imbalance_text(imbalance_prism_dpt: float, drop_mm: float, distance_cm: float) -> str:
    r"""Say how far the two views part at the reading level.

    >>> imbalance_text(3.0, 10.0, 40.0).split(". ")[0]
    'When you read 10.0\xa0mm below the middle, the 2 views part by 3.0 prism diopters'
    """
    return _(
        "When you read {drop} below the middle, the 2 views part by {imbalance} prism diopters. "
        "On a page at {distance} that is {apart}.",
        drop=mm(drop_mm),
        imbalance=plain(imbalance_prism_dpt, 1),
        distance=cm_with_inches(distance_cm),
        apart=mm(imbalance_prism_dpt * distance_cm / 10),
    )


def _apart_mm(pair: Pair) -> float | None:
    """How far the two views part on a page at the reading distance [mm]; None as for the imbalance."""
    unlike = reading_imbalance_prism_dpt(pair)
    return None if unlike is None else unlike * pair.reading_cm / 10


def _uneven_blocks(pair: Pair) -> list[Block]:
    """What unlike eyes may feel, the figure at the reading level, and the usual remedies; for others nothing."""
    apart = powers_apart_dpt(pair.order)
    unlike = reading_imbalance_prism_dpt(pair)
    if apart is None or unlike is None or not (apart >= UNEVEN_DPT or imbalance_matters(pair)):
        return []
    told = _("Your eyes differ by {apart} diopters.", apart=plain(apart, 2))
    prose = Prose("uneven-eyes", level=4)
    heading = Heading(_("Your eyes are unlike"))
    if not imbalance_matters(pair):
        return [heading, Paragraph(told), prose]
    parts = imbalance_text(unlike, reading_drop_mm(pair), pair.reading_cm)
    return [heading, Paragraph(f"{told} {parts}"), prose, *_remedies(pair)]


def powers_apart_dpt(order: Order) -> float | None:
    """Largest difference between the two eyes' powers, in any direction [dpt]; None unless both have one."""
    powers = [eye.power for eye in (order.right, order.left) if eye is not None and eye.power is not None]
    return largest_difference_dpt(powers[0], powers[1]) if len(powers) > 1 else None


def _remedies(pair: Pair) -> list[Block]:
    """The ways that exist, for the optician and the prescriber to weigh; none is recommended."""
    ways = [
        _("Slab-off: a cut across the lower part of 1 lens levels the 2 views for reading."),
        _("A separate pair for reading, centered where you read."),
        _("Contact lenses: they move with the eyes, so the views hardly part."),
    ]
    if pair.order.lenses.design != "progressive":
        ways.insert(1, _("Dropped centers: both lenses are centered lower, between far and near."))
    return [Bullets(tuple(ways), _("The usual ways:"))]
