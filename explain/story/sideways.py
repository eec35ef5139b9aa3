"""Sideways: what the lenses do to colours and directions when their wearer does not look through the middle."""

from __future__ import annotations

import math
from typing import Any

from explain.optics.fringe import transverse_chromatic_prism_dpt
from explain.optics.power import power_in_meridian_dpt
from explain.optics.prism import prism_components
from explain.optics.progressive import added_prism_dpt
from explain.story.blocks import Block, Bullets, Heading, Paragraph, Table
from explain.story.pair import Eye, InMaterial, Pair
from explain.story.parts import sketch_of
from explain.story.wording import NO_BREAK, cm_with_inches, mm, plain, rounded

OFF_CENTRE_MM = (5.0, 10.0, 15.0)
LOOK_ASIDE_MM = 10.0
_WITHIN_MM = 25.0
READ_BELOW_MM = 10.0
"""Where single-vision and bifocal wearers are taken to look through for reading (magazine_reading in
data/sources.yaml); in a progressive lens it is the start of full reading power."""
SEEN_FRINGE_PRISM_DPT = 0.10
"""Colour fringes below this are said to go unnoticed by most (common practice, from memory)."""
SHIFT_TO_SHOW_PRISM_DPT = 2.0
"""From this shift 10 mm off the middle on, the page shows it (our own judgement)."""
IMBALANCE_TO_SHOW_PRISM_DPT = 1.5
"""From this difference at the reading level on, opticians think of remedies (common practice, from memory)."""
FRINGE_BANDS = (
    (0.10, "Most people see no colored edges at that."),
    (0.20, "Some people see colored edges at that, around lamps or dark print, when they look aside."),
    (math.inf, "Many people see colored edges at that, around lamps or dark print, when they look aside."),
)
"""What a fringe means (common practice, from memory: the 0.10; our own judgement: the 0.20)."""


def sideways_blocks(pair: Pair) -> list[Block]:
    """Colours at the sides, shifts, and uneven shifts; only what is large enough to matter. Nothing without power."""
    if pair.order.lenses.design == "plano":
        return []
    blocks = [*_fringe_blocks(pair), *_shift_blocks(pair), *_imbalance_blocks(pair)]
    return [Heading("When you look through the sides"), *blocks] if blocks else []


def fringe_matters(pair: Pair) -> bool:
    """Tell whether any material offered shows, 15 mm aside, a fringe that some people see."""
    worst = max(aside_fringe_prism_dpt(pair, made, OFF_CENTRE_MM[-1]) for made in (pair.chosen, *pair.others))
    return worst >= SEEN_FRINGE_PRISM_DPT


def shift_matters(pair: Pair) -> bool:
    """Tell whether any lens shifts the view enough to be shown, 10 mm to the side or down."""
    return max(max(shifts_prism_dpt(pair, eye)) for eye in pair.eyes) >= SHIFT_TO_SHOW_PRISM_DPT


def imbalance_matters(pair: Pair) -> bool:
    """Tell whether the lenses differ enough at the reading level for a remedy to be thought of."""
    unlike = reading_imbalance_prism_dpt(pair)
    return unlike is not None and unlike >= IMBALANCE_TO_SHOW_PRISM_DPT


def aside_fringe_prism_dpt(pair: Pair, made: InMaterial, off_mm: float) -> float:
    """Colour fringe of the lens that is stronger level across, looking off_mm aside [prism dpt], 0 or more."""
    return transverse_chromatic_prism_dpt(_level_power_dpt(pair), off_mm, made.material.abbe_number)


def _level_power_dpt(pair: Pair) -> float:
    return max(abs(power_in_meridian_dpt(eye.made, 180.0)) for eye in pair.eyes)


def seen_from_mm(pair: Pair, made: InMaterial) -> float:
    """How far off the middle the fringe reaches what some people see [mm]; infinite for a lens without power."""
    power = _level_power_dpt(pair)
    return 10 * SEEN_FRINGE_PRISM_DPT * made.material.abbe_number / power if power else math.inf


