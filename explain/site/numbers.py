"""Numbers: every computed figure of a pair as JSON, units in the keys, nothing rounded."""

from __future__ import annotations

import json
from typing import Any

from msgspec.json import format as format_json

from explain.optics.boxing import effective_diameter_mm
from explain.optics.lens import edge_by_angle
from explain.optics.near import farthest_clear_cm, nearest_ready_made_reader
from explain.optics.power import (
    SphereCylinder,
    anisometropia_dpt,
    minus_cylinder_form,
    near_power,
    principal_powers,
    spherical_equivalent_dpt,
    transposed,
)
from explain.optics.prism import vertical_imbalance_prism_dpt
from explain.optics.surfaces import TOOL_INDEX
from explain.order.model import Order
from explain.story.changes import change_numbers
from explain.story.fringes import fringe_prism_dpt
from explain.story.light import light_numbers
from explain.story.pair import VERTEX_MM, Eye, InMaterial, Pair, image_size
from explain.story.reflections import reflection_numbers
from explain.story.sideways import OFF_CENTRE_MM, sideways_numbers
from explain.story.sight import sight_numbers
from explain.story.thickness import level_ends_mm
from explain.story.tints import category_range
from explain.story.true_size import cross_to_nose_side_mm
from explain.story.verify import Comparison, comparisons
from explain.story.where import where_numbers
from explain.story.window import window_numbers
from explain.story.zones import zones_numbers


def numbers_text(pair: Pair) -> str:
    """Write all figures of one pair as JSON text, the same bytes for the same order."""
    written = json.dumps(numbers(pair), ensure_ascii=False)  # its own indent takes five times as long
    return format_json(written, indent=1) + "\n"


def numbers(pair: Pair) -> dict[str, Any]:
    """All figures of one pair. It names nobody: the order number only."""
    order = pair.order
    frame = order.frame
    both = [eye.ordered.power for eye in pair.eyes if eye.ordered.power is not None]
    return {
        "order": order.number,
        "frame": {
            "lens_width_mm": frame.lens_width_mm,
            "bridge_mm": frame.bridge_mm,
            "depth_mm": frame.depth_mm,
            "frame_pd_mm": frame.lens_width_mm + frame.bridge_mm,
        },
        "cut_from_round_mm": order.lenses.blank_mm,
        "pupils_apart_mm": order.fit.pd_right_mm + order.fit.pd_left_mm,
        "reading_distance_cm": pair.reading_cm,
        "vertical_imbalance_10_mm_down_prism_dpt": vertical_imbalance_prism_dpt(both[0], both[1], 10.0)
        if len(both) > 1
        else None,
        "image_sizes_apart_ratio": _sizes_apart(pair),
        "anisometropia_dpt": anisometropia_dpt(both[0], both[1]) if len(both) > 1 else None,
        "eyes": {eye.side: _eye(eye, pair) for eye in pair.eyes},
        "chosen": _material(pair, pair.chosen, outlines=True),
        "chosen_against_plainest": {
            "thinner_mm": pair.plainest.thickest_mm - pair.chosen.thickest_mm,
            "lighter_g": pair.plainest.weight_g - pair.chosen.weight_g,
        },
        "others": [_material(pair, made, outlines=False) for made in pair.others],
        "reflections": reflection_numbers(pair),
        "without_lenses": sight_numbers(pair),
        "away_from_the_middle": {} if order.lenses.design == "plano" else sideways_numbers(pair),
        "progressive": zones_numbers(pair),
        "bifocal": window_numbers(pair),
        "changed_from_old_pair": change_numbers(order),
        "uses": where_numbers(pair),
        "light_reactive": light_numbers() if "light-reactive" in order.lenses.add_ons else {},
        "tint": _tint(order),
        "checked": [_comparison(one) for one in comparisons(pair)],
    }


def _tint(order: Order) -> dict[str, Any]:
    tint = order.lenses.tint
    if tint is None:
        return {}
    through = category_range(tint.category)
    return {"category": tint.category, "passed_of_100": [through.low, through.high]}


def _sizes_apart(pair: Pair) -> float:
    sizes = [image_size(pair, eye) for eye in pair.eyes]
    return max(sizes) - min(sizes)


def _power(power: SphereCylinder) -> dict[str, float]:
    return {"sphere_dpt": power.sphere_dpt, "cylinder_dpt": power.cylinder_dpt, "axis_deg": power.axis_deg}


