"""Tolerance: how far a finished pair may differ from its order, by the rows of one standard at a time.

The rows are those of one family in data/tolerances.yaml (us or iso), already loaded. A row names a quantity, the
lenses it is for, the band it is for (power_up_to_dpt and the like) and what it allows, units in the keys.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from msgspec import Struct

from explain.optics.power import SphereCylinder, difference, strongest_power_dpt

Row = Mapping[str, Any]
Rows = Sequence[Row]

PROGRESSIVE = "progressive"
SINGLE_VISION_OR_MULTIFOCAL = "single-vision-or-multifocal"
ANY_LENS = "any"

_ROUNDING_DPT = 1e-9
"""Band edges are printed to 3 decimals: a power this close to an edge is on it."""


class Amounts(Struct, frozen=True):
    """What bands are chosen by, all 0 or more [dpt, prism dpt].

    power: the stronger principal meridian, or the power in the direction of a prism check. prism: as prescribed.
    """

    power_dpt: float = 0.0
    cylinder_dpt: float = 0.0
    add_dpt: float = 0.0
    prism_dpt: float = 0.0


class PrismLimit(Struct, frozen=True):
    """What a row allows for prism: an amount [prism dpt], a shift of the reference points [mm], or the larger.

    counted: "pair" for both lenses together, "each-lens" for every lens by itself. row: the id of the row.
    """

    prism_dpt: float
    shift_mm: float
    counted: str
    row: str


def amounts_of(ordered: SphereCylinder) -> Amounts:
    """Return what the bands of power, cylinder and axis are chosen by; the form of the prescription does not matter.

    >>> amounts_of(SphereCylinder(1.00, -3.00, 20))
    Amounts(power_dpt=2.0, cylinder_dpt=3.0, add_dpt=0.0, prism_dpt=0.0)
    """
    return Amounts(power_dpt=abs(strongest_power_dpt(ordered)), cylinder_dpt=abs(ordered.cylinder_dpt))


def row_for(rows: Rows, quantity: str, lens: str, amounts: Amounts) -> Row | None:
    """Row of a quantity for this lens (PROGRESSIVE, SINGLE_VISION_OR_MULTIFOCAL) and band; None when there is none."""
    for row in rows:
        if row["quantity"] == quantity and row["lens"] in (lens, ANY_LENS) and _covers(row, amounts):
            return row
    return None


def meridian_power_tolerance_dpt(rows: Rows, lens: str, ordered: SphereCylinder) -> float:
    """Difference allowed in the stronger principal meridian [dpt], plus or minus.

    The band is chosen by that meridian, whichever form the order is written in; a row in percent is of its power.

    >>> row = {"quantity": "meridian_power", "lens": "any", "power_above_dpt": 6.5, "allowed_percent": 2}
    >>> meridian_power_tolerance_dpt([row], PROGRESSIVE, SphereCylinder(-6.00, -1.00, 90))
    0.14
    """
    amounts = amounts_of(ordered)
    return _allowed_dpt(_needed_row(rows, "meridian_power", lens, amounts), amounts.power_dpt)


def cylinder_tolerance_dpt(rows: Rows, lens: str, ordered: SphereCylinder) -> float:
    """Difference allowed in the cylinder [dpt], plus or minus; a row in percent is of the ordered cylinder.

    >>> row = {"quantity": "cylinder_power", "lens": "any", "cylinder_above_dpt": 4.5, "allowed_percent": 4}
    >>> cylinder_tolerance_dpt([row], PROGRESSIVE, SphereCylinder(0.00, -5.00, 90))
    0.2
    """
    amounts = amounts_of(ordered)
    return _allowed_dpt(_needed_row(rows, "cylinder_power", lens, amounts), amounts.cylinder_dpt)


def axis_tolerance_deg(rows: Rows, lens: str, ordered: SphereCylinder) -> float | None:
    """Turn allowed in the axis [deg], plus or minus; None where the standard sets no limit (hardly any cylinder)."""
    row = row_for(rows, "axis", lens, amounts_of(ordered))
    return None if row is None or row["allowed_deg"] is None else float(row["allowed_deg"])


def add_tolerance_dpt(rows: Rows, lens: str, add_dpt: float) -> float:
    """Difference allowed in the add [dpt], plus or minus."""
    return _allowed_dpt(_needed_row(rows, "add", lens, Amounts(add_dpt=add_dpt)), add_dpt)


def vertical_imbalance_limit(rows: Rows, lens: str, power_dpt: float, prescribed_prism_dpt: float = 0.0) -> PrismLimit:
    """Limit for unwanted upright prism. power_dpt: the stronger lens's power in the upright meridian, any sign."""
    return _prism_limit(rows, "vertical_imbalance", lens, power_dpt, prescribed_prism_dpt)


def horizontal_imbalance_limit(
    rows: Rows, lens: str, power_dpt: float, prescribed_prism_dpt: float = 0.0
) -> PrismLimit:
    """Limit for unwanted level prism. power_dpt: the stronger lens's power in the level meridian, any sign."""
    return _prism_limit(rows, "horizontal_imbalance", lens, power_dpt, prescribed_prism_dpt)


def allowed_prism_dpt(limit: PrismLimit, power_dpt: float) -> float:
    """What a limit allows, as prism [prism dpt]: the larger of its amount and what its shift makes (Prentice).

    >>> allowed_prism_dpt(PrismLimit(0.33, 1.0, "each-lens", "r"), -5.00)
    0.5
    """
    return max(limit.prism_dpt, limit.shift_mm * abs(power_dpt) / 10)


