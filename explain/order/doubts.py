"""What was read without a fault and still looks improbable: pairs of values that seldom stand together.

The limits here are common practice in a dispensing room, without a source unless one is named; they only ask the
optician to look again, and never change or stop an order.
"""

from __future__ import annotations

from collections.abc import Iterator

from explain.facts import may_drive_by_day
from explain.optics.power import SphereCylinder, anisometropia_dpt, spherical_equivalent_dpt, strongest_power_dpt
from explain.order.faults import Remark
from explain.order.fields import bare
from explain.order.model import EyePrescription, Order

FoundDoubt = tuple[str, Remark]

LEAVE = "Look at the prescription again; if it is right, leave it."
MEASURE = "Measure again; if it is right, leave it."
PD_APART_MM = 4.0
HEIGHTS_APART_MM = 2.0
POWERS_APART_DPT = 2.0
SPLIT_PD_UP_TO_DPT = 4.0
ADD_FROM_DPT, ADD_TO_DPT = 0.75, 3.50
ABOVE_CROSS_MM, PROGRESSIVE_HEIGHT_MM, BIFOCAL_HEIGHT_MM = 10.0, 14.0, 12.0
TOUGH_MATERIALS = ("polycarbonate-1.59", "urethane-1.53")
TOUGH_FOR = ("child", "one good eye")
LENS_WORDS = ("lens", "glass", "single vision", "single-vision", "progressive", "bifocal", "reading", "plano", "pair")


def doubts_about(order: Order) -> Iterator[FoundDoubt]:
    """Every doubt about values that were read, with the dotted key it belongs to."""
    for doubt in (_powers, _additions, _pupils, _heights, _lenses, _bill, _people):
        yield from doubt(order)


def _powers(order: Order) -> Iterator[FoundDoubt]:
    powers = _prescribed(order)
    if len(powers) == 2:
        yield from _two_powers(*powers)
    if (
        powers
        and order.lenses.design != "plano"
        and all(abs(strongest_power_dpt(power)) == 0 for power in powers)
        and not _any_add(order)
    ):
        yield (
            "lenses.design",
            Remark(
                "no lens has a power, but the design is not plano",
                "A pair without power has the design plano.",
                "If that is what was ordered, type   design: plano",
            ),
        )


def _two_powers(right: SphereCylinder, left: SphereCylinder) -> Iterator[FoundDoubt]:
    if spherical_equivalent_dpt(right) * spherical_equivalent_dpt(left) < 0:
        yield (
            "prescription.left",
            Remark(
                "one eye has a plus power and the other a minus power",
                "Most pairs have the same sign on both sides.",
                "Look at both signs on the prescription; if they are right, leave them.",
            ),
        )
    apart_dpt = anisometropia_dpt(right, left)
    if apart_dpt >= POWERS_APART_DPT:
        yield (
            "prescription.left",
            Remark(
                f"the eyes are {apart_dpt:g} dioptres apart",
                f"From {POWERS_APART_DPT:g} dioptres the two pictures differ in size, and reading pulls the eyes "
                "apart in height.",
                LEAVE,
            ),
        )


def _additions(order: Order) -> Iterator[FoundDoubt]:
    adds = {side: eye.add_dpt for side, eye in _eyes(order) if eye.add_dpt is not None}
    if len(set(adds.values())) == 1:
        adds = {"pair": next(iter(adds.values()))}
    for whose, add in adds.items():
        if not ADD_FROM_DPT <= add <= ADD_TO_DPT:
            yield f"prescription.add.{whose}", _unusual_add(add)
    if order.lenses.design == "single-vision" and _any_add(order):
        yield (
            "prescription.add",
            Remark(
                "there is an addition, but single-vision lenses do not use it",
                "An addition belongs to progressive, bifocal and reading lenses.",
                "Take it out, or look at the design.",
            ),
        )


