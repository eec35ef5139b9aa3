"""How thick and heavy the lenses are, against what else the customer could have had."""

from __future__ import annotations

from explain.optics.lens import EdgePoint, Section, edge_by_angle, level_section
from explain.order.model import Order
from explain.story.blocks import Block, Figure, Heading, Note, Paragraph, Table
from explain.story.blocks import Section as PageSection
from explain.story.drawings import EdgeDrawing, EdgeLine, SectionDrawing, SectionRow
from explain.story.pair import Eye, InMaterial, Pair
from explain.story.verdict import listed_price, verdict_texts
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
_SLIGHTLY, _CLEARLY = 0.15, 0.5
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
        Heading("Did the material pay?"),
        *(Paragraph(text) for text in verdict_texts(pair, place)),
        *([changed] if changed else []),
        _materials_table(pair, place),
        _edge_figure(pair),
        *_estimate_notes(pair),
    ]
    return PageSection("thickness", "How thick and heavy your lenses are", "Thickness and weight", tuple(blocks))


def lens_texts(pair: Pair) -> list[str]:
    """Say how thin and how thick each lens is; once for both where nobody could tell a difference."""
    lenses = [pair.chosen.lenses[eye.side] for eye in pair.eyes]
    thin = min(lens.thinnest_mm for lens in lenses)
    thick = max(lens.thickest_mm for lens in lenses)
    if len(lenses) > 1 and thick - thin < _EVEN_MM:
        return [f"Both lenses are about {inches_and_cards(thick)}, all over."]
    return [lens_text(pair, eye) for eye in pair.eyes]


def lens_text(pair: Pair, eye: Eye) -> str:
    """Say how thin and how thick one lens is, and where."""
    lens = pair.chosen.lenses[eye.side]
    edge, centre = lens.thickest_edge, lens.lens.centre_mm
    thin = lens.thinnest_mm
    if lens.thickest_mm - thin < _EVEN_MM:
        return f"Your {eye.side} lens is about {inches_and_cards(lens.thickest_mm)}, all over."
    start = f"Your {eye.side} lens is {mm(thin)} at its thinnest and {length(lens.thickest_mm)} at its thickest."
    if lens.thickest_mm > max(centre, edge.thickness_mm) + _SAME_MM:
        return f"{start} Prism moves the thickest place off the middle: {bank_cards(lens.thickest_mm)}."
    if centre >= edge.thickness_mm:
        return f"{start} It is thickest in the middle: {bank_cards(centre)}."
    return f"{start} It is thickest at the {place_words(edge, eye, pair)}: {bank_cards(edge.thickness_mm)}."


def length(value_mm: float) -> str:
    """Give a thickness, with inches where a ruler shows them."""
    return mm_with_inches(value_mm) if value_mm >= _RULER_MM else mm(value_mm)


def inches_and_cards(value_mm: float) -> str:
    """Give a thickness and a comparison anyone can fetch from a wallet."""
    return f"{length(value_mm)}, {bank_cards(value_mm)}"


def weight_text(pair: Pair) -> str:
    """Say what the lenses weigh."""
    count = len(pair.eyes)
    lenses = "Your lens weighs" if count == 1 else "Your 2 lenses weigh"
    return f"{lenses} {grams_with_ounces(pair.chosen.weight_g)} in all. The frame comes on top of that."


def place_words(edge: EdgePoint, eye: Eye, pair: Pair) -> str:
    """Say where a point of the edge lies on the face, such as "outer side, slightly above the middle"."""
    across = -eye.nose_sign * edge.point[0] / (pair.order.frame.lens_width_mm / 2)
    up = edge.point[1] / (pair.order.frame.depth_mm / 2)
    return edge_place(across, up)


def edge_place(outwards: float, upwards: float) -> str:
    """Name a place on the edge from its share of the way outwards and upwards, -1 to 1 each.

    >>> edge_place(0.95, 0.3), edge_place(-0.99, 0.0), edge_place(0.2, -0.9)
    ('outer side, slightly above the middle', 'nose side', 'bottom, slightly toward the outer side')
    """
    if abs(outwards) >= abs(upwards):
        main, rest = ("outer side" if outwards > 0 else "nose side"), upwards
        turned = "above the middle" if rest > 0 else "below the middle"
    else:
        main, rest = ("top" if upwards > 0 else "bottom"), outwards
        turned = "toward the outer side" if rest > 0 else "toward the nose"
    if abs(rest) < _SLIGHTLY:
        return main
    return f"{main}, {'slightly' if abs(rest) < _CLEARLY else 'well'} {turned}"


