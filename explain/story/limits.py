"""Limits: what a finished pair may differ by, told before anything is measured, so that boxes can be filled in."""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import replace

from explain.optics.power import SphereCylinder
from explain.order.model import Checked
from explain.story.pair import Eye, Pair
from explain.story.verify import Comparison, comparisons
from explain.story.wording import degrees, dioptres, mm, plain

_NAMES = {
    "sphere": "Sphere, minus form",
    "cylinder": "Cylinder",
    "axis": "Axis",
    "other meridian": "Power across",
    "add": "Add",
    "pd": "Cross to nose middle",
    "height": "Height",
    "height difference": "Height difference",
    "prism": "Prism",
    "prism sideways": "Unwanted prism sideways",
    "prism up and down": "Unwanted prism upright",
}
RECALLED = " (*)"
"""Behind a limit that is only recalled: such a row warns, and never keeps a page from being published."""


class CheckRow(Struct, frozen=True):
    """One value to measure: what, of which eye, as ordered, and the difference allowed; "" where there is no limit."""

    what: str
    eye: str
    ordered: str
    allowed: str


def check_rows(pair: Pair) -> tuple[CheckRow, ...]:
    """Every value that the standard of the shop limits for this pair, and the thickness in the middle."""
    measured = replace(pair.order, checked=as_ordered(pair), accepted=None)
    limited = [_row(one) for one in comparisons(replace(pair, order=measured))]
    centres = [
        CheckRow("Center thickness", eye.side, mm(pair.chosen.lenses[eye.side].lens.centre_mm), "") for eye in pair.eyes
    ]
    return (*limited, *centres)


def as_ordered(pair: Pair) -> Checked:
    """A check that found everything as it was ordered: what it compares is what there is to measure."""
    right, left = (next((eye for eye in pair.eyes if eye.side == side), None) for side in ("right", "left"))
    fit = pair.order.fit
    return Checked(
        right=_power(right),
        left=_power(left),
        add_right_dpt=right.ordered.add_dpt if right else None,
        add_left_dpt=left.ordered.add_dpt if left else None,
        pd_right_mm=right.pd_mm if right else None,
        pd_left_mm=left.pd_mm if left else None,
        height_right_mm=fit.height_right_mm,
        height_left_mm=fit.height_left_mm,
        on=None,
        right_prisms=right.ordered.prisms if right else (),
        left_prisms=left.ordered.prisms if left else (),
    )


def _power(eye: Eye | None) -> SphereCylinder | None:
    return None if eye is None or eye.ordered.is_balance else eye.made


def _row(one: Comparison) -> CheckRow:
    return CheckRow(_NAMES[one.quantity], one.eye, _value(one.ordered, one.unit), _allowed(one))


def _allowed(one: Comparison) -> str:
    """The difference allowed, never rounded up: what is written in the box and not above it is inside."""
    if one.allowed is None:
        return ""
    match one.unit:
        case "deg":
            text = degrees(floored(one.allowed, 0))
        case "mm":
            text = mm(floored(one.allowed, 1))
        case _:
            text = plain(floored(one.allowed, 2), 2)
    return f"± {text}" if one.firm else f"± {text}{RECALLED}"


def floored(value: float, places: int) -> float:
    """Cut a positive number to some places without rounding it up; a hair below a step counts as the step.

    >>> floored(0.1485, 2), floored(0.3, 1), floored(0.29999999999, 1)
    (0.14, 0.3, 0.3)
    """
    step = 10.0**places
    return math.floor(value * step + 1e-6) / step


def _value(value: float, unit: str) -> str:
    match unit:
        case "dpt":
            return dioptres(value)
        case "deg":
            return degrees(value)
        case "mm":
            return mm(value)
        case _:
            return plain(value, 2)