def _unusual_add(add_dpt: float) -> Remark:
    usual = f"Most additions are from {ADD_FROM_DPT:.2f} to {ADD_TO_DPT:.2f}."
    return Remark(f"an addition of {add_dpt:.2f} is unusual", usual, LEAVE)


def _pupils(order: Order) -> Iterator[FoundDoubt]:
    fit = order.fit
    if abs(fit.pd_right_mm - fit.pd_left_mm) >= PD_APART_MM:
        yield (
            "prescription.pd",
            Remark(
                f"the pupils are {fit.pd_right_mm:g} and {fit.pd_left_mm:g} mm from the middle of the nose",
                f"The two sides seldom differ by {PD_APART_MM:g} mm or more.",
                MEASURE,
            ),
        )
    if fit.pd_was_split and _pd_matters(order):
        yield (
            "prescription.pd",
            Remark(
                "one pupillary distance was given and split evenly",
                f"For progressive lenses, and for powers over {SPLIT_PD_UP_TO_DPT:g} dioptres, each eye is "
                "measured by itself.",
                "Measure each eye, and type it as in:   pd: 31 / 30.5",
            ),
        )
    if fit.near_pd_right_mm is not None and fit.near_pd_left_mm is not None:
        yield from _near_pupils(fit.pd_right_mm + fit.pd_left_mm, fit.near_pd_right_mm + fit.near_pd_left_mm)


def _near_pupils(far_mm: float, near_mm: float) -> Iterator[FoundDoubt]:
    if near_mm > far_mm:
        yield (
            "prescription.near-pd",
            Remark(
                f"the pupils are farther apart for reading ({near_mm:g} mm) than for far ({far_mm:g} mm)",
                "The eyes turn in to read, so the near distance is the smaller.",
                "Measure again, or change the two round.",
            ),
        )


def _pd_matters(order: Order) -> bool:
    strong = any(abs(strongest_power_dpt(power)) > SPLIT_PD_UP_TO_DPT for power in _prescribed(order))
    return strong or order.lenses.design == "progressive"


def _heights(order: Order) -> Iterator[FoundDoubt]:
    right, left = order.fit.height_right_mm, order.fit.height_left_mm
    if right is None or left is None:
        return
    if abs(right - left) > HEIGHTS_APART_MM:
        yield (
            "prescription.heights",
            Remark(
                f"the fitting heights are {right:g} and {left:g} mm",
                f"The two sides seldom differ by more than {HEIGHTS_APART_MM:g} mm.",
                MEASURE,
            ),
        )
    for height in dict.fromkeys((right, left)):
        yield from _one_height(height, order.frame.depth_mm, order.lenses.design)


def _one_height(height_mm: float, depth_mm: float, design: str) -> Iterator[FoundDoubt]:
    least = {"progressive": PROGRESSIVE_HEIGHT_MM, "bifocal": BIFOCAL_HEIGHT_MM}.get(design)
    if least is not None and height_mm < least:
        yield (
            "prescription.heights",
            Remark(
                f"a fitting height of {height_mm:g} mm leaves little room for reading",
                f"{design.capitalize()} lenses usually need {least:g} mm or more below.",
                "Measure again, or choose a deeper frame.",
            ),
        )
    if design == "progressive" and depth_mm - height_mm < ABOVE_CROSS_MM:
        yield (
            "prescription.heights",
            Remark(
                f"a fitting height of {height_mm:g} mm leaves {depth_mm - height_mm:g} mm above it",
                f"Progressive lenses usually need {ABOVE_CROSS_MM:g} mm above for looking far.",
                "Measure again, or look at the depth of the frame.",
            ),
        )