def shifts_prism_dpt(pair: Pair, eye: Eye) -> tuple[float, float]:
    """How far one lens shifts the view 10 mm to the side and 10 mm down [prism dpt], 0 or more.

    Ordered prism is left out: it shifts all of the view alike. A bifocal is taken above its window.
    """
    aside = math.hypot(*prism_components(eye.made, LOOK_ASIDE_MM, 0.0))
    level, _ = prism_components(eye.made, 0.0, -LOOK_ASIDE_MM)
    return aside, math.hypot(level, upright_shift_prism_dpt(pair, eye, LOOK_ASIDE_MM))


def upright_shift_prism_dpt(pair: Pair, eye: Eye, drop_mm: float) -> float:
    """Upright prism of one lens drop_mm below its middle [prism dpt], base up plus; with the add of a progressive."""
    own = prism_components(eye.made, 0.0, -drop_mm)[1]
    if pair.order.lenses.design != "progressive" or not eye.ordered.add_dpt:
        return own
    return own + added_prism_dpt(sketch_of(eye), drop_mm)


def reading_drop_mm(pair: Pair) -> float:
    """How far below the middle of the lenses reading is taken to be done [mm]."""
    if pair.order.lenses.design != "progressive":
        return READ_BELOW_MM
    return max((sketch_of(eye).corridor_mm for eye in pair.eyes if eye.ordered.add_dpt), default=READ_BELOW_MM)


def reading_imbalance_prism_dpt(pair: Pair) -> float | None:
    """Difference of the two lenses' upright prism at the reading level [prism dpt]; None unless both have a power."""
    if len(pair.eyes) < 2 or any(eye.ordered.is_balance for eye in pair.eyes):
        return None
    right, left = (upright_shift_prism_dpt(pair, eye, reading_drop_mm(pair)) for eye in pair.eyes)
    return abs(right - left)


def sideways_numbers(pair: Pair) -> dict[str, Any]:
    """Figures of this part in full precision, units in the keys."""
    made = (pair.chosen, *pair.others)
    return {
        "fringe_prism_dpt": {
            one.material.key: {f"{off:.0f}_mm_aside": aside_fringe_prism_dpt(pair, one, off) for off in OFF_CENTRE_MM}
            for one in made
        },
        "fringe_seen_from_mm": seen_from_mm(pair, pair.chosen) if _level_power_dpt(pair) else None,
        "shift_10_mm_aside_prism_dpt": {eye.side: shifts_prism_dpt(pair, eye)[0] for eye in pair.eyes},
        "shift_10_mm_down_prism_dpt": {eye.side: shifts_prism_dpt(pair, eye)[1] for eye in pair.eyes},
        "reading_level_below_middle_mm": reading_drop_mm(pair),
        "imbalance_at_reading_level_prism_dpt": reading_imbalance_prism_dpt(pair),
    }


def fringe_words(prism_dpt: float) -> str:
    """Say what a fringe means, by the figure as it is printed.

    >>> fringe_words(0.05), fringe_words(0.096) == fringe_words(0.10)
    ('Most people see no colored edges at that.', True)
    """
    return next(words for below, words in FRINGE_BANDS if float(rounded(prism_dpt, 2)) < below)


def fringe_text(fringe_prism_dpt: float, seen_from_mm: float) -> str:
    """Say how far colours lie apart 10 mm aside, what that means, and from where on they may be seen.

    >>> fringe_text(0.04, 25.1).split(". ")[1]
    'Most people see no colored edges at that.'
    """
    apart = f"{mm(10 * fringe_prism_dpt)} at 1{NO_BREAK}m"
    first = f"10 mm off the middle of your stronger lens, blue and red part by {apart}."
    where = f" They may begin to show about {mm(seen_from_mm)} off the middle." if seen_from_mm <= _WITHIN_MM else ""
    return f"{first} {fringe_words(fringe_prism_dpt)}{where}"


