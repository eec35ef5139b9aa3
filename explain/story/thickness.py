"""How thick and heavy the lenses are, against what else the customer could have had."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from explain.language import _, plural
from explain.optics.lens import Section, level_sections
from explain.order.model import Order
from explain.story.blocks import Block, Figure, Heading, Note, Paragraph, Table
from explain.story.blocks import Section as PageSection
from explain.story.drawings import SectionDrawing, SectionRow
from explain.story.edges import edge_figure, place_words
from explain.story.pair import Eye, EyeLens, InMaterial, Pair
from explain.story.sides import of_lens, your_lens_first
from explain.story.verdict import listed_price, material_name, nearly_as_thin, verdict_texts
from explain.story.wording import (
    NO_BREAK,
    Place,
    bank_cards,
    grams,
    grams_with_ounces,
    listed,
    mm,
    mm_with_inches,
    plain,
    rounded,
)
from explain.story.worth import effects_table

ESTIMATE_MM = 0.4
"""How far a finished lens may be from our figure [mm]: one laboratory's own pair differs by up to 0.30 mm
(tests/outside/test_laboratory_order.py); rounded up."""
PROGRESSIVE_THINNER_MM = 0.7
"""The general law is least true far to the sides, where it may take too much away (our own estimate)."""
_SHOWN = 4
_EVEN_MM, _SAME_MM = 0.3, 0.05
_RULER_MM = 3.0


def thickness_section(pair: Pair, place: Place) -> PageSection:
    """Part 4 of the page."""
    blocks: list[Block] = [Paragraph(text) for text in lens_texts(pair)]
    changed = effects_table(pair, place)
    blocks += [
        Paragraph(weight_text(pair)),
        _section_figure(pair),
        Heading(_("Was the material worth its price?")),
        *(Paragraph(text) for text in verdict_texts(pair, place)),
        *([changed] if changed else []),
        _materials_table(pair, place),
        edge_figure(pair),
        *_estimate_notes(pair),
    ]
    return PageSection("thickness", _("How thick and heavy your lenses are"), _("Thickness and weight"), tuple(blocks))


def lens_texts(pair: Pair) -> list[str]:
    """Say how thin and how thick each lens is; once for both where nobody could tell a difference."""
    lenses = [pair.chosen.lenses[eye.side] for eye in pair.eyes]
    thin = min(lens.thinnest_mm for lens in lenses)
    thick = max(lens.thickest_mm for lens in lenses)
    if len(lenses) > 1 and thick - thin < _EVEN_MM:
        return [_("Both lenses are about {thickness}, all over.", thickness=inches_and_cards(thick))]
    return [lens_text(pair, eye) for eye in pair.eyes]


def lens_text(pair: Pair, eye: Eye) -> str:
    """Say how thin and how thick one lens is, and where."""
    lens, name = pair.chosen.lenses[eye.side], your_lens_first(eye.side)
    if lens.thickest_mm - lens.thinnest_mm < _EVEN_MM:
        return _("{lens} is about {thickness}, all over.", lens=name, thickness=inches_and_cards(lens.thickest_mm))
    start = _(
        "{lens} is {thin} at its thinnest and {thick} at its thickest.",
        lens=name,
        thin=mm(lens.thinnest_mm),
        thick=length(lens.thickest_mm),
    )
    return f"{start} {_thickest_place_text(lens, eye, pair)}"


def _thickest_place_text(lens: EyeLens, eye: Eye, pair: Pair) -> str:
    edge, centre_mm = lens.thickest_edge, lens.lens.centre_mm
    if lens.thickest_mm > max(centre_mm, edge.thickness_mm) + _SAME_MM:
        return _("Prism moves the thickest place off the middle: {cards}.", cards=bank_cards(lens.thickest_mm))
    if centre_mm >= edge.thickness_mm:
        return _("It is thickest in the middle: {cards}.", cards=bank_cards(centre_mm))
    return _(
        "It is thickest at {place}: {cards}.",
        place=place_words(edge, eye, pair),
        cards=bank_cards(edge.thickness_mm),
    )


def length(value_mm: float) -> str:
    """Give a thickness, with inches where a ruler shows them."""
    return mm_with_inches(value_mm) if value_mm >= _RULER_MM else mm(value_mm)


def inches_and_cards(value_mm: float) -> str:
    """Give a thickness and a comparison anyone can fetch from a wallet."""
    return _("{thickness}, {cards}", thickness=length(value_mm), cards=bank_cards(value_mm))


def weight_text(pair: Pair) -> str:
    """Say what the lenses weigh."""
    return plural(
        "Your lens weighs {weight} in all. The frame comes on top of that.",
        "Your {count} lenses weigh {weight} in all. The frame comes on top of that.",
        len(pair.eyes),
        weight=grams_with_ounces(pair.chosen.weight_g),
    )


def _materials_table(pair: Pair, place: Place) -> Table:
    rows = tuple(_material_row(pair, made, place) for made in _in_order(pair))
    note = _(
        "Weight is for both lenses. Prices are from our current list, on top of the plainest. "
        "The number in a name says how strongly the plastic bends light."
    )
    return Table(
        _("Your lenses in every material we offer"),
        (_("Material"), _("Thickest"), _("Weight"), _("Price")),
        rows,
        note,
    )


def _in_order(pair: Pair) -> list[InMaterial]:
    return sorted((pair.chosen, *pair.others), key=lambda made: made.material.index_at_587_6_nm)


def _material_row(pair: Pair, made: InMaterial, place: Place) -> tuple[str, ...]:
    return _row_name(pair, made), mm(made.thickest_mm), grams(made.weight_g), _price_words(pair, made, place)


def _row_name(pair: Pair, made: InMaterial) -> str:
    name = material_name(made)
    return _("{name} (yours)", name=name) if made is pair.chosen else name


def _price_words(pair: Pair, made: InMaterial, place: Place) -> str:
    price = listed_price(pair, made)
    if price is None:
        return _("not on our list")
    return place.money_change(price) if price else _("included")


def _section_figure(pair: Pair) -> Figure:
    eye = pair.thicker_eye
    shown = _shown(pair)
    ends = [level_ends_mm(pair, eye, made) for made in shown]
    rows = tuple(_section_row(pair, eye, made, *both) for made, both in zip(shown, ends, strict=True))
    drawn = [_thickest_drawn(eye, *one) for one in zip(shown, ends, strict=True)]
    finding = _section_finding(eye, drawn[shown.index(pair.chosen)], drawn)
    table = Table(
        _("{lens}, cut level", lens=your_lens_first(eye.side)),
        (_("Material"), _("Outer end"), _("At the center"), _("Nose end")),
        tuple((row.label, row.outer_label, row.middle_label, row.nose_label) for row in rows),
    )
    return Figure(
        finding=finding,
        measure=_("Your lens cut level and seen from above, its front at the top; true size on paper."),
        drawing=SectionDrawing(finding, _section_words(rows), rows, "50 mm", _("nose"), _("outer side")),
        table=table,
        note=_("Hold a ruler to the 50 mm line on paper. If it is not 50 mm, set your printer to 100 %."),
    )


def _section_finding(eye: Eye, most: Decimal, of_all: list[Decimal]) -> str:
    """Say how thick the drawn cut is at most, and how much more that of another shown material, as printed."""
    more = max(of_all) - most
    lens = your_lens_first(eye.side)
    if more > 0:
        return _(
            "{lens}, cut level: at most {thickness}; others up to {more} more",
            lens=lens,
            thickness=mm(float(most)),
            more=mm(float(more)),
        )
    return _("{lens}, cut level: at most {thickness}", lens=lens, thickness=mm(float(most)))


def _thickest_drawn(eye: Eye, made: InMaterial, ends_mm: tuple[float, float]) -> Decimal:
    """The largest of the three thicknesses that the drawing prints [mm]."""
    return rounded(max(*ends_mm, made.lenses[eye.side].lens.centre_mm), 1)


def _section_words(rows: tuple[SectionRow, ...]) -> str:
    return " ".join(
        _(
            "{material}: {outer} outside, {middle} at the center, {nose} at the nose.",
            material=row.label,
            outer=row.outer_label,
            middle=row.middle_label,
            nose=row.nose_label,
        )
        for row in rows
    )


def _shown(pair: Pair) -> list[InMaterial]:
    """The plainest, the chosen, the thinnest and the one the verdict names, filled up to four, plainest first."""
    ordered = _in_order(pair)
    keep = {id(pair.chosen), id(pair.plainest), id(ordered[-1])}
    named = nearly_as_thin(pair)
    if named is not None:
        keep.add(id(named))
    for made in ordered:
        if len(keep) < _SHOWN:
            keep.add(id(made))
    return [made for made in ordered if id(made) in keep]


def _section_row(pair: Pair, eye: Eye, made: InMaterial, outer_mm: float, nose_mm: float) -> SectionRow:
    section = seen_from_above(_cuts(pair, eye.side)[made.material.key])
    return SectionRow(
        label=_row_name(pair, made),
        is_chosen=made is pair.chosen,
        section=section,
        nose_side="right" if eye.nose_sign < 0 else "left",
        outer_label=mm(outer_mm),
        middle_label=mm(made.lenses[eye.side].lens.centre_mm),
        nose_label=mm(nose_mm),
    )


@lru_cache(maxsize=4)
def _cuts(pair: Pair, side: str) -> dict[str, Section]:
    """The lens of one side cut level in each material, by its key; kept, as page and numbers ask for each."""
    made = (pair.chosen, *pair.others)
    cuts = level_sections([one.lenses[side].lens for one in made])
    return {one.material.key: cut for one, cut in zip(made, cuts, strict=True)}


def level_ends_mm(pair: Pair, eye: Eye, made: InMaterial) -> tuple[float, float]:
    """Thickness where the level cut through the middle ends: at the outer side and at the nose [mm]."""
    cut = _cuts(pair, eye.side)[made.material.key]  # from the viewer's left to the right
    left, right = (cut.back_mm[end] - cut.front_mm[end] for end in (0, -1))
    return (left, right) if eye.nose_sign > 0 else (right, left)


def seen_from_above(section: Section) -> Section:
    """Turn a cut from the frame of someone facing the wearer into that of the wearer, front up: left and right swap."""
    return Section(tuple([-x for x in section.x_mm[::-1]]), section.front_mm[::-1], section.back_mm[::-1])


def measured_centres_text(order: Order) -> str:
    """Say what was measured in the middle of the finished lenses; empty where nothing was."""
    checked = order.checked
    if checked is None:
        return ""
    values = (("right", checked.centre_right_mm), ("left", checked.centre_left_mm))
    found = [f"{of_lens(side)} {mm(value)}" for side, value in values if value is not None]
    if not found:
        return ""
    return _("Measured in the middle of the finished lenses: {figures}.", figures=listed(found)) + " "


def cut_from_round_text(blank_mm: float) -> str:
    r"""Say that the lenses are cut from finished rounds, and what that means for their thickness.

    >>> cut_from_round_text(65.0).split(". ")[0]
    'Your lenses are cut from ready-made round lenses (blanks), 65\xa0mm across'
    """
    return _(
        "Your lenses are cut from ready-made round lenses (blanks), {across} across. "
        "A plus lens is then as thick as that round needs, not only as your frame needs.",
        across=f"{plain(blank_mm, 0)}{NO_BREAK}mm",
    )


def _estimate_notes(pair: Pair) -> list[Note]:
    """Say how far the worked-out thickness may be from the finished lens, and what was left out."""
    texts = [
        _(
            "We work thickness out from your order, before cutting. "
            "The maker's curves can differ, so yours may be up to {off} thicker or thinner.",
            off=mm(ESTIMATE_MM),
        ),
        *_reading_part_texts(pair.order.lenses.design),
    ]
    if pair.order.lenses.blank_mm is not None:
        texts.append(cut_from_round_text(pair.order.lenses.blank_mm))
    if any(eye.ordered.is_balance for eye in pair.eyes):
        texts.append(_("For the balance lens we took the average power of your other eye."))
    measured = measured_centres_text(pair.order).strip()
    notes = [Note(text, label=_("Worked out, not measured") if at == 0 else "") for at, text in enumerate(texts)]
    return [*([Note(measured)] if measured else []), *notes]


def _reading_part_texts(design: str) -> list[str]:
    if design == "progressive":
        return [
            _(
                "The reading part is worked out by the general law for progressives, "
                "as makers keep theirs to themselves. "
                "Yours may be up to {thinner} thinner in the middle.",
                thinner=mm(PROGRESSIVE_THINNER_MM),
            )
        ]
    return [_("The reading window is left out.")] if design == "bifocal" else []