def _lenses(order: Order) -> Iterator[FoundDoubt]:
    lenses = order.lenses
    tough_for = [who for who in order.wearer if who in TOUGH_FOR]
    if tough_for and lenses.material not in TOUGH_MATERIALS:
        who = "a child" if tough_for[0] == "child" else "somebody with one good eye"
        yield (
            "lenses.material",
            Remark(
                f"the pair is for {who}, and {lenses.material} is not the toughest material",
                "Polycarbonate and urethane lenses are the ones that break least easily.",
                "Think of   material: polycarbonate-1.59   or   material: urethane-1.53",
            ),
        )
    if lenses.blank_mm is not None and any(eye.prisms for _, eye in _eyes(order)):
        yield (
            "lenses.blank",
            Remark(
                "prism is ordered, and lenses from stock have none ground in",
                "We work the lens out as if its prism were ground into that round.",
                "Take the blank out if the lenses are ground for this order; if they are moved off centre, leave it.",
            ),
        )
    if lenses.tint and not may_drive_by_day(lenses.tint.category) and any(use.what == "driving" for use in order.use):
        yield (
            "lenses.tint",
            Remark(
                f"a tint of category {lenses.tint.category} is too dark for driving, and driving is among the uses",
                f"Category {lenses.tint.category} is not suitable for driving at any time of day.",
                "Choose a lighter tint, for example:   tint: {colour: grey, category: 3}   or take driving out.",
            ),
        )


def _bill(order: Order) -> Iterator[FoundDoubt]:
    lenses, lines = order.lenses, order.bill.lines
    if not lines:  # not priced yet
        return
    chosen = [line.choice for line in lines if line.choice]
    named = any(word in line.item.lower() for line in lines for word in LENS_WORDS)
    if not named and not {lenses.design, lenses.material} & set(chosen):
        yield (
            "price",
            Remark(
                "no line of the bill is for the lenses",
                "The bill usually has a line for the design that was ordered.",
                f"Add it, for example:   - {{item: Lenses, amount: 120.00, choice: {lenses.design}}}",
            ),
        )
    if order.bill.total == 0:
        yield (
            "price",
            Remark(
                "the bill adds up to nothing",
                "A bill usually has at least one amount above nothing.",
                "If the pair was free, leave it; otherwise correct the amounts.",
            ),
        )
    for choice in dict.fromkeys(chosen):
        if choice not in ("frame", lenses.design, lenses.material, *lenses.add_ons):
            yield (
                "price",
                Remark(
                    f"the bill charges for {choice}, which was not ordered",
                    "A choice on the bill is usually one that stands under lenses.",
                    "Take the line out, or add it to the lenses.",
                ),
            )


def _people(order: Order) -> Iterator[FoundDoubt]:
    if len(order.first_name.split()) > 1:
        yield (
            "for",
            Remark(
                "this looks like more than a first name",
                "The page says nothing else about who the customer is; a first name is enough.",
                f"Type the first name alone, for example:   for: {bare(order.first_name).split()[0]}",
            ),
        )
    if order.checked and order.checked.on and order.checked.on < order.ordered_on:
        yield (
            "checked.on",
            Remark(
                f"the pair was checked on {order.checked.on}, before it was ordered on {order.ordered_on}",
                "The check comes after the order.",
                "Look at both dates.",
            ),
        )
    early = [one for one in order.inspected if one.on < order.ordered_on]
    if early:
        message = f"the pair was looked at on {early[0].on}, before it was ordered on {order.ordered_on}"
        yield "inspected", Remark(message, "The finished pair comes after the order.", "Look at both dates.")
    if order.sent_on and order.sent_on < (order.checked.on if order.checked and order.checked.on else order.ordered_on):
        yield (
            "sent",
            Remark(
                f"the pair was sent on {order.sent_on}, before it was ordered or checked",
                "Sending comes after the order and the check.",
                "Look at the dates again.",
            ),
        )


def _eyes(order: Order) -> list[tuple[str, EyePrescription]]:
    return [(side, eye) for side, eye in (("right", order.right), ("left", order.left)) if eye]


def _prescribed(order: Order) -> list[SphereCylinder]:
    return [eye.power for _, eye in _eyes(order) if eye.power]


def _any_add(order: Order) -> bool:
    return any(eye.add_dpt for _, eye in _eyes(order))