def _fringe_blocks(pair: Pair) -> list[Block]:
    if not fringe_matters(pair):
        text = "In every material we offer, colored edges stay below what most people see, even 15 mm off the middle."
        return [Paragraph(text, lead="Colored edges.")]
    made = sorted((pair.chosen, *pair.others), key=lambda one: one.material.index_at_587_6_nm)
    rows = tuple(_fringe_row(pair, one) for one in made)
    caption = "Color fringe off the middle of your stronger lens, in prism diopters"
    note = (
        "Worked out along the level line; 0.10 is 1.0 mm at 1 m. "
        "Most people notice none below 0.10 (common practice, no source)."
    )
    text = fringe_text(aside_fringe_prism_dpt(pair, pair.chosen, LOOK_ASIDE_MM), seen_from_mm(pair, pair.chosen))
    columns = ("Material", *(f"{plain(off, 0)}{NO_BREAK}mm" for off in OFF_CENTRE_MM))
    return [Paragraph(text, lead="Colored edges."), Table(caption, columns, rows, note)]


def _fringe_row(pair: Pair, made: InMaterial) -> tuple[str, ...]:
    name = f"{made.material.name} (yours)" if made is pair.chosen else made.material.name
    return name, *(plain(aside_fringe_prism_dpt(pair, made, off), 2) for off in OFF_CENTRE_MM)


def _shift_blocks(pair: Pair) -> list[Block]:
    if not shift_matters(pair):
        return []
    rows = tuple(
        (f"{eye.side.capitalize()} lens", *(f"{plain(shift, 1)}{NO_BREAK}cm" for shift in shifts_prism_dpt(pair, eye)))
        for eye in pair.eyes
    )
    note = "Worked out 10 mm off the middle, for something 1 m away. There, 1 cm is 1 prism diopter."
    if pair.order.lenses.design == "bifocal":
        note += " Down is taken above the window."
    return [
        Paragraph(
            "Away from its middle, a lens shows things a little beside where they are. "
            "Most people get used to it in a few days.",
            lead="Shifted views.",
        ),
        Table("How far your lenses shift the view", ("Lens", "To the side", "Down"), rows, note),
    ]


def imbalance_text(imbalance_prism_dpt: float, drop_mm: float, distance_cm: float) -> str:
    r"""Say how far the two views part at the reading level.

    >>> imbalance_text(3.0, 10.0, 40.0).split(". ")[0]
    'When you read 10.0\xa0mm below the middle, the 2 views part by 3.0 prism diopters'
    """
    apart = mm(imbalance_prism_dpt * distance_cm / 10)
    return (
        f"When you read {mm(drop_mm)} below the middle, the 2 views part by {plain(imbalance_prism_dpt, 1)} "
        f"prism diopters. On a page at {cm_with_inches(distance_cm)} that is {apart}."
    )


def _imbalance_blocks(pair: Pair) -> list[Block]:
    unlike = reading_imbalance_prism_dpt(pair)
    if unlike is None or not imbalance_matters(pair):
        return []
    ways = [
        "Slab-off: a cut across the lower part of 1 lens levels the 2 views for reading.",
        "A separate pair for reading, centered where you read.",
        "Contact lenses: they move with the eyes, so the views do not part.",
    ]
    if pair.order.lenses.design != "progressive":
        ways.insert(1, "Dropped centers: both lenses are centered lower, between far and near.")
    text = imbalance_text(unlike, reading_drop_mm(pair), pair.reading_cm)
    weigh = "Your optician and whoever tested your eyes can weigh these ways. We recommend none here."
    return [
        Paragraph(text, lead="Uneven shifts up and down."),
        Bullets(tuple(ways), "Ways that exist"),
        Paragraph(weigh),
    ]