def _materials_table(pair: Pair, place: Place) -> Table:
    rows = tuple(_material_row(pair, made, place) for made in _in_order(pair))
    note = (
        "Weight is for both lenses. Prices are from our current list, on top of the plainest. "
        "The number in a name says how strongly the plastic bends light."
    )
    return Table(
        "Your lenses in every material we offer",
        ("Material", "Thickest", "Weight", "Price"),
        rows,
        note,
    )


def _in_order(pair: Pair) -> list[InMaterial]:
    return sorted((pair.chosen, *pair.others), key=lambda made: made.material.index_at_587_6_nm)


def _material_row(pair: Pair, made: InMaterial, place: Place) -> tuple[str, ...]:
    name = made.material.name
    mine = made is pair.chosen
    price = listed_price(pair, made)
    return (
        f"{name} (yours)" if mine else name,
        mm(made.thickest_mm),
        grams(made.weight_g),
        "included" if price == 0 else "not on our list" if price is None else place.money_change(price),
    )


def _section_figure(pair: Pair) -> Figure:
    eye = pair.thicker_eye
    shown = _shown(pair)
    rows = tuple(_section_row(pair, eye, made) for made in shown)
    saved = max(made.lenses[eye.side].thickest_mm for made in shown) - pair.chosen.lenses[eye.side].thickest_mm
    finding = f"Your {eye.side} lens is at most {mm(pair.chosen.lenses[eye.side].thickest_mm)}"
    if rounded(saved, 1) > 0:
        finding += f"; other materials add up to {mm(saved)}"
    table = Table(
        f"Your {eye.side} lens, cut level",
        ("Material", "Outer end", "At the center", "Nose end"),
        tuple((row.label, row.outer_label, row.middle_label, row.nose_label) for row in rows),
    )
    spoken = " ".join(
        f"{row.label}: {row.outer_label} outside, {row.middle_label} at the center, {row.nose_label} at the nose."
        for row in rows
    )
    return Figure(
        finding=finding,
        measure="Your lens cut level and seen from above, its front at the top; true size on paper.",
        drawing=SectionDrawing(finding, spoken, rows, "50 mm", "nose", "outer side"),
        table=table,
        note="Hold a ruler to the 50 mm line on paper. If it is not 50 mm, set your printer to 100 %.",
    )


def _shown(pair: Pair) -> list[InMaterial]:
    """The plainest, the chosen and the thinnest, filled up to four in between, plainest first."""
    ordered = _in_order(pair)
    keep = {id(pair.chosen), id(pair.plainest), id(ordered[-1])}
    for made in ordered:
        if len(keep) < _SHOWN:
            keep.add(id(made))
    return [made for made in ordered if id(made) in keep]


def _section_row(pair: Pair, eye: Eye, made: InMaterial) -> SectionRow:
    section = seen_from_above(level_section(made.lenses[eye.side].lens))
    outer_mm, nose_mm = level_ends_mm(eye, made)
    mine = made is pair.chosen
    name = made.material.name
    return SectionRow(
        label=f"{name} (yours)" if mine else name,
        is_chosen=mine,
        section=section,
        nose_side="right" if eye.nose_sign < 0 else "left",
        outer_label=mm(outer_mm),
        middle_label=mm(made.lenses[eye.side].lens.centre_mm),
        nose_label=mm(nose_mm),
    )


def level_ends_mm(eye: Eye, made: InMaterial) -> tuple[float, float]:
    """Thickness where the level cut through the middle ends: at the outer side and at the nose [mm]."""
    cut = level_section(made.lenses[eye.side].lens)  # from the viewer's left to the right
    left, right = (cut.back_mm[end] - cut.front_mm[end] for end in (0, -1))
    return (left, right) if eye.nose_sign > 0 else (right, left)


def seen_from_above(section: Section) -> Section:
    """Turn a cut from the frame of someone facing the wearer into that of the wearer, front up: left and right swap."""
    return Section(
        tuple(-x for x in reversed(section.x_mm)),
        tuple(reversed(section.front_mm)),
        tuple(reversed(section.back_mm)),
    )


