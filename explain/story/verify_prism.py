"""Prism of the finished pair: what each lens shows, and what shifted centres make of the two together."""

from __future__ import annotations

import math

from msgspec import Struct

from explain.optics.power import power_in_meridian_dpt, strongest_power_dpt
from explain.optics.prism import prism_components
from explain.optics.tolerance import (
    ANY_LENS,
    Amounts,
    PrismLimit,
    Rows,
    allowed_prism_dpt,
    horizontal_imbalance_limit,
    row_for,
    vertical_imbalance_limit,
)
from explain.order.model import Checked, Prism
from explain.story.pair import Eye, Pair, base_to_viewer

EACH_LENS = "each-lens"


class Imbalance(Struct, frozen=True):
    """One prism value of a lens or of the pair [prism dpt]; row is the id of the limit used.

    quantity: "prism" of one lens, "prism sideways" or "prism up and down" of the pair.
    """

    quantity: str
    eye: str
    ordered_prism_dpt: float
    measured_prism_dpt: float
    allowed_prism_dpt: float
    off_by_prism_dpt: float
    row: str


def lens_prisms(pair: Pair, checked: Checked, rows: Rows) -> list[Imbalance]:
    """Ordered prism of each lens beside the measured one, where both are known."""
    row = row_for(rows, "prism_at_reference_point", ANY_LENS, Amounts())
    if row is None:
        return []
    limit = PrismLimit(float(row["allowed_prism_dpt"]), float(row["allowed_shift_mm"]), EACH_LENS, str(row["id"]))
    return [_lens_prism(eye, _measured(checked, eye), limit) for eye in pair.eyes if _measured(checked, eye)]


def imbalances(pair: Pair, checked: Checked, rows: Rows, lens: str) -> list[Imbalance]:
    """Unwanted prism between the two lenses, sideways and up and down, for a pair whose limit counts the pair.

    A lens centred beside the ordered place makes prism there (Prentice's rule); equal prism in both lenses, base the
    same way, does not part the views and does not count. Limits that count each lens are kept by its pd and height.
    """
    if len(pair.eyes) < 2 or any(eye.ordered.is_balance for eye in pair.eyes):
        return []
    found = []
    for quantity, meridian, limit_for in (
        ("prism sideways", 180.0, horizontal_imbalance_limit),
        ("prism up and down", 90.0, vertical_imbalance_limit),
    ):
        unwanted = [_unwanted(pair, checked, eye, meridian) for eye in pair.eyes]
        power = max((power_in_meridian_dpt(eye.made, meridian) for eye in pair.eyes), key=abs)
        limit = limit_for(rows, lens, power, _prescribed(pair, meridian))
        if any(value is None for value in unwanted) or limit.counted == EACH_LENS:
            continue
        right, left = (value for value in unwanted if value is not None)
        apart = abs(right - left)
        found.append(Imbalance(quantity, "both", 0.0, apart, allowed_prism_dpt(limit, power), apart, limit.row))
    return found


def _lens_prism(eye: Eye, measured: tuple[Prism, ...], limit: PrismLimit) -> Imbalance:
    want, got = base_to_viewer(eye.ordered.prisms, eye.side), base_to_viewer(measured, eye.side)
    allowed = allowed_prism_dpt(limit, strongest_power_dpt(eye.made))
    return Imbalance("prism", eye.side, math.hypot(*want), math.hypot(*got), allowed, math.dist(want, got), limit.row)


def _unwanted(pair: Pair, checked: Checked, eye: Eye, meridian_deg: float) -> float | None:
    """Unwanted prism of one lens at its ordered place, base to the viewer's right or up; None when not measured."""
    level = meridian_deg == 180.0
    measured = _measured(checked, eye)
    if measured:
        index = 0 if level else 1
        return base_to_viewer(measured, eye.side)[index] - base_to_viewer(eye.ordered.prisms, eye.side)[index]
    if eye.ordered.prisms:
        return None
    pd: float | None = getattr(checked, f"pd_{eye.side}_mm")
    height: float | None = getattr(checked, f"height_{eye.side}_mm")
    if pair.order.lenses.design == "bifocal":
        height = None  # the height measured is that of the line
    if (pd if level else height) is None:
        return None
    outwards = 0.0 if pd is None else pd - eye.pd_mm
    upwards = 0.0 if height is None else height - eye.height_mm
    components = prism_components(eye.made, eye.nose_sign * outwards, -upwards)
    return components[0] if level else components[1]


def _prescribed(pair: Pair, meridian_deg: float) -> float:
    """Prism ordered between the two lenses in one direction [prism dpt]."""
    index = 0 if meridian_deg == 180.0 else 1
    right, left = (base_to_viewer(eye.ordered.prisms, eye.side)[index] for eye in pair.eyes)
    return abs(right - left)


def _measured(checked: Checked, eye: Eye) -> tuple[Prism, ...]:
    prisms: tuple[Prism, ...] = getattr(checked, f"{eye.side}_prisms")
    return prisms
