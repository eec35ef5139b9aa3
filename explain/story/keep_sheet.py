"""Keep sheet: every figure another optician needs to repeat the pair or to make new lenses for its frame."""

from __future__ import annotations

from explain.facts import option
from explain.language import _, later
from explain.optics.surfaces import TOOL_INDEX
from explain.order.model import Checked, EyePrescription, Order
from explain.story.blocks import Block, Note, Table
from explain.story.pair import Eye, Pair
from explain.story.prescription import prism_text
from explain.story.sides import eye_name
from explain.story.true_size import RULERS_NOTE, height_given, is_progressive, lenses_to_keep
from explain.story.verdict import material_name
from explain.story.wearing import frame_size_text
from explain.story.wording import Place, degrees, dioptres, inside_sentence, listed, mm, plain, rounded

NOT_MEASURED = later("not measured")
WAVELENGTH_NM = 587.6
"""Of the helium line d, at which data/materials.yaml gives each index."""


def sheet_blocks(pair: Pair, place: Place) -> list[Block]:
    """The sheet: the pair, each lens, and both lenses at true size; one sheet of paper holds it."""
    return [
        Table(_("For any optician"), (_("What"), _("Figure")), pair_rows(pair, place)),
        Table(_("Each lens"), (_("What"), *(eye_name(eye.side) for eye in pair.eyes)), lens_rows(pair)),
        *lenses_to_keep(pair),
        Note(_(RULERS_NOTE)),
    ]


def line_form(ordered: EyePrescription) -> str:
    """Write one eye's prescription as an optician would.

    >>> from explain.optics.power import SphereCylinder
    >>> line_form(EyePrescription("", SphereCylinder(-3.25, -0.75, 172)))
    '−3.25 −0.75 x 172'
    """
    if ordered.power is None:
        return _("balance lens")
    text = dioptres(ordered.power.sphere_dpt)
    if rounded(ordered.power.cylinder_dpt, 2):
        cylinder, axis = dioptres(ordered.power.cylinder_dpt), degrees(ordered.power.axis_deg)
        text = _("{sphere} {cylinder} x {axis}", sphere=text, cylinder=cylinder, axis=axis)
    if ordered.prisms:
        text = _("{power}, prism {prism}", power=text, prism=prism_text(ordered))
    if ordered.add_dpt:
        text = _("{power}, add {add}", power=text, add=dioptres(ordered.add_dpt))
    return text


def pair_rows(pair: Pair, place: Place) -> tuple[tuple[str, str], ...]:
    """What both lenses share: the order, the frame, kind, material and layers of the lenses."""
    order, frame = pair.order, pair.order.frame
    name = f"{frame.name}, {frame.colour}" if frame.colour else frame.name
    return (
        (_("Order"), _order_text(order, place)),
        (_("Shop"), f"{pair.shop.name}, {pair.shop.phone}"),
        (_("Frame"), f"{name}: {frame_size_text(order)}"),
        (_("Lenses"), lenses_text(order)),
        (_("Material"), _material_text(pair)),
    )


def _order_text(order: Order, place: Place) -> str:
    """The number of the order, its day, and the day of the check where one is on record."""
    day, on = place.day(order.ordered_on), order.checked.on if order.checked else None
    if on is None:
        return f"{order.number}, {day}"
    return _("{number}, {day}; measured {measured_day}", number=order.number, day=day, measured_day=place.day(on))


def _material_text(pair: Pair) -> str:
    return _(
        "{material} (index at {wavelength} nm: {index})",
        material=material_name(pair.chosen),
        wavelength=plain(WAVELENGTH_NM, 1),
        index=plain(pair.chosen.material.index_at_587_6_nm, 3),
    )


def lenses_text(order: Order) -> str:
    """Name the kind of lens, its layers and its tint."""
    kind, tint = _(option(order.lenses.design).name), order.lenses.tint
    layers = listed([inside_sentence(_(option(key).name)) for key in order.lenses.add_ons])
    if tint is None:
        return (
            _("{lenses}, with {layers}", lenses=kind, layers=layers) if layers else _("{lenses}, no layer", lenses=kind)
        )
    color, category = tint.colour, str(tint.category)
    if not layers:
        return _("{lenses}, no layer, {color} tint of category {category}", lenses=kind, color=color, category=category)
    return _(
        "{lenses}, with {layers}, {color} tint of category {category}",
        lenses=kind,
        layers=layers,
        color=color,
        category=category,
    )


