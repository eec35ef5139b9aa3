"""Keep sheet: every figure another optician needs to repeat the pair or to make new lenses for its frame."""

from __future__ import annotations

from explain.facts import option
from explain.optics.surfaces import TOOL_INDEX
from explain.order.model import Checked, EyePrescription, Order
from explain.story.blocks import Block, Note, Table
from explain.story.pair import Eye, Pair
from explain.story.prescription import prism_text, side_name
from explain.story.true_size import RULERS_NOTE, cross_name, height_given, lenses_to_keep
from explain.story.wearing import frame_size_text
from explain.story.wording import Place, degrees, dioptres, inside_sentence, listed, mm, plain, rounded, sentence_case

NOT_MEASURED = "not measured"


def sheet_blocks(pair: Pair, place: Place) -> list[Block]:
    """The sheet: the pair, each lens, and both lenses at true size; one sheet of paper holds it."""
    return [
        Table("For any optician", ("What", "Figure"), pair_rows(pair, place)),
        Table("Each lens", ("What", *(side_name(eye.side) for eye in pair.eyes)), lens_rows(pair)),
        *lenses_to_keep(pair),
        Note(RULERS_NOTE),
    ]


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


def pair_rows(pair: Pair, place: Place) -> tuple[tuple[str, str], ...]:
    """What both lenses share: the order, the frame, kind, material and layers of the lenses."""
    order, frame, material = pair.order, pair.order.frame, pair.chosen.material
    name = f"{frame.name}, {frame.colour}" if frame.colour else frame.name
    return (
        ("Order", f"{order.number}, {place.day(order.ordered_on)}{_measured_on(order, place)}"),
        ("Shop", f"{pair.shop.name}, {pair.shop.phone}"),
        ("Frame", f"{name}: {frame_size_text(order)}"),
        ("Lenses", lenses_text(order)),
        ("Material", f"{material.name} (index at 587.6 nm: {plain(material.index_at_587_6_nm, 3)})"),
    )


def _measured_on(order: Order, place: Place) -> str:
    on = order.checked.on if order.checked else None
    return f"; measured {place.day(on)}" if on else ""


def lenses_text(order: Order) -> str:
    """Name the kind of lens, its layers and its tint."""
    kind = option(order.lenses.design).name
    layers = listed([inside_sentence(option(key).name) for key in order.lenses.add_ons])
    tint = order.lenses.tint
    dark = f", {tint.colour} tint of category {tint.category}" if tint else ""
    return f"{kind}, with {layers}{dark}" if layers else f"{kind}, no layer{dark}"


def lens_rows(pair: Pair) -> tuple[tuple[str, ...], ...]:
    """One row a figure, with a cell for each lens; what was measured stands beside what was ordered."""
    order, checked = pair.order, pair.order.checked
    rows = [("Ordered", *(line_form(eye.ordered) for eye in pair.eyes))]
    if order.lenses.design == "reading":
        rows.append(("Power made", *(line_form(EyePrescription("", eye.made)) for eye in pair.eyes)))
    rows.append(("Measured", *(measured_power(checked, eye.side) for eye in pair.eyes)))
    rows.append(("Pupil to middle of nose", *_both(tuple(eye.pd_mm for eye in pair.eyes), "pd", pair)))
    rows.append((height_label(pair), *_both(tuple(_height_mm(pair, eye) for eye in pair.eyes), "height", pair)))
    rows.append(front_curve_row(pair))
    return (*rows, *_centre_row(pair))


def height_label(pair: Pair) -> str:
    """Name the height of the sheet, and say where it was assumed."""
    design = pair.order.lenses.design
    if design == "bifocal" and height_given(pair, pair.eyes[0]) is not None:
        return "Height of the line"
    name = sentence_case(f"{cross_name(pair)} above the lowest point")
    return name if any(height_given(pair, eye) is not None for eye in pair.eyes) else f"{name}, assumed"


def _height_mm(pair: Pair, eye: Eye) -> float:
    """Height that was ordered; the one we took where there is none [mm]."""
    height = height_given(pair, eye)
    return eye.height_mm if height is None else height


def measured_power(checked: Checked | None, side: str) -> str:
    """Write what the lensmeter showed of one lens."""
    power = getattr(checked, side, None)
    if checked is None or power is None:
        return NOT_MEASURED
    add, prisms = getattr(checked, f"add_{side}_dpt"), getattr(checked, f"{side}_prisms")
    return line_form(EyePrescription("", power, prisms, add))


def front_curve_row(pair: Pair) -> tuple[str, ...]:
    """The front curve: ordered, or worked out by a rule that the maker need not follow."""
    ordered = pair.order.lenses.base_curve_dpt
    if ordered is not None:
        return ("Front curve on the 1.530 scale, ordered", *(plain(ordered, 2) for _ in pair.eyes))
    curves = (1000 * (TOOL_INDEX - 1) * pair.chosen.lenses[eye.side].lens.front_per_mm for eye in pair.eyes)
    return ("Front curve on the 1.530 scale, worked out", *(plain(curve, 2) for curve in curves))


def _both(ordered: tuple[float, ...], quantity: str, pair: Pair) -> list[str]:
    """What was ordered for each lens, and what was measured on it."""
    return [
        mm(value) if found is None else f"{mm(value)}, measured {mm(found)}"
        for value, found in zip(ordered, _measured_mm(quantity, pair), strict=True)
    ]


def _measured_mm(quantity: str, pair: Pair) -> list[float | None]:
    return [getattr(pair.order.checked, f"{quantity}_{eye.side}_mm", None) for eye in pair.eyes]


def _centre_row(pair: Pair) -> list[tuple[str, ...]]:
    """Thickness in the middle; none where nothing was measured."""
    found = _measured_mm("centre", pair)
    if all(value is None for value in found):
        return []
    return [("Center thickness, measured", *(NOT_MEASURED if value is None else mm(value) for value in found))]
