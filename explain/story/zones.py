"""Zones: where far, arm's length and near lie in the wearer's own progressive lenses."""

from __future__ import annotations

import math
from typing import Any

from explain.language import _, in_context
from explain.optics.outline import Points
from explain.optics.progressive import (
    CLEAR_CYLINDER_DPT,
    ClearSpan,
    ProgressiveLens,
    clear_span,
    corridor_half_width_mm,
    down_for_distance_mm,
    engraved_marks_mm,
    is_inside,
    middle_mm,
    most_added_dpt,
    own_focus_dpt,
    reading_part_mm,
    sharp_range_cm,
)
from explain.story.blocks import Block, Figure, Heading, Note, Paragraph, Table
from explain.story.drawings import ZoneLabel, ZonesDrawing
from explain.story.marks import cut_marks, marks_text
from explain.story.pair import Eye, Pair
from explain.story.parts import (
    ARM_CM,
    JUST_INSIDE_MM,
    as_wearer_sees,
    distance_words,
    enlargement,
    eyes_with_add,
    parts_of,
    reach,
    times_text,
)
from explain.story.sides import your_lens, your_lens_first, your_lenses
from explain.story.wording import NO_BREAK, cm_with_inches, mm, plain, rounded

_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
_WALL_STEPS = 8
_ALIKE_MM = 0.3


def progressive_blocks(pair: Pair) -> list[Block]:
    """What a customer with progressive lenses may read about their parts; nothing for any other pair."""
    eyes = eyes_with_add(pair)
    if pair.order.lenses.design != "progressive" or not eyes:
        return []
    return [
        Heading(_("Where far, arm's length and near lie in your lenses")),
        _figure(eyes[0]),
        _reach_table(eyes[0]),
        Paragraph(left_text(eyes), lead=_("What your frame leaves.")),
        Paragraph(marks_text(eyes[0].ordered.add_dpt or 0.0), lead=_("The 2 engraved marks.")),
        *cut_marks(eyes),
        Note(
            _(
                "We drew this from a general law, not from the maker's own map, which we do not have. "
                "Lenses measured in 2005 were wider than the law in the middle, and narrower low down."
            ),
            label=_("A sketch, not the maker's map"),
        ),
        Note(_assumed_text(eyes[0].sketch), label=_("What we assumed")),
    ]


def zones_numbers(pair: Pair) -> dict[str, Any]:
    """Figures of the parts of each progressive lens, by side, in full precision; empty for any other pair."""
    if pair.order.lenses.design != "progressive":
        return {}
    return {eye.side: _eye_numbers(eye) for eye in eyes_with_add(pair)}


def _eye_numbers(eye: Eye) -> dict[str, Any]:
    lens = eye.sketch
    return {
        "corridor_mm": lens.corridor_mm,
        "corridor_half_width_mm": corridor_half_width_mm(lens.add_dpt, lens.corridor_mm),
        "clear_cylinder_limit_dpt": CLEAR_CYLINDER_DPT,
        "near_inset_mm": abs(middle_mm(lens, lens.corridor_mm)),
        "lens_ends_below_pupil_mm": lens.bottom_mm,
        "reading_part_mm": reading_part_mm(lens),
        "most_added_dpt": most_added_dpt(lens),
        "own_focus_assumed_dpt": own_focus_dpt(lens.add_dpt),
        "arm_length_below_pupil_mm": down_for_distance_mm(lens, ARM_CM),
        "engraved_marks": [
            {"x_from_pupil_mm": x, "y_from_pupil_mm": y, "inside": is_inside(lens.outline, (x, y))}
            for x, y in engraved_marks_mm(lens)
        ],
        "heights": [_height_numbers(lens, down) for down in _heights(lens)],
        "parts": [_part_numbers(eye, lens, *part[1:]) for part in parts_of(lens)],
    }


def _height_numbers(lens: ProgressiveLens, down_mm: float) -> dict[str, Any]:
    """What the table of the sketch rounds; no furthest distance where far is sharp."""
    nearest, furthest = (None if math.isinf(cm) else cm for cm in sharp_range_cm(lens, down_mm))
    span = _span_at(lens, down_mm)
    return {
        "below_pupil_mm": down_mm,
        "sharp_from_cm": nearest,
        "sharp_to_cm": furthest,
        "clear_width_mm": None if span is None else span.width_mm,
        "ends_by_law": span is not None and span.ends_by_law,
    }