def _eye(eye: Eye, pair: Pair) -> dict[str, Any]:
    figures: dict[str, Any] = {
        "pd_mm": eye.pd_mm,
        "height_mm": eye.height_mm,
        "cross_to_nose_side_mm": cross_to_nose_side_mm(eye),
        "centre_measured_mm": getattr(pair.order.checked, f"centre_{eye.side}_mm", None),
        "decentration_in_mm": eye.nose_sign * eye.reference_point[0],
        "decentration_up_mm": eye.reference_point[1],
        "effective_diameter_mm": effective_diameter_mm(eye.outline),
        "smallest_blank_mm": eye.smallest_blank_mm,
        "image_size_ratio": image_size(pair, eye),
        "made": _power(eye.made),
        "balance": eye.ordered.is_balance,
        "prisms": [{"amount_prism_dpt": p.amount_prism_dpt, "base": p.base} for p in eye.ordered.prisms],
    }
    if eye.ordered.power is not None:
        figures |= _prescribed(eye.ordered.power, eye.ordered.add_dpt, pair.reading_cm)
    return figures


def _prescribed(power: SphereCylinder, add_dpt: float | None, reading_cm: float) -> dict[str, Any]:
    average = spherical_equivalent_dpt(power)
    figures: dict[str, Any] = {
        "ordered": _power(power),
        "transposed": _power(transposed(power)),
        "minus_cylinder_form": _power(minus_cylinder_form(power)),
        "principal_powers": [
            {"power_dpt": p.power_dpt, "meridian_deg": p.meridian_deg} for p in principal_powers(power)
        ],
        "spherical_equivalent_dpt": average,
        "far_point_cm": 100 / -average if average < 0 else None,
        "far_point_from_the_eye_cm": 100 / -average + VERTEX_MM / 10 if average < 0 else None,
    }
    if add_dpt:
        near = near_power(power, add_dpt)
        reader = nearest_ready_made_reader(near)
        figures |= {
            "add_dpt": add_dpt,
            "near_power": _power(near),
            "farthest_clear_with_add_cm": farthest_clear_cm(add_dpt),
            "own_focus_to_read_dpt": 100 / reading_cm - add_dpt,
            "nearest_ready_made_reader": None
            if reader is None
            else {"power_dpt": reader.power_dpt, "left_over": _power(reader.left_over)},
        }
    return figures


def _material(pair: Pair, made: InMaterial, *, outlines: bool) -> dict[str, Any]:
    return {
        "material": made.material.key,
        "index_at_587_6_nm": made.material.index_at_587_6_nm,
        "thickest_mm": made.thickest_mm,
        "weight_g": made.weight_g,
        **{f"fringe_{off:.0f}_mm_aside_prism_dpt": fringe_prism_dpt(pair, made, off) for off in OFF_CENTRE_MM},
        "lenses": {eye.side: _lens(pair, eye, made, outlines=outlines) for eye in pair.eyes},
    }


def _lens(pair: Pair, eye: Eye, of: InMaterial, *, outlines: bool) -> dict[str, Any]:
    made = of.lenses[eye.side]
    lens, (outer_mm, nose_mm) = made.lens, level_ends_mm(pair, eye, of)
    figures: dict[str, Any] = {
        "centre_mm": lens.centre_mm,
        "thickest_mm": made.thickest_mm,
        "thickest_edge_mm": made.thickest_edge.thickness_mm,
        "thickest_edge_deg": made.thickest_edge.angle_deg,
        "thinnest_edge_mm": made.thinnest_edge.thickness_mm,
        "thinnest_edge_deg": made.thinnest_edge.angle_deg,
        "level_cut_outer_end_mm": outer_mm,
        "level_cut_nose_end_mm": nose_mm,
        "weight_g": made.weight_g,
        "front_radius_mm": 1 / lens.front_per_mm,
        "base_curve_on_1_530_scale_dpt": lens.front_per_mm * 1000 * (TOOL_INDEX - 1),
    }
    if outlines:
        figures["edge"] = [
            {"angle_deg": p.angle_deg, "x_mm": p.point[0], "y_mm": p.point[1], "thickness_mm": p.thickness_mm}
            for p in edge_by_angle(lens)
        ]
    return figures


def _comparison(one: Comparison) -> dict[str, Any]:
    unit = one.unit
    return {
        "quantity": one.quantity,
        "eye": one.eye,
        f"ordered_{unit}": one.ordered,
        f"measured_{unit}": one.measured,
        f"allowed_{unit}": one.allowed,
        f"off_by_{unit}": one.off_by,
        "inside": one.inside,
    }
