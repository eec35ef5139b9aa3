"""How thick and heavy the lenses are, against what else the customer could have had."""

from __future__ import annotations

from decimal import Decimal

from explain.facts import data_file
from explain.optics.lens import EdgePoint, Section, edge_by_angle, level_section
from explain.story.blocks import Block, Figure, Note, Paragraph, Table
from explain.story.blocks import Section as PageSection
from explain.story.drawings import EdgeDrawing, EdgeLine, SectionDrawing, SectionRow
from explain.story.pair import Eye, EyeLens, InMaterial, Pair
from explain.story.wording import (
    Place,
    bank_cards,
    grams,
    grams_with_ounces,
    inside_sentence,
    mm,
    mm_with_inches,
    plain,
    rounded,
    sentence_case,
)

ESTIMATE_MM = 0.4
"""How far a finished lens may be from our figure [mm]: one laboratory's own pair differs by up to 0.30 mm
(tests/outside/test_laboratory_order.py); rounded up."""
_SLIGHTLY, _CLEARLY = 0.15, 0.5
_SHOWN = 4
_EVEN_MM = 0.3


def thickness_section(pair: Pair, place: Place) -> PageSection:
    """Part 4 of the page."""
    blocks: list[Block] = [Paragraph(text) for text in lens_texts(pair)]
    blocks += [
        Paragraph(weight_text(pair)),
        _section_figure(pair),
        Paragraph(verdict_text(pair, place), lead="Was the material worth it?"),
        _materials_table(pair, place),
        _edge_figure(pair),
        Note(_estimate_text(pair), label="Worked out, not measured"),
    ]
    return PageSection("thickness", "How thick and heavy your lenses are", "Thickness and weight", tuple(blocks))


def lens_texts(pair: Pair) -> list[str]:
    """Say how thin and how thick each lens is; once for both where nobody could tell a difference."""
    lenses = [pair.chosen.lenses[eye.side] for eye in pair.eyes]
    thin = min(_thinnest_mm(lens) for lens in lenses)
    thick = max(lens.thickest_mm for lens in lenses)
    if len(lenses) > 1 and thick - thin < _EVEN_MM:
        return [f"Both lenses are about {mm_with_inches(thick)} thick all over, {bank_cards(thick)}."]
    return [lens_text(pair, eye) for eye in pair.eyes]


def _thinnest_mm(lens: EyeLens) -> float:
    return min(lens.lens.centre_mm, lens.thinnest_edge.thickness_mm)


def lens_text(pair: Pair, eye: Eye) -> str:
    """Say how thin and how thick one lens is, and where."""
    lens = pair.chosen.lenses[eye.side]
    edge, centre = lens.thickest_edge, lens.lens.centre_mm
    thin = _thinnest_mm(lens)
    if lens.thickest_mm - thin < _EVEN_MM:
        return f"Your {eye.side} lens is about {inches_and_cards(lens.thickest_mm)}, all over."
    start = f"Your {eye.side} lens is {mm(thin)} at its thinnest and {mm(lens.thickest_mm)} at its thickest."
    if centre >= edge.thickness_mm:
        return f"{start} It is thickest in the middle: {inches_and_cards(centre)}."
    where = place_words(edge, eye, pair)
    return f"{start} It is thickest at the {where}: {inches_and_cards(edge.thickness_mm)}."


def inches_and_cards(value_mm: float) -> str:
    """Give a thickness with its inches and a comparison anyone can fetch from a wallet."""
    return f"{mm_with_inches(value_mm)}, {bank_cards(value_mm)}"


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


def band_words(name: str, saved: float) -> str:
    """Find the words for a difference in data/verdicts.yaml."""
    words: str = next(row["words"] for row in data_file("verdicts")[name] if saved < row["below"])
    return words


def verdict_text(pair: Pair, place: Place) -> str:
    """Say whether the chosen material changed anything anyone would notice."""
    chosen, plainest = pair.chosen, pair.plainest
    if chosen.material.key == plainest.material.key:
        return _plainest_text(pair, place)
    saved_mm = plainest.thickest_mm - chosen.thickest_mm
    saved_g = plainest.weight_g - chosen.weight_g
    price = paid_for(pair, chosen.material.key)
    cost = f" It cost {place.money(price)}." if price else ""
    if rounded(saved_mm, 1) <= 0:
        plain_name = inside_sentence(plainest.material.name)
        start = f"In this material your lenses come out no thinner than in {plain_name}.{cost}"
        return f"{start} {_why_it_can_still_be_right(pair)}".strip()
    words = band_words("thickness_saved_mm", saved_mm)
    sentences = (
        f"Against {inside_sentence(plainest.material.name)}, it saves {mm(saved_mm)} at the thickest place.",
        f"That is {words}.{cost}",
        _weight_saved_text(saved_g),
        _nearly_as_thin_text(pair, place),
        _why_it_can_still_be_right(pair),
    )
    return " ".join(sentence for sentence in sentences if sentence)


