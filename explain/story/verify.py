"""Verify: the finished pair against its order and the allowed differences of one standard."""

from __future__ import annotations

from dataclasses import dataclass

from explain.facts import data_file
from explain.optics.power import SphereCylinder, minus_cylinder_form, power_in_meridian_dpt
from explain.optics.tolerance import (
    PROGRESSIVE,
    SINGLE_VISION_OR_MULTIFOCAL,
    Rows,
    add_tolerance_dpt,
    allowed_shift_mm,
    axis_tolerance_deg,
    cylinder_tolerance_dpt,
    height_tolerance_mm,
    horizontal_imbalance_limit,
    meridian_power_tolerance_dpt,
    pd_tolerance_mm,
    vertical_imbalance_limit,
)
from explain.order.model import Checked
from explain.story.pair import Eye, Pair

_EQUAL = 1e-9


@dataclass(frozen=True, slots=True)
class Comparison:
    """One measured value beside the ordered one. unit: "dpt", "deg" or "mm". allowed None: no limit is set.

    eye is "right", "left" or "both". ordered and measured may be None where the value itself has no meaning.
    """

    quantity: str
    eye: str
    unit: str
    ordered: float
    measured: float
    allowed: float | None
    off_by: float

    @property
    def inside(self) -> bool:
        """True where the difference is allowed, or where no limit is set."""
        return self.allowed is None or self.off_by <= self.allowed + _EQUAL


def comparisons(pair: Pair) -> tuple[Comparison, ...]:
    """Every measured value of the checked block against its limit; empty when nothing was recorded.

    Single vision: the pupil distance and heights are limited through the prism that a shift would make, for the pair.
    """
    checked = pair.order.checked
    if checked is None:
        return ()
    rows: Rows = data_file("tolerances")[pair.shop.standard]["rows"]
    lens = PROGRESSIVE if pair.order.lenses.design == "progressive" else SINGLE_VISION_OR_MULTIFOCAL
    found: list[Comparison] = []
    for eye in pair.eyes:
        found += _power(eye, checked, rows, lens)
        found += _add(eye, pair, checked, rows)
    found += _places(pair, checked, rows, lens)
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
    measured: SphereCylinder | None = getattr(checked, eye.side)
    if measured is None or eye.ordered.is_balance:
        return []
    want, got = minus_cylinder_form(eye.made), minus_cylinder_form(measured)
    found = [
        _compared(
            "sphere", eye.side, "dpt", want.sphere_dpt, got.sphere_dpt, meridian_power_tolerance_dpt(rows, lens, want)
        ),
    ]
    if want.cylinder_dpt or got.cylinder_dpt:
        allowed = cylinder_tolerance_dpt(rows, lens, want)
        found.append(_compared("cylinder", eye.side, "dpt", want.cylinder_dpt, got.cylinder_dpt, allowed))
    if want.cylinder_dpt and got.cylinder_dpt:
        apart = axis_apart_deg(want.axis_deg, got.axis_deg)
        limit = axis_tolerance_deg(rows, lens, want)
        found.append(Comparison("axis", eye.side, "deg", want.axis_deg, got.axis_deg, limit, apart))
    return found


def _add(eye: Eye, pair: Pair, checked: Checked, rows: Rows) -> list[Comparison]:
    measured: float | None = getattr(checked, f"add_{eye.side}_dpt")
    ordered = eye.ordered.add_dpt
    if measured is None or ordered is None or pair.order.lenses.design == "reading":
        return []
    return [_compared("add", eye.side, "dpt", ordered, measured, add_tolerance_dpt(rows, "any", ordered))]


def _places(pair: Pair, checked: Checked, rows: Rows, lens: str) -> list[Comparison]:
    found: list[Comparison] = []
    pds = [(eye, getattr(checked, f"pd_{eye.side}_mm")) for eye in pair.eyes]
    each_pd = pd_tolerance_mm(rows, lens)
    if each_pd is not None:
        found += [_compared("pd", eye.side, "mm", eye.pd_mm, got, each_pd) for eye, got in pds if got is not None]
    elif len(pds) > 1 and all(got is not None for _, got in pds):
        found.append(_pair_pd(pair, [got for _, got in pds], rows, lens))
    heights = [
        (eye, getattr(pair.order.fit, f"height_{eye.side}_mm"), getattr(checked, f"height_{eye.side}_mm"))
        for eye in pair.eyes
    ]
    known = [(eye, want, got) for eye, want, got in heights if want is not None and got is not None]
    if pair.order.lenses.design in {"progressive", "bifocal"}:
        allowed = height_tolerance_mm(rows, lens)
        found += [_compared("height", eye.side, "mm", want, got, allowed) for eye, want, got in known]
    elif len(known) > 1:
        found.append(_pair_heights(pair, known, rows, lens))
    return found


def _pair_pd(pair: Pair, measured: list[float], rows: Rows, lens: str) -> Comparison:
    power = _strongest_in(pair, 180)
    limit = allowed_shift_mm(horizontal_imbalance_limit(rows, lens, power, _prism(pair, {"in", "out"})), power)
    ordered = sum(eye.pd_mm for eye in pair.eyes)
    return _compared("pd", "both", "mm", ordered, sum(measured), _finite(limit))


def _pair_heights(pair: Pair, known: list[tuple[Eye, float, float]], rows: Rows, lens: str) -> Comparison:
    power = _strongest_in(pair, 90)
    limit = allowed_shift_mm(vertical_imbalance_limit(rows, lens, power, _prism(pair, {"up", "down"})), power)
    (_, right, right_got), (_, left, left_got) = known
    return _compared("height difference", "both", "mm", right - left, right_got - left_got, _finite(limit))


def _strongest_in(pair: Pair, meridian_deg: float) -> float:
    return max((power_in_meridian_dpt(eye.made, meridian_deg) for eye in pair.eyes), key=abs)


def _prism(pair: Pair, bases: set[str]) -> float:
    return sum(p.amount_prism_dpt for eye in pair.eyes for p in eye.ordered.prisms if p.base in bases)


def _finite(limit_mm: float) -> float | None:
    """Return the limit; none where the lenses have too little power for a shift to matter on any face."""
    return limit_mm if limit_mm < 20 else None


def _compared(quantity: str, eye: str, unit: str, ordered: float, measured: float, allowed: float | None) -> Comparison:
    return Comparison(quantity, eye, unit, ordered, measured, allowed, abs(measured - ordered))
