"""Findings: what only shows once an order is worked out, in the same layout as what shows when it is read."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TypeVar

from explain.optics.power import SphereCylinder, spherical_equivalent_dpt
from explain.optics.surfaces import DoesNotReachError
from explain.order.faults import Doubt, Fault, Finding
from explain.order.model import Order
from explain.story.figures import comparison_row
from explain.story.pair import Eye, Pair
from explain.story.verify import comparisons

FAR_OFF_MM = 2.0
BALANCE_APART_DPT = 1.00
"""From this difference on a balance lens no longer looks like its twin (our own judgement)."""
THICK_MM, THICKEST_MM = 12.0, 25.0
"""Thicker than the first a lens is hardly made over the whole frame; beyond the second never (common practice)."""
Kind = TypeVar("Kind", bound=Finding)


def _found(kind: type[Kind], order: Order, key: str, message: str, allowed: str, advice: str) -> Kind:
    return _at(kind, order.path, key, message, allowed, advice)


def _at(kind: type[Kind], path: Path, key: str, message: str, allowed: str, advice: str) -> Kind:
    return kind(file=path.as_posix(), line=0, key=key, message=message, excerpt="", allowed=allowed, advice=advice)


def centre_outside(order: Order, eye: Eye) -> Fault:
    """An eye that would look past its own lens."""
    across, up = eye.nose_sign * eye.reference_point[0], eye.reference_point[1]
    return _found(
        Fault,
        order,
        "prescription.pd",
        f"the {eye.side} eye does not look through the {eye.side} lens",
        f"Its centre would lie {across:.1f} mm towards the nose and {up:.1f} mm above the middle of the lens, "
        "outside its outline.",
        "Look at pd, heights, size and depth again, or choose another frame.",
    )


def does_not_reach(order: Order, error: DoesNotReachError) -> Fault:
    """A lens whose curve ends before the corner of the frame."""
    end = "the corner of the frame" if order.lenses.blank_mm is None else "the edge of its blank"
    return _found(
        Fault,
        order,
        "lenses.material",
        f"this lens cannot be made in {order.lenses.material} in this frame",
        f"Its curve has a radius of {error.radius_mm:.1f} mm and would have to reach "
        f"{error.distance_mm:.1f} mm out to {end}.",
        "Choose a material with a higher index, a smaller frame, or a flatter or steeper base-curve.",
    )


def far_off(pair: Pair) -> Iterator[Doubt]:
    """Doubts about places that no limit covers and that are far from the order, and lenses nobody measured."""
    checked = pair.order.checked
    for one in comparisons(pair):
        if one.allowed is None and one.off_by > FAR_OFF_MM:
            _, ordered, measured, *_ = comparison_row(one)
            yield _found(
                Doubt,
                pair.order,
                "checked",
                f"the {one.eye} {one.quantity} is {one.off_by:.1f} mm from the order",
                f"Ordered {ordered}, measured {measured}. No limit of its own is set, but this is a lot.",
                "Measure again; if it is right, leave it.",
            )
    for eye in pair.eyes:
        if checked is not None and getattr(checked, eye.side) is None:
            yield _found(
                Doubt,
                pair.order,
                "checked",
                f"the check has no power for the {eye.side} lens",
                "The page says that this lens was not measured.",
                f"Add what the lensmeter showed, for example:   {eye.side}: -2.00 -0.75 x 170",
            )


def not_checked(pair: Pair) -> Iterator[Doubt]:
    """Doubts about what the check left out: ordered prism that nobody measured, a balance lens unlike its twin."""
    checked = pair.order.checked
    if checked is None:
        return
    for eye in pair.eyes:
        if eye.ordered.prisms and not getattr(checked, f"{eye.side}_prisms"):
            yield _found(
                Doubt,
                pair.order,
                "checked",
                f"the {eye.side} lens was ordered with prism, but no prism was recorded in the check",
                "Missing prism means double sight, so it is worth a second look.",
                f"Add what the lensmeter showed, for example:   {eye.side}: -2.00 -0.75 x 170 prism 1.5 down",
            )
        measured: SphereCylinder | None = getattr(checked, eye.side)
        if eye.ordered.is_balance and measured is not None:
            apart = abs(spherical_equivalent_dpt(measured) - spherical_equivalent_dpt(eye.made))
            if apart > BALANCE_APART_DPT:
                yield _found(
                    Doubt,
                    pair.order,
                    "checked",
                    f"the balance lens on the {eye.side} is {apart:.2f} dioptres from the average of the other lens",
                    "A balance lens copies the other one in looks and weight.",
                    "Look at the pair again; if this was meant, leave it.",
                )


def too_thick(pair: Pair, kind: type[Kind]) -> Kind:
    """A lens that comes out thicker than anybody makes it."""
    thickest = pair.chosen.thickest_mm
    return _found(
        kind,
        pair.order,
        "lenses.material",
        f"the {pair.thicker_eye.side} lens comes out {thickest:.1f} mm thick",
        f"Lenses over {THICK_MM:.0f} mm are hardly ever made to fill the whole frame.",
        "Look at the prescription and the frame size again, or choose a higher index or a smaller frame.",
    )


def cannot_write(path: Path, error: OSError) -> Fault:
    """A page the disk would not take."""
    return _at(
        Fault,
        path,
        "",
        f"its page cannot be written ({error.strerror})",
        f"The place was {error.filename}." if error.filename else "The page published earlier stays as it was.",
        "Make room there, or allow writing to it, and build again.",
    )


def never_made(path: Path) -> Fault:
    """An order over which whoever made its page was lost, again and again."""
    return _at(
        Fault,
        path,
        "",
        "its page was not made: the process that made it stopped, each time it was tried",
        "The page published earlier stays as it was. Too little memory is the usual reason.",
        f"Build it alone:   explain build --workers 1 {path.as_posix()}",
    )


def same_number(path: Path, number: str, first: Path) -> Fault:
    """Two orders under one number."""
    return _at(
        Fault,
        path,
        "order",
        f"order number {number} is used by {first} as well",
        "A page is filed under its number, so one customer's link would show another's page.",
        "Give the newer of the two orders a number of its own. Until then neither is published.",
    )