def _nearly_as_thin_text(pair: Pair, place: Place) -> str:
    """Name the cheapest material that comes so close that nobody would see the difference, if there is one."""
    mine = price_today(pair, pair.chosen)
    least = data_file("verdicts")["thickness_saved_mm"][0]["below"]
    close = [
        other
        for other in pair.others
        if price_today(pair, other) < mine
        and other is not pair.plainest
        and other.thickest_mm - pair.chosen.thickest_mm < least
    ]
    if not close:
        return ""
    other = min(close, key=lambda made: price_today(pair, made))
    more = other.thickest_mm - pair.chosen.thickest_mm
    name, less = sentence_case(other.material.name), place.money(mine - price_today(pair, other))
    if rounded(more, 1) <= 0:
        return f"{name} would be no thicker and costs {less} less."
    return f"{name} would be only {mm(more)} thicker and costs {less} less. You would not notice the difference."


def _weight_saved_text(saved_g: float) -> str:
    if rounded(saved_g, 0) < 0:
        return f"The lenses are {grams(-saved_g)} heavier."
    if rounded(saved_g, 0) == 0:
        return "The weight is the same within half a gram."
    return f"It saves {grams(saved_g)}: {band_words('weight_saved_g', saved_g)}."


def _why_it_can_still_be_right(pair: Pair) -> str:
    if pair.chosen.material.key in {"polycarbonate-1.59", "urethane-1.53"}:
        return "People choose it for strength, not for thinness."
    return ""


def _plainest_text(pair: Pair, place: Place) -> str:
    thinner = [other for other in pair.others if other.thickest_mm < pair.chosen.thickest_mm]
    if not thinner:
        return "You have the plainest material, and no other that we offer comes out thinner in this frame."
    best = min(thinner, key=lambda other: other.thickest_mm)
    saved = pair.chosen.thickest_mm - best.thickest_mm
    more = place.money(price_today(pair, best) - price_today(pair, pair.chosen))
    return (
        f"You have the plainest material. {best.material.name}, the thinnest here, would save {mm(saved)} for {more}. "
        f"That is {band_words('thickness_saved_mm', saved)}."
    )


def paid_for(pair: Pair, choice: str) -> Decimal | None:
    """Sum of the bill's lines for one choice, None where the bill has none."""
    amounts = [line.amount for line in pair.order.bill.lines if line.choice == choice]
    return sum(amounts, Decimal(0)) if amounts else None


def price_today(pair: Pair, made: InMaterial) -> Decimal:
    """Today's price of a material, as the shop's difference to its plainest."""
    return next((o.price for o in pair.shop.materials if o.choice == made.material.key), Decimal(0))


def _materials_table(pair: Pair, place: Place) -> Table:
    rows = tuple(_material_row(pair, made, place) for made in _in_order(pair))
    note = "Same frame, same prescription, both lenses together. Prices are today's, on top of the plainest material."
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
    price = price_today(pair, made)
    return (
        f"{name} (yours)" if mine else name,
        mm(made.thickest_mm),
        grams(made.weight_g),
        "included" if price == 0 else place.money_change(price),
    )


def _section_figure(pair: Pair) -> Figure:
    eye = pair.thicker_eye
    shown = _shown(pair)
    rows = tuple(_section_row(pair, eye, made) for made in shown)
    saved = max(made.lenses[eye.side].thickest_mm for made in shown) - pair.chosen.lenses[eye.side].thickest_mm
    finding = f"Your {eye.side} lens is {mm(pair.chosen.lenses[eye.side].thickest_mm)} at its thickest"
    if rounded(saved, 1) > 0:
        finding += f"; the thickest other choice is {mm(saved)} more"
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
    thick = [back - front for front, back in zip(section.front_mm, section.back_mm, strict=True)]
    nose_right = eye.nose_sign < 0
    mine = made is pair.chosen
    name = made.material.name
    return SectionRow(
        label=f"{name} (yours)" if mine else name,
        is_chosen=mine,
        section=section,
        nose_side="right" if nose_right else "left",
        outer_label=mm(thick[0] if nose_right else thick[-1]),
        middle_label=mm(made.lenses[eye.side].lens.centre_mm),
        nose_label=mm(thick[-1] if nose_right else thick[0]),
    )


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
        "Thickness at four places of the edge",
        ("Lens", "Nose side", "Top", "Outer side", "Bottom"),
        tuple(_edge_row(line) for line in lines),
    )
    spoken = " ".join(
        f"{row[0]}: {row[1]} at the nose, {row[2]} at the top, {row[3]} outside, {row[4]} at the bottom."
        for row in table.rows
    )
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


def _edge_row(line: EdgeLine) -> tuple[str, ...]:
    return line.label, *(mm(_at(line, angle)) for angle in (0, 90, 180, 270))


def _at(line: EdgeLine, angle: float) -> float:
    return min(line.points, key=lambda p: abs((p[0] - angle + 180) % 360 - 180))[1]


def _estimate_text(pair: Pair) -> str:
    text = (
        f"We work these out from your order, before cutting. The maker's curves can differ, so yours may be up to "
        f"{mm(ESTIMATE_MM)} thicker or thinner."
    )
    if pair.order.lenses.design == "progressive":
        text += (
            " The reading part is drawn by the general law for such lenses, not from the maker's own surface. "
            "Makers often thin both lenses with a small equal prism, and yours may be thinner still."
        )
    if pair.order.lenses.design == "bifocal":
        text += " The reading window is left out."
    balance = sum(eye.ordered.is_balance for eye in pair.eyes)
    if balance:
        text += " For the balance lens we took the average power of your other eye."
    return text