def allowed_shift_mm(limit: PrismLimit, power_dpt: float) -> float:
    """What a limit allows, as a shift of the reference points [mm]; infinite for a lens without power.

    >>> allowed_shift_mm(PrismLimit(0.67, 0.0, "pair", "r"), 2.00)
    3.35
    """
    return max(limit.shift_mm, 10 * limit.prism_dpt / abs(power_dpt)) if power_dpt else math.inf


def placement_tolerance_mm(rows: Rows, quantity: str, lens: str) -> float | None:
    """Difference allowed in a place or size that has no bands [mm]; None where the standard sets none.

    quantity: monocular_pd, fitting_height, fitting_height_difference, segment_height, segment_height_difference,
    segment_horizontal_position, centre_thickness and others in the rows.
    """
    row = row_for(rows, quantity, lens, Amounts())
    return None if row is None else float(row["allowed_mm"])


def pd_tolerance_mm(rows: Rows, lens: str) -> float | None:
    """Difference allowed in the pd of one eye [mm]; None where only prism limits it (single vision)."""
    return placement_tolerance_mm(rows, "monocular_pd", lens)


def height_tolerance_mm(rows: Rows, lens: str) -> float | None:
    """Difference allowed in the fitting height of a progressive, or the segment height of a multifocal [mm]."""
    return placement_tolerance_mm(rows, "fitting_height" if lens == PROGRESSIVE else "segment_height", lens)


def height_difference_tolerance_mm(rows: Rows, lens: str) -> float | None:
    """Difference allowed between the two heights, against the ordered ones [mm]."""
    kind = "fitting" if lens == PROGRESSIVE else "segment"
    return placement_tolerance_mm(rows, f"{kind}_height_difference", lens)


def axis_error_tolerance_deg(cylinder_dpt: float, allowed_cylinder_dpt: float) -> float:
    """Turn of an axis that leaves no more than an allowed cylinder over [deg], 0 to 90: asin(allowed / (2 |C|)).

    The reason behind the US axis table since 2005. 90 when any turn is allowed. Source: ola_axis. Checked by
    tests/published/axis_error_tolerance.yaml.

    >>> round(axis_error_tolerance_deg(-0.50, 0.12))
    7
    """
    if abs(allowed_cylinder_dpt) >= 2 * abs(cylinder_dpt):
        return 90.0
    return math.degrees(math.asin(abs(allowed_cylinder_dpt) / (2 * abs(cylinder_dpt))))


def axis_error_left_over(ordered: SphereCylinder, turned_deg: float) -> SphereCylinder:
    """Power still missing when a lens sits turned_deg counter-clockwise of its axis, in minus cylinder form.

    Source: iacle_toric. Checked by tests/published/axis_mislocation.yaml.

    >>> left = axis_error_left_over(SphereCylinder(0.00, -2.00, 90), 30)
    >>> round(left.sphere_dpt, 2), round(left.cylinder_dpt, 2), round(left.axis_deg, 1)
    (1.0, -2.0, 60.0)
    """
    placed = SphereCylinder(ordered.sphere_dpt, ordered.cylinder_dpt, ordered.axis_deg + turned_deg)
    return difference(ordered, placed)


def _covers(row: Row, amounts: Amounts) -> bool:
    return (
        _within(row, "power", "dpt", amounts.power_dpt)
        and _within(row, "cylinder", "dpt", amounts.cylinder_dpt)
        and _within(row, "add", "dpt", amounts.add_dpt)
        and _within(row, "prescribed", "prism_dpt", amounts.prism_dpt)
    )


def _within(row: Row, name: str, unit: str, value: float) -> bool:
    """Whether a value lies in a row's band; `above` and `below` leave their edge out, `from` and `up_to` take it in."""
    edges = above, start, below, end = _edge_keys(name, unit)
    if row.keys().isdisjoint(edges):
        return True
    inside: bool = row.get(above, -math.inf) + _ROUNDING_DPT < value < row.get(below, math.inf) - _ROUNDING_DPT
    return inside and row.get(start, -math.inf) - _ROUNDING_DPT <= value <= row.get(end, math.inf) + _ROUNDING_DPT


@cache
def _edge_keys(name: str, unit: str) -> tuple[str, str, str, str]:
    """Keys of a row for the four edges of a band, such as power_above_dpt."""
    return f"{name}_above_{unit}", f"{name}_from_{unit}", f"{name}_below_{unit}", f"{name}_up_to_{unit}"


def _needed_row(rows: Rows, quantity: str, lens: str, amounts: Amounts) -> Row:
    row = row_for(rows, quantity, lens, amounts)
    if row is None:
        message = f"no row for {quantity} of a {lens} lens with {amounts}"
        raise LookupError(message)
    return row


def _allowed_dpt(row: Row, nominal_dpt: float) -> float:
    if "allowed_percent" in row:
        return float(row["allowed_percent"]) * abs(nominal_dpt) / 100
    return float(row["allowed_dpt"])


def _prism_limit(rows: Rows, quantity: str, lens: str, power_dpt: float, prescribed_prism_dpt: float) -> PrismLimit:
    amounts = Amounts(power_dpt=abs(power_dpt), prism_dpt=abs(prescribed_prism_dpt))
    row = _needed_row(rows, quantity, lens, amounts)
    prism, shift = row.get("allowed_prism_dpt", 0.0), row.get("allowed_shift_mm", 0.0)
    return PrismLimit(float(prism), float(shift), str(row["counted"]), str(row["id"]))