def lens_rows(pair: Pair) -> tuple[tuple[str, ...], ...]:
    """One row a figure, with a cell for each lens; what was measured stands beside what was ordered."""
    order, checked = pair.order, pair.order.checked
    rows = [(_("Ordered"), *(line_form(eye.ordered) for eye in pair.eyes))]
    if order.lenses.design == "reading":
        rows.append((_("Power made"), *(line_form(EyePrescription("", eye.made)) for eye in pair.eyes)))
    rows.append((_("Measured"), *(measured_power(checked, eye.side) for eye in pair.eyes)))
    rows.append((_("Pupil to middle of nose"), *_both(tuple(eye.pd_mm for eye in pair.eyes), "pd", pair)))
    rows.append((height_label(pair), *_both(tuple(_height_mm(pair, eye) for eye in pair.eyes), "height", pair)))
    rows.append(front_curve_row(pair))
    return (*rows, *_centre_row(pair))


def height_label(pair: Pair) -> str:
    """Name the height of the sheet, and say where it was assumed."""
    design = pair.order.lenses.design
    if design == "bifocal" and height_given(pair, pair.eyes[0]) is not None:
        return _("Height of the line")
    if any(height_given(pair, eye) is not None for eye in pair.eyes):
        known = _("Fitting cross above the lowest point"), _("Lens center above the lowest point")
        return known[0] if is_progressive(pair) else known[1]
    if is_progressive(pair):
        return _("Fitting cross above the lowest point, assumed")
    return _("Lens center above the lowest point, assumed")


def _height_mm(pair: Pair, eye: Eye) -> float:
    """Height that was ordered; the one we took where there is none [mm]."""
    height = height_given(pair, eye)
    return eye.height_mm if height is None else height


def measured_power(checked: Checked | None, side: str) -> str:
    """Write what the lensmeter showed of one lens."""
    power = getattr(checked, side, None)
    if checked is None or power is None:
        return _(NOT_MEASURED)
    add, prisms = getattr(checked, f"add_{side}_dpt"), getattr(checked, f"{side}_prisms")
    return line_form(EyePrescription("", power, prisms, add))


def front_curve_row(pair: Pair) -> tuple[str, ...]:
    """The front curve: ordered, or worked out by a rule that the maker need not follow."""
    ordered, scale = pair.order.lenses.base_curve_dpt, plain(TOOL_INDEX, 3)
    if ordered is not None:
        name = _("Front curve on the {index} scale, ordered", index=scale)
        return (name, *(plain(ordered, 2) for eye in pair.eyes))
    curves = (1000 * (TOOL_INDEX - 1) * pair.chosen.lenses[eye.side].lens.front_per_mm for eye in pair.eyes)
    name = _("Front curve on the {index} scale, worked out", index=scale)
    return (name, *(plain(curve, 2) for curve in curves))


def _both(ordered: tuple[float, ...], quantity: str, pair: Pair) -> list[str]:
    """What was ordered for each lens, and what was measured on it."""
    return [
        mm(value) if found is None else _("{ordered}, measured {measured}", ordered=mm(value), measured=mm(found))
        for value, found in zip(ordered, _measured_mm(quantity, pair), strict=True)
    ]


def _measured_mm(quantity: str, pair: Pair) -> list[float | None]:
    return [getattr(pair.order.checked, f"{quantity}_{eye.side}_mm", None) for eye in pair.eyes]


def _centre_row(pair: Pair) -> list[tuple[str, ...]]:
    """Thickness in the middle; none where nothing was measured."""
    found = _measured_mm("centre", pair)
    if all(value is None for value in found):
        return []
    return [(_("Center thickness, measured"), *(_(NOT_MEASURED) if value is None else mm(value) for value in found))]
