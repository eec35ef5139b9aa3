"""Previous: what is known of the old pair, and how far the new one is from it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

from msgspec import Struct

from explain.facts import data_file
from explain.optics.change import axis_turn_deg, cylinder_of_change_dpt, largest_change, weaker_cylinder_dpt
from explain.optics.power import PrincipalPower, SphereCylinder, near_power
from explain.order.checked import MEASURED_IGNORES
from explain.order.faults import Remark
from explain.order.fields import Section
from explain.order.model import EyePrescription, Order, Previous, Prism
from explain.order.nodes import Text
from explain.order.prescription import SIDES, read_adds, read_side, with_add

NO_OLD_PAIR = ("none", "first pair")
_ROUNDING = 1e-6
"""A change this much over a limit is only the rounding of the arithmetic."""
FoundDoubt = tuple[str, Remark]


class EyeChange(Struct, frozen=True):
    """How one lens differs from the old one. Both powers are of the same distance: near in two near-only pairs.

    largest: where the power changed most, plus where there is more plus now. turn_deg: how far the axis turned, None
    where a cylinder is too weak for it to matter. add_dpt: change of the add, None where either is not known or the
    powers are near ones already. prism_prism_dpt: change of the prism.
    """

    side: str
    old: SphereCylinder
    new: SphereCylinder
    largest: PrincipalPower
    turn_deg: float | None
    add_dpt: float | None
    prism_prism_dpt: float

    @property
    def is_large(self) -> bool:
        """True beyond a limit of data/getting_used.yaml: 0.75 dioptres anywhere or in the add, 10 degrees of axis."""
        most_dpt, most_deg = limit("change_dpt") + _ROUNDING, limit("axis_deg") + _ROUNDING
        powers = (abs(self.largest.power_dpt), abs(self.add_dpt or 0.0))
        return max(powers) > most_dpt or (self.turn_deg or 0.0) > most_deg


def limit(name: str) -> float:
    """A limit of data/getting_used.yaml. Raises KeyError for an unknown one."""
    return float(data_file("getting_used")["limits"][name]["use"])


def is_first_pair(root: Section) -> bool:
    """True where the order says that there was no old pair."""
    entry = root.entry("previous")
    return entry is not None and isinstance(entry.value, Text) and entry.value.text.strip().lower() in NO_OLD_PAIR


def read_previous(root: Section) -> Previous | None:
    """The old pair, as far as it is known; None where nothing is known or there was none."""
    section = None if is_first_pair(root) else root.child("previous")
    if section is None:
        return None
    adds = read_adds(section)
    right, left = (
        with_add(read_side(section, side, f"the old {side} lens", MEASURED_IGNORES), adds.of(side), section, side)
        for side in SIDES
    )
    return Previous(right, left, section.choice("design"))


@lru_cache(maxsize=8)
def eye_changes(order: Order) -> tuple[EyeChange, ...]:
    """What changed, right eye first; nothing for an eye whose old or new power is not known.

    Kept, as an order is doubted by it and several parts of its page tell of it.
    """
    if order.previous is None:
        return ()
    found = (_eye_change(order, order.previous, side) for side in SIDES)
    return tuple(change for change in found if change is not None)


def _eye_change(order: Order, previous: Previous, side: str) -> EyeChange | None:
    now: EyePrescription | None = getattr(order, side)
    before: EyePrescription | None = getattr(previous, side)
    if now is None or before is None or now.power is None or before.power is None:
        return None
    near_now, near_before = order.lenses.design == "reading", previous.design == "reading"
    if near_before and not near_now and before.add_dpt is None:
        return None  # what is known is a near power, and cannot be set beside a far one
    both_near = near_now and near_before
    old = near_power(before.power, before.add_dpt or 0.0) if both_near else before.power
    new = near_power(now.power, now.add_dpt or 0.0) if both_near else now.power
    return EyeChange(
        side=side,
        old=old,
        new=new,
        largest=largest_change(old, new),
        turn_deg=_turn_deg(old, new),
        add_dpt=None if both_near else _add_change_dpt(before, now),
        prism_prism_dpt=math.dist(net_prism(before.prisms), net_prism(now.prisms)),
    )


def _turn_deg(old: SphereCylinder, new: SphereCylinder) -> float | None:
    matters = weaker_cylinder_dpt(old, new) >= limit("axis_matters_from_cylinder_dpt") - _ROUNDING
    return axis_turn_deg(old, new) if matters else None


def _add_change_dpt(before: EyePrescription, now: EyePrescription) -> float | None:
    return now.add_dpt - before.add_dpt if now.add_dpt and before.add_dpt else None


def net_prism(prisms: tuple[Prism, ...]) -> tuple[float, float]:
    """All prisms of one eye as one (base in, base up) [prism dpt].

    >>> net_prism((Prism(1.5, "down"), Prism(1.0, "out")))
    (-1.0, -1.5)
    """
    bases = {"in": (1, 0), "out": (-1, 0), "up": (0, 1), "down": (0, -1)}
    inward = sum(prism.amount_prism_dpt * bases[prism.base][0] for prism in prisms)
    upward = sum(prism.amount_prism_dpt * bases[prism.base][1] for prism in prisms)
    return inward, upward


def doubts_about_change(order: Order) -> Iterator[FoundDoubt]:
    """A doubt for each lens that is further from the old one than the limits."""
    for change in eye_changes(order):
        if change.is_large:
            yield (
                f"previous.{change.side}",
                Remark(
                    f"the {change.side} lens is far from the old one: {_figures(change)}",
                    f"More than {limit('change_dpt'):.2f} dioptres or {limit('axis_deg'):g} degrees is worth a "
                    "second look (our own judgement).",
                    "Look at both prescriptions again; if they are right, leave them. The page says it calmly.",
                ),
            )


def _figures(change: EyeChange) -> str:
    largest = change.largest.power_dpt
    at = f" at {change.largest.meridian_deg:.0f} degrees" if cylinder_of_change_dpt(change.old, change.new) else ""
    parts = [f"{largest:+.2f} dioptres{at}"] if abs(largest) > 0.005 else []
    if change.turn_deg:
        parts.append(f"axis turned by {change.turn_deg:g} degrees")
    if change.add_dpt:
        parts.append(f"addition {change.add_dpt:+.2f}")
    return ", ".join(parts)