def _edge_figure(pair: Pair) -> Figure:
    lines = tuple(_edge_line(pair, eye) for eye in pair.eyes)
    thickest = max(pair.chosen.lenses[eye.side].thickest_edge.thickness_mm for eye in pair.eyes)
    thinnest = min(pair.chosen.lenses[eye.side].thinnest_edge.thickness_mm for eye in pair.eyes)
    edges = "edge is" if len(lines) == 1 else "edges are"
    finding = f"Your {edges} {plain(thinnest, 1)} to {mm(thickest)} thick"
    table = Table(
        "Thickness at places of the edge",
        ("Place", *(line.label for line in lines)),
        _edge_rows(lines),
    )
    spoken = " ".join(f"{row[0]}: {' and '.join(row[1:])}." for row in table.rows)
    words = ("nose", "top", "outer", "bottom", "nose")
    return Figure(
        finding=finding,
        measure="Thickness in millimeters, once round the edge.",
        drawing=EdgeDrawing(finding, spoken, lines, words, "mm"),
        table=table,
    )


def _edge_line(pair: Pair, eye: Eye) -> EdgeLine:
    """Thickness by angle from the nose over the top, the same way round for both eyes."""
    points = edge_by_angle(pair.chosen.lenses[eye.side].lens)
    turned = [((p.angle_deg if eye.nose_sign > 0 else (180 - p.angle_deg)) % 360, p.thickness_mm) for p in points]
    return EdgeLine(f"{eye.side.capitalize()} lens", tuple(sorted(turned)))


def _edge_rows(lines: tuple[EdgeLine, ...]) -> tuple[tuple[str, ...], ...]:
    places = (("Nose side", 0), ("Top", 90), ("Outer side", 180), ("Bottom", 270))
    rows = [("Thinnest", *(mm(min(t for _, t in line.points)) for line in lines))]
    rows += [(name, *(mm(_at(line, angle)) for line in lines)) for name, angle in places]
    rows.append(("Thickest", *(mm(max(t for _, t in line.points)) for line in lines)))
    return tuple(rows)


def _at(line: EdgeLine, angle: float) -> float:
    return min(line.points, key=lambda p: abs((p[0] - angle + 180) % 360 - 180))[1]


def measured_centres_text(order: Order) -> str:
    """Say what was measured in the middle of the finished lenses; empty where nothing was."""
    checked = order.checked
    if checked is None:
        return ""
    values = (("right", checked.centre_right_mm), ("left", checked.centre_left_mm))
    found = [f"{side} {mm(value)}" for side, value in values if value is not None]
    return f"Measured in the middle of the finished lenses: {listed(found)}. " if found else ""


def cut_from_round_text(blank_mm: float) -> str:
    r"""Say that the lenses are cut from finished rounds, and what that means for their thickness.

    >>> cut_from_round_text(65.0).split(". ")[0]
    'Your lenses are cut from ready-made round lenses (blanks), 65\xa0mm across'
    """
    across = f"{plain(blank_mm, 0)}{NO_BREAK}mm"
    return (
        f"Your lenses are cut from ready-made round lenses (blanks), {across} across. "
        "A plus lens is then as thick as that round needs, not only as your frame needs."
    )


def _estimate_notes(pair: Pair) -> list[Note]:
    """Say how far the worked-out thickness may be from the finished lens, and what was left out."""
    design = pair.order.lenses.design
    may_be = f"The maker's curves can differ, so yours may be up to {mm(ESTIMATE_MM)} thicker or thinner."
    texts = [f"We work thickness out from your order, before cutting. {may_be}"]
    if design == "progressive":
        texts.append(
            "The reading part is worked out by the general law for progressives, as makers keep theirs to themselves. "
            f"Yours may be up to {mm(PROGRESSIVE_THINNER_MM)} thinner in the middle."
        )
    if design == "bifocal":
        texts.append("The reading window is left out.")
    if pair.order.lenses.blank_mm is not None:
        texts.append(cut_from_round_text(pair.order.lenses.blank_mm))
    if any(eye.ordered.is_balance for eye in pair.eyes):
        texts.append("For the balance lens we took the average power of your other eye.")
    measured = measured_centres_text(pair.order).strip()
    notes = [Note(text, label="Worked out, not measured" if at == 0 else "") for at, text in enumerate(texts)]
    return [*([Note(measured)] if measured else []), *notes]