def _span_at(lens: ProgressiveLens, down_mm: float) -> ClearSpan | None:
    return clear_span(lens, min(down_mm, lens.bottom_mm - JUST_INSIDE_MM))


def _part_numbers(eye: Eye, lens: ProgressiveLens, down_mm: float, distance_cm: float) -> dict[str, Any]:
    (nose_deg, nose_cm), (outer_deg, outer_cm) = reach(eye, lens, down_mm, distance_cm)
    return {
        "below_pupil_mm": down_mm,
        "distance_cm": distance_cm,
        "to_nose_deg": nose_deg,
        "to_nose_cm": nose_cm,
        "to_ear_deg": outer_deg,
        "to_ear_cm": outer_cm,
    }


def left_text(eyes: list[Eye]) -> str:
    """Say how much of the full reading power each frame side leaves, or how far it is cut off."""
    parts = {eye.side: reading_part_mm(eye.sketch) for eye in eyes}
    if min(parts.values()) > 0 and max(parts.values()) - min(parts.values()) < _ALIKE_MM:
        return _remaining_text(your_lenses(list(parts)), min(parts.values()))
    return " ".join(_one_left_text(eye) for eye in eyes)


def _one_left_text(eye: Eye) -> str:
    lens = eye.sketch
    part = reading_part_mm(lens)
    if part > 0:
        return _remaining_text(your_lens(eye.side), part)
    return _(
        "{lens} ends {short} before full reading power: it reaches {most} of the {add} diopters.",
        lens=your_lens_first(eye.side),
        short=mm(-part),
        most=plain(most_added_dpt(lens), 2),
        add=plain(lens.add_dpt, 2),
    )


def _remaining_text(lens: str, part_mm: float) -> str:
    return _("In {lens}, about {length} of full reading power remain above the rim.", lens=lens, length=mm(part_mm))


def _assumed_text(lens: ProgressiveLens) -> str:
    texts = (
        _(
            "From your fitting height we took {length} from the cross to full reading power, rising evenly.",
            length=mm(lens.corridor_mm),
        ),
        _(
            "Clear means less than {limit} diopters of unwanted astigmatism.",
            limit=plain(CLEAR_CYLINDER_DPT, 2),
        ),
        _focus_text(own_focus_dpt(lens.add_dpt)),
    )
    return " ".join(texts)


def _focus_text(own_dpt: float) -> str:
    if not rounded(own_dpt, 2):
        return _("The distances are for an eye that has no focus of its own left.")
    return _(
        "Each span of distances runs from an eye that adds {own} of its own focus to an eye at rest.",
        own=plain(own_dpt, 2),
    )


def _figure(eye: Eye) -> Figure:
    lens = eye.sketch
    finding = finding_text(eye.side, lens)
    table = Table(
        _("{lens}, from the cross down", lens=your_lens_first(eye.side)),
        (_("Below your pupil"), _("Sharp distance"), _("Clear width")),
        tuple(_row(lens, down) for down in _heights(lens)),
        _('"Up to" gives the edge of the lens, as the law sets no limit there. A real lens may be soft sooner.'),
    )
    times = enlargement(_width(lens.outline))
    return Figure(
        finding=finding,
        measure=_measure(your_lens(eye.side), times),
        drawing=_drawing(eye, lens, finding, times),
        table=table,
        note=_(
            "Your pupil looks far through the cross. The small circles are the engraved marks. "
            "Hatched parts are soft; where lines are broken, only the maker knows."
        ),
    )


def _measure(lens: str, times: float) -> str:
    if times == 1:
        return _("A sketch of {lens} as you look through it, at true size on paper.", lens=lens)
    return _(
        "A sketch of {lens} as you look through it, {times} times true size on paper.",
        lens=lens,
        times=times_text(times),
    )


def finding_text(side: str, lens: ProgressiveLens) -> str:
    """Say where full reading power starts, or that the frame ends before it."""
    if reading_part_mm(lens) <= 0:
        return _("{lens} ends before full reading power is reached", lens=your_lens_first(side))
    return _("Full reading power starts {length} below your pupil", length=mm(lens.corridor_mm))


