"""Verify: the finished pair against its order and the allowed differences of one standard."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct

from explain.facts import data_file
from explain.optics.power import SphereCylinder, minus_cylinder_form
from explain.optics.tolerance import (
    PROGRESSIVE,
    SINGLE_VISION_OR_MULTIFOCAL,
    Amounts,
    Rows,
    add_tolerance_dpt,
    amounts_of,
    axis_tolerance_deg,
    cylinder_tolerance_dpt,
    height_difference_tolerance_mm,
    height_tolerance_mm,
    meridian_power_tolerance_dpt,
    pd_tolerance_mm,
    row_for,
)
from explain.order.model import Checked
from explain.story.pair import Eye, Pair
from explain.story.verify_prism import Imbalance, imbalances, lens_prisms

_EQUAL = 1e-9
_FIRM_CONFIDENCE = "high"
BOTH_MERIDIANS = "both-principal-meridians"


class Comparison(Struct, frozen=True):
    """One measured value beside the ordered one. unit: "dpt", "deg", "mm" or "prism_dpt". allowed None: no limit.

    eye is "right", "left" or "both". firm is False where the limit is only recalled: such a row warns, but never
    keeps a pair from being published.
    """

    quantity: str
    eye: str
    unit: str
    ordered: float
    measured: float
    allowed: float | None
    off_by: float
    firm: bool = True

    @property
    def inside(self) -> bool:
        """True where the difference is allowed, or where no limit is set."""
        return self.allowed is None or self.off_by <= self.allowed + _EQUAL


@lru_cache(maxsize=4)
def comparisons(pair: Pair) -> tuple[Comparison, ...]:
    """Every measured value of the checked block against its limit; empty when nothing was recorded.

    Values are compared as they were typed, unrounded; one exactly on its limit is inside. In single-vision and bifocal
    pairs the pupil distance and the heights have no limit of their own: the standard limits the prism that a shift
    makes, for the pair.
    """
    checked = pair.order.checked
    if checked is None:
        return ()
    family = data_file("tolerances")[pair.shop.standard]
    rows: Rows = family["rows"]
    both_meridians = family["power_compared"] == BOTH_MERIDIANS
    lens = PROGRESSIVE if pair.order.lenses.design == "progressive" else SINGLE_VISION_OR_MULTIFOCAL
    found: list[Comparison] = []
    for eye in pair.eyes:
        found += _power(eye, checked, rows, lens)
        found += _other_meridian(eye, checked, rows, lens) if both_meridians else []
        found += _add(eye, pair, checked, rows)
    found += _pd(pair, checked, rows, lens)
    found += _heights(pair, checked, rows, lens)
    found += [_prism(one, rows) for one in (*lens_prisms(pair, checked, rows), *imbalances(pair, checked, rows, lens))]
    return tuple(found)


def outside(pair: Pair) -> tuple[Comparison, ...]:
    """Return the values that lie outside the allowed difference."""
    return tuple(one for one in comparisons(pair) if not one.inside)


def axis_apart_deg(first_deg: float, second_deg: float) -> float:
    """Angle between two axes [deg], 0 to 90: 179 and 1 are 2 apart.

    >>> axis_apart_deg(179, 1), axis_apart_deg(85, 88)
    (2.0, 3.0)
    """
    turn = abs(first_deg - second_deg) % 180
    return float(min(turn, 180 - turn))


def _power(eye: Eye, checked: Checked, rows: Rows, lens: str) -> list[Comparison]:
    """Sphere, cylinder and axis in minus form. Band and percentage follow the stronger meridian (us-meridian-2015)."""
    measured: SphereCylinder | None = getattr(checked, eye.side)
    if measured is None or eye.ordered.is_balance:
        return []
    want, got = minus_cylinder_form(eye.made), minus_cylinder_form(measured)
    amounts = amounts_of(want)
    allowed = meridian_power_tolerance_dpt(rows, lens, want)
    firm = _firm(rows, "meridian_power", lens, amounts)
    found = [_compared("sphere", eye.side, "dpt", want.sphere_dpt, got.sphere_dpt, allowed, firm=firm)]
    if want.cylinder_dpt or got.cylinder_dpt:
        allowed = cylinder_tolerance_dpt(rows, lens, want)
        firm = _firm(rows, "cylinder_power", lens, amounts)
        found.append(_compared("cylinder", eye.side, "dpt", want.cylinder_dpt, got.cylinder_dpt, allowed, firm=firm))
    if want.cylinder_dpt and got.cylinder_dpt:
        apart = axis_apart_deg(want.axis_deg, got.axis_deg)
        limit = axis_tolerance_deg(rows, lens, want)
        firm = _firm(rows, "axis", lens, amounts)
        found.append(Comparison("axis", eye.side, "deg", want.axis_deg, got.axis_deg, limit, apart, firm))
    return found


def _other_meridian(eye: Eye, checked: Checked, rows: Rows, lens: str) -> list[Comparison]:
    """The principal meridian that is not the sphere, for a standard that limits each of the two."""
    measured: SphereCylinder | None = getattr(checked, eye.side)
    if measured is None or eye.ordered.is_balance:
        return []
    want, got = minus_cylinder_form(eye.made), minus_cylinder_form(measured)
    if not (want.cylinder_dpt or got.cylinder_dpt):
        return []
    allowed = meridian_power_tolerance_dpt(rows, lens, want)
    firm = _firm(rows, "meridian_power", lens, amounts_of(want))
    ordered_dpt, measured_dpt = want.sphere_dpt + want.cylinder_dpt, got.sphere_dpt + got.cylinder_dpt
    return [_compared("other meridian", eye.side, "dpt", ordered_dpt, measured_dpt, allowed, firm=firm)]


def _add(eye: Eye, pair: Pair, checked: Checked, rows: Rows) -> list[Comparison]:
    measured: float | None = getattr(checked, f"add_{eye.side}_dpt")
    ordered = eye.ordered.add_dpt
    if measured is None or ordered is None or pair.order.lenses.design == "reading":
        return []
    firm = _firm(rows, "add", "any", Amounts(add_dpt=ordered))
    return [_compared("add", eye.side, "dpt", ordered, measured, add_tolerance_dpt(rows, "any", ordered), firm=firm)]


def _pd(pair: Pair, checked: Checked, rows: Rows, lens: str) -> list[Comparison]:
    allowed = pd_tolerance_mm(rows, lens)
    firm = allowed is None or _firm(rows, "monocular_pd", lens, Amounts())
    measured = [(eye, getattr(checked, f"pd_{eye.side}_mm")) for eye in pair.eyes]
    return [
        _compared("pd", eye.side, "mm", eye.pd_mm, got, allowed, firm=firm) for eye, got in measured if got is not None
    ]


def _heights(pair: Pair, checked: Checked, rows: Rows, lens: str) -> list[Comparison]:
    limited = pair.order.lenses.design in {"progressive", "bifocal"}
    allowed = height_tolerance_mm(rows, lens) if limited else None
    quantity = "fitting_height" if lens == PROGRESSIVE else "segment_height"
    firm = allowed is None or _firm(rows, quantity, lens, Amounts())
    found = []
    for eye in pair.eyes:
        want: float | None = getattr(pair.order.fit, f"height_{eye.side}_mm")
        got: float | None = getattr(checked, f"height_{eye.side}_mm")
        if want is not None and got is not None:
            found.append(_compared("height", eye.side, "mm", want, got, allowed, firm=firm))
    return [*found, *_height_difference(found, rows, lens)] if limited else found


def _height_difference(heights: list[Comparison], rows: Rows, lens: str) -> list[Comparison]:
    """Compare how the two heights differ with how they were ordered to differ."""
    allowed = height_difference_tolerance_mm(rows, lens)
    if len(heights) < 2 or allowed is None:  # one eye only, or no such row
        return []
    right, left = heights
    quantity = "fitting_height_difference" if lens == PROGRESSIVE else "segment_height_difference"
    firm = _firm(rows, quantity, lens, Amounts())
    ordered, measured = right.ordered - left.ordered, right.measured - left.measured
    return [_compared("height difference", "both", "mm", ordered, measured, allowed, firm=firm)]


def _prism(one: Imbalance, rows: Rows) -> Comparison:
    firm = any(row["id"] == one.row and _is_firm(row) for row in rows)
    return Comparison(
        one.quantity,
        one.eye,
        "prism_dpt",
        one.ordered_prism_dpt,
        one.measured_prism_dpt,
        one.allowed_prism_dpt,
        one.off_by_prism_dpt,
        firm,
    )


def _firm(rows: Rows, quantity: str, lens: str, amounts: Amounts) -> bool:
    row = row_for(rows, quantity, lens, amounts)
    return row is None or _is_firm(row)


def _is_firm(row: object) -> bool:
    """True where the row was read, or is recalled with high confidence."""
    assert isinstance(row, dict)  # noqa: S101  rows come from our own YAML
    return bool(row["status"] == "read" or row.get("confidence") == _FIRM_CONFIDENCE)


def _compared(
    quantity: str, eye: str, unit: str, ordered: float, measured: float, allowed: float | None, *, firm: bool
) -> Comparison:
    return Comparison(quantity, eye, unit, ordered, measured, allowed, abs(measured - ordered), firm)
