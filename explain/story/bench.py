"""Bench: what a workshop needs to lay a pair out, cut it and check it, in the shop's own English, on one sheet."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct
from msgspec.structs import replace

from explain.optics.boxing import effective_diameter_mm, frame_pd_mm
from explain.optics.lens import EdgePoint, Lens, edge_at_equal_angles
from explain.optics.power import minus_cylinder_form
from explain.optics.progressive import MARKS_APART_MM, MARKS_BELOW_MM, engraved_marks_mm, is_inside
from explain.optics.window import window_shape
from explain.order.model import EyePrescription
from explain.story.bench_drawing import BenchDrawing, BenchMark, BenchPlace
from explain.story.blocks import Table
from explain.story.keep_sheet import front_curve_row, height_label, lenses_text, line_form
from explain.story.limits import CheckRow, check_rows
from explain.story.pair import Eye, Pair
from explain.story.sides import eye_name, lens_name
from explain.story.true_size import cross_to_nose_side_mm, height_given, is_progressive
from explain.story.verdict import material_name
from explain.story.window import window_of
from explain.story.wording import mm, plain, rounded

PLACES = 8
WIDEST_DRAWN_MM = 92.0
"""Room for one of the two lenses on a sheet of A4 or Letter; a wider blank is not drawn, only told."""

_FIGURES_MM = 7.0
"""Room for the figures of thickness beyond the edge."""


class BenchSheet(Struct, frozen=True):
    """The whole sheet. marks: what the lens drawings show beside the outline, in words."""

    number: str
    ordered_on: str
    frame: str
    lenses: str
    drawings: tuple[BenchDrawing, ...]
    marks: str
    layout: Table
    thickness: Table
    checks: tuple[CheckRow, ...]


def bench_sheet(pair: Pair) -> BenchSheet:
    """Fill the sheet of one worked-out pair. It names nobody: the order number only."""
    order, frame = pair.order, pair.order.frame
    name = f"{frame.name}, {frame.colour}" if frame.colour else frame.name
    size = f"lens {mm(frame.lens_width_mm)} wide, {mm(frame.depth_mm)} deep, bridge {mm(frame.bridge_mm)}"
    middles = mm(frame_pd_mm(frame.lens_width_mm, frame.bridge_mm))
    drawings = tuple(bench_drawing(pair, eye) for eye in pair.eyes)
    return BenchSheet(
        number=order.number,
        ordered_on=order.ordered_on.isoformat(),
        frame=f"{name}: {size}, box centers {middles} apart",
        lenses=f"{lenses_text(order)}; {material_name(pair.chosen)}",
        drawings=drawings,
        marks=_marks_text(pair, drawings),
        layout=_layout(pair),
        thickness=_thickness(pair),
        checks=check_rows(pair),
    )


def bench_drawing(pair: Pair, eye: Eye) -> BenchDrawing:
    """One lens from the front at true size: outline, box, datum line, cross, marks, blank and thickness."""
    lens, power = pair.chosen.lenses[eye.side].lens, minus_cylinder_form(eye.made)
    window = window_of(pair, eye) if pair.order.lenses.design == "bifocal" and eye.ordered.add_dpt else None
    title = f"{lens_name(eye.side)} from the front"
    return BenchDrawing(
        title=title,
        description=f"{title}, at true size. The figures at the edge are its thickness in mm.",
        outline=eye.outline,
        cross=eye.reference_point,
        axis_deg=power.axis_deg if rounded(power.cylinder_dpt, 2) else None,
        blank_mm=eye.smallest_blank_mm if eye.smallest_blank_mm <= WIDEST_DRAWN_MM else None,
        marks=_marks(eye) if is_progressive(pair) and eye.ordered.add_dpt else (),
        window=() if window is None else window_shape(window.top),
        places=tuple(BenchPlace(one.point, plain(one.thickness_mm, 1)) for one in _edge_at_places(lens)),
        nose_side="right" if eye.nose_sign > 0 else "left",
        above_mm=max(_above_mm(one, 1) for one in pair.eyes),
        below_mm=max(_above_mm(one, -1) for one in pair.eyes),
    )


@lru_cache(maxsize=4)
def _edge_at_places(lens: Lens) -> tuple[EdgePoint, ...]:
    """The edge at the places of the sheet; kept, as the drawing and the table both have it."""
    return tuple(edge_at_equal_angles(lens, PLACES))


def _above_mm(eye: Eye, sign: int) -> float:
    """Room over (sign 1) or under (-1) the middle of the box for blank, outline and figures of one lens [mm]."""
    half = eye.smallest_blank_mm / 2 if eye.smallest_blank_mm <= WIDEST_DRAWN_MM else 0.0
    return max(max(sign * y for _, y in eye.outline) + _FIGURES_MM, sign * eye.reference_point[1] + half + 1)


def _marks(eye: Eye) -> tuple[BenchMark, ...]:
    lens, (right, up) = eye.sketch, eye.reference_point
    return tuple(
        BenchMark((x + right, y + up), is_inside=is_inside(lens.outline, (x, y))) for x, y in engraved_marks_mm(lens)
    )


def _marks_text(pair: Pair, drawings: tuple[BenchDrawing, ...]) -> str:
    """Say what is drawn, and of the engraved marks what the frame cuts away."""
    said = ["Solid: outline. Fine: box with its middle lines; the level one is the datum line. Dashed: smallest blank."]
    if any(drawing.axis_deg is not None for drawing in drawings):
        said.append("Dash-dot: cylinder axis, minus form.")
    if not is_progressive(pair):
        return " ".join([*said, "Cross: optical center."])
    apart, below = plain(MARKS_APART_MM, 0), plain(MARKS_BELOW_MM, 0)
    said.append(f"Cross: fitting cross. Small circles: engraved marks, {apart} mm apart, {below} mm below it (usual).")
    cut = [
        f"{name} mark of the {eye.side} lens"
        for eye in pair.eyes
        if eye.ordered.add_dpt
        for name, mark in zip(("inner", "outer"), _marks(eye), strict=True)
        if not mark.is_inside
    ]
    return " ".join([*said, *([f"Cut away by this frame: {', '.join(cut)}."] if cut else [])])


def _layout(pair: Pair) -> Table:
    eyes, order = pair.eyes, pair.order
    rows: list[tuple[str, ...]] = [("Ordered", *(line_form(replace(eye.ordered, prisms=())) for eye in eyes))]
    if order.lenses.design == "reading":
        rows.append(("Power made", *(line_form(EyePrescription("", eye.made)) for eye in eyes)))
    rows += [
        ("Prism", *(prisms_text(eye) for eye in eyes)),
        ("Pupil to middle of nose", *(mm(eye.pd_mm) for eye in eyes)),
        (height_label(pair), *(mm(_height_mm(pair, eye)) for eye in eyes)),
        ("Decentration from the box center", *(decentration_text(eye) for eye in eyes)),
        ("Cross to the nose side of the box", *(mm(cross_to_nose_side_mm(eye)) for eye in eyes)),
        ("Smallest blank, 2 mm for cutting included", *(mm(eye.smallest_blank_mm) for eye in eyes)),
        ("Effective diameter", *(mm(effective_diameter_mm(eye.outline)) for eye in eyes)),
        front_curve_row(pair),
    ]
    if order.lenses.blank_mm is not None:
        rows.append(("Cut from a finished round of", *(mm(order.lenses.blank_mm) for _ in eyes)))
    return Table("Layout", ("What", *(eye_name(eye.side) for eye in eyes)), tuple(rows))


def prisms_text(eye: Eye) -> str:
    """Say the ordered prism of one lens in prism diopters, and where its base lies."""
    return ", ".join(f"{plain(one.amount_prism_dpt, 2)} base {one.base}" for one in eye.ordered.prisms) or "none"


def _height_mm(pair: Pair, eye: Eye) -> float:
    height = height_given(pair, eye)
    return eye.height_mm if height is None else height


def decentration_text(eye: Eye) -> str:
    """Say which way and how far the cross lies from the middle of the lens box."""
    inwards, up = eye.nose_sign * eye.reference_point[0], eye.reference_point[1]
    return f"{_way(inwards, 'in', 'out')}, {_way(up, 'up', 'down')}"


def _way(value: float, above: str, below: str) -> str:
    if not rounded(value, 1):
        return f"{mm(0.0)} {above}"
    return f"{mm(abs(value))} {above if value > 0 else below}"


def _thickness(pair: Pair) -> Table:
    """Thickness in the middle and at eight places of the edge, by the angle about the box center [mm]."""
    columns = ("Lens, mm", "center", *(f"{360 * at // PLACES}°" for at in range(PLACES)), "thickest")
    rows = []
    for eye in pair.eyes:
        made = pair.chosen.lenses[eye.side]
        edge = (plain(one.thickness_mm, 1) for one in _edge_at_places(made.lens))
        rows.append((eye_name(eye.side), plain(made.lens.centre_mm, 1), *edge, plain(made.thickest_mm, 1)))
    note = "Angles run counter-clockwise from your right, facing the wearer. Worked out; a maker's own curves differ."
    return Table("Thickness", columns, tuple(rows), note)