def _heights(lens: ProgressiveLens) -> list[float]:
    """Heights for the table: quarters of the corridor, as far as the lens goes."""
    bottom = lens.bottom_mm
    heights = [share * lens.corridor_mm for share in _SHARES if share * lens.corridor_mm < bottom]
    return heights if bottom > lens.corridor_mm else [*heights, bottom]


def _row(lens: ProgressiveLens, down_mm: float) -> tuple[str, str, str]:
    where = in_context("with your pupil", "level with it") if down_mm == 0 else mm(down_mm)
    return where, distance_words(*sharp_range_cm(lens, down_mm)), _width_words(_span_at(lens, down_mm))


def _width_words(span: ClearSpan | None) -> str:
    if span is None:
        return in_context("clear width", "none")
    return mm(span.width_mm) if span.ends_by_law else _("up to {length}", length=mm(span.width_mm))


def _reach_table(eye: Eye) -> Table:
    lens = eye.sketch
    rows = tuple(_reach_row(eye, lens, *part) for part in parts_of(lens))
    return Table(
        _("How far to the side each part of {lens} reaches", lens=your_lens(eye.side)),
        (_("Part"), _("Toward the nose"), _("Toward the ear")),
        rows,
        _("How far your eye turns, and how far aside it then looks. It turns about a point 27 mm behind the lens."),
    )


def _reach_row(eye: Eye, lens: ProgressiveLens, name: str, down_mm: float, distance_cm: float) -> tuple[str, str, str]:
    span = clear_span(lens, down_mm)
    ends = span is not None and span.ends_by_law
    nose, outer = (_reach_words(*one, ends=ends) for one in reach(eye, lens, down_mm, distance_cm))
    return f"{name}, {cm_with_inches(distance_cm)}", nose, outer


def _reach_words(turn_deg: float, aside_cm: float, *, ends: bool) -> str:
    turn, aside = f"{plain(turn_deg, 0)}°", _aside_words(aside_cm)
    return f"{turn}, {aside}" if ends else _("up to {turn}, {aside}", turn=turn, aside=aside)


def _aside_words(aside_cm: float) -> str:
    """Give a short way aside in tenths of a centimeter, a longer one as any distance."""
    return cm_with_inches(aside_cm) if aside_cm >= 10 else f"{plain(aside_cm, 1)}{NO_BREAK}cm"


def _spoken(lens: ProgressiveLens) -> str:
    """The drawing in words, for whoever does not see it."""
    places = [
        _("{part}, {distance}: {down} below your pupil.", part=name, distance=cm_with_inches(distance), down=mm(down))
        if down
        else _("{part}: level with your pupil.", part=name)
        for name, down, distance in parts_of(lens)
    ]
    return " ".join(places)


def _drawing(eye: Eye, lens: ProgressiveLens, title: str, times: float) -> ZonesDrawing:
    end = min(lens.corridor_mm, lens.bottom_mm)
    downs = [end * step / _WALL_STEPS for step in range(_WALL_STEPS + 1)]
    half = corridor_half_width_mm(lens.add_dpt, lens.corridor_mm)
    middles = [(-middle_mm(lens, down), -down) for down in downs]
    return ZonesDrawing(
        title=title,
        description=_spoken(lens),
        enlarged=times,
        outline=as_wearer_sees(lens.outline),
        left_wall=tuple((x - half, y) for x, y in middles),
        right_wall=tuple((x + half, y) for x, y in middles),
        marks=tuple((-x, y) for x, y in engraved_marks_mm(lens) if is_inside(lens.outline, (x, y))),
        labels=tuple(_label(lens, *part) for part in parts_of(lens)),
        nose_side="left" if eye.nose_sign > 0 else "right",
        nose_word=_("nose"),
        outer_word=_("ear"),
        ruler_label=_("mm on your lens"),
    )


def _label(lens: ProgressiveLens, name: str, down_mm: float, distance_cm: float) -> ZoneLabel:
    if down_mm == 0:
        top = max(point[1] for point in lens.outline)
        return ZoneLabel((name, _("from {distance}", distance=cm_with_inches(distance_cm))), (0.0, top / 2))
    return ZoneLabel((name, cm_with_inches(distance_cm)), (-middle_mm(lens, down_mm), -down_mm))


def _width(points: Points) -> float:
    return math.fsum((max(x for x, _ in points), -min(x for x, _ in points)))
