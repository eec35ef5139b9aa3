"""Laws that every pair of lenses obeys, whatever was ordered; told again here from the books, not from explain/."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec.structs import replace
from pytest import approx  # noqa: PT013  one word in many laws

from explain.optics.lens import thickness_mm
from explain.optics.outline import mirrored_outline
from explain.optics.power import SphereCylinder
from explain.order.model import EyePrescription, Fit, Order
from explain.site.numbers import numbers_text
from explain.story.pair import EyeLens, InMaterial, Pair, work_out

CLOSE = 1e-6
BETWEEN = {
    "_mm": (-200, 5000),
    "weight_g": (0, 500),
    "_dpt": (-60, 60),
    "_deg": (0, 360),
    "_cm": (-100_000, 100_000),
    "_of_100": (0, 100),
    "_ratio": (-1, 2),
}
"""What a figure may be at all, by the unit in its name."""


def hold_for(pair: Pair) -> None:
    """Every law, for the pair and each material it was worked out in."""
    for made in (pair.chosen, *pair.others):
        assert set(made.lenses) == {eye.side for eye in pair.eyes}
        for eye in pair.eyes:
            lens_keeps_its_thickness(pair, made, eye.side)
            lens_has_its_power(eye.made, made.lenses[eye.side])
            prism_lies_at_its_base(pair.order, eye.side, made.lenses[eye.side])
            weight_is_that_of_its_volume(made, made.lenses[eye.side])
    bill_adds_up(pair.order)
    numbers_are_finite_and_likely(pair)


def lens_keeps_its_thickness(pair: Pair, made: InMaterial, side: str) -> None:
    """Nowhere thinner than the least, and one of the two least thicknesses is reached, or the stock lens's."""
    one, of = made.lenses[side], made.material
    safe = 2.0 if {"child", "one good eye"} & set(pair.order.wearer) else 0.0
    least_centre = max(safe, of.minimum_centre_mm)
    assert one.lens.centre_mm >= least_centre - CLOSE
    assert one.thinnest_edge.thickness_mm >= of.minimum_edge_mm - CLOSE
    assert one.thickest_mm >= one.thickest_edge.thickness_mm >= one.thinnest_edge.thickness_mm
    assert one.thickest_mm >= one.lens.centre_mm
    plain = not (one.lens.wedge_right or one.lens.wedge_up or pair.order.lenses.blank_mm)
    if plain and one.lens.centre_mm > least_centre + CLOSE:
        assert one.thinnest_edge.thickness_mm == approx(of.minimum_edge_mm, abs=CLOSE)


def lens_has_its_power(ordered: SphereCylinder, one: EyeLens) -> None:
    """F'v = F1 / (1 - t F1 / n) + F2 is the ordered power along the axis, and with the cylinder across it."""
    lens, back = one.lens, one.lens.back
    surface = 1000 * (lens.index - 1)
    front = surface * lens.front_per_mm
    reaching = front / (1 - lens.centre_mm / 1000 * front / lens.index)
    for direction in (ordered.axis_deg, ordered.axis_deg + 90):
        turn = math.radians(direction - back.direction_deg)
        curved = back.along_per_mm * math.cos(turn) ** 2 + back.across_per_mm * math.sin(turn) ** 2
        across = math.sin(math.radians(direction - ordered.axis_deg)) ** 2
        assert reaching - surface * curved == approx(ordered.sphere_dpt + ordered.cylinder_dpt * across, abs=CLOSE)


def prism_lies_at_its_base(order: Order, side: str, one: EyeLens) -> None:
    """The lens thickens at its reference point towards the base of the ordered prism, and not at all without one."""
    nose = 1 if side == "right" else -1
    eye: EyePrescription = getattr(order, side)
    towards = {"in": (nose, 0), "out": (-nose, 0), "up": (0, 1), "down": (0, -1)}
    right = sum(prism.amount_prism_dpt * towards[prism.base][0] for prism in eye.prisms)
    up = sum(prism.amount_prism_dpt * towards[prism.base][1] for prism in eye.prisms)
    step = 1e-4
    at = thickness_mm(replace(one.lens, add_dpt=0.0), np.array([step, -step, 0, 0]), np.array([0, 0, step, -step]))
    slope_right, slope_up = (at[0] - at[1]) / (2 * step), (at[2] - at[3]) / (2 * step)
    assert (round(slope_right, 6) > 0, round(slope_right, 6) < 0) == (right > CLOSE, right < -CLOSE)
    assert (round(slope_up, 6) > 0, round(slope_up, 6) < 0) == (up > CLOSE, up < -CLOSE)


def weight_is_that_of_its_volume(made: InMaterial, one: EyeLens) -> None:
    """More than nothing, and between its area at its thinnest and at its thickest."""
    points = np.array(one.lens.outline)
    x, y = points[:, 0], points[:, 1]
    area = abs(float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))) / 2
    inside = np.concatenate([thickness_mm(one.lens, x * share, y * share) for share in np.linspace(0, 1, 41)])
    grams = made.material.density_g_per_cm3 / 1000 * area
    assert one.weight_g > 0
    assert grams * float(inside.min()) * 0.99 <= one.weight_g <= grams * float(inside.max()) * 1.01


def bill_adds_up(order: Order) -> None:
    """The lines are the total; what was paid and what is to pay are the total."""
    bill = order.bill
    assert sum(line.amount for line in bill.lines) == bill.total
    if bill.paid is not None and bill.balance is not None:
        assert bill.paid + bill.balance == bill.total


def numbers_are_finite_and_likely(pair: Pair) -> None:
    """The figures are JSON as the standard has it, and each is what its unit can be."""
    figures = json.loads(numbers_text(pair), parse_constant=_not_a_number)
    for name, figure in _named(figures, ""):
        if isinstance(figure, (int, float)) and not isinstance(figure, bool):
            low, high = next((ends for unit, ends in BETWEEN.items() if name.endswith(unit)), (-math.inf, math.inf))
            assert math.isfinite(figure), name
            assert low <= figure <= high, f"{name}: {figure}"


def form_does_not_matter(pair: Pair) -> None:
    """Written with the other sign of cylinder, the prescription makes the same lenses."""
    other = replace(pair.order, right=_in_other_form(pair.order.right), left=_in_other_form(pair.order.left))
    _are_alike(pair.chosen, work_out(other, pair.shop).chosen, {"right": "right", "left": "left"})


def mirror_does_not_matter(pair: Pair) -> None:
    """With the eyes exchanged and everything mirrored, each lens is what its fellow was."""
    order, fit, frame = pair.order, pair.order.fit, pair.order.frame
    outline = frame.outline
    if frame.left_outline is not None and not isinstance(outline, str):
        frame = replace(frame, outline=mirrored_outline(frame.left_outline), left_outline=mirrored_outline(outline))
    other = replace(order, right=_mirrored(order.left), left=_mirrored(order.right), fit=_exchanged(fit), frame=frame)
    _are_alike(pair.chosen, work_out(other, pair.shop).chosen, {"right": "left", "left": "right"})


def _are_alike(made: InMaterial, other: InMaterial, sides: dict[str, str]) -> None:
    assert {sides[side] for side in made.lenses} == set(other.lenses)
    for side, one in made.lenses.items():
        fellow = other.lenses[sides[side]]
        for name in ("thickest_mm", "thinnest_mm", "weight_g"):
            assert getattr(fellow, name) == approx(getattr(one, name), abs=1e-4), (side, name)


def _in_other_form(eye: EyePrescription | None) -> EyePrescription | None:
    if eye is None or eye.power is None:
        return eye
    sphere, cylinder, axis = eye.power.sphere_dpt, eye.power.cylinder_dpt, eye.power.axis_deg
    return replace(eye, power=SphereCylinder(sphere + cylinder, -cylinder, (axis + 90) % 180 or 180.0))


def _mirrored(eye: EyePrescription | None) -> EyePrescription | None:
    if eye is None or eye.power is None:
        return eye
    return replace(eye, power=replace(eye.power, axis_deg=(180 - eye.power.axis_deg) % 180 or 180.0))


def _exchanged(fit: Fit) -> Fit:
    return Fit(
        fit.pd_left_mm, fit.pd_right_mm, fit.pd_was_split,
        fit.near_pd_left_mm, fit.near_pd_right_mm, fit.height_left_mm, fit.height_right_mm,
    )  # fmt: skip


def _named(figures: Any, name: str) -> Iterator[tuple[str, Any]]:
    if isinstance(figures, dict):
        for inner, value in figures.items():
            yield from _named(value, inner)
    elif isinstance(figures, list):
        for value in figures:
            yield from _named(value, name)
    else:
        yield name, figures


def _not_a_number(name: str) -> None:
    raise AssertionError(f"{name} in numbers.json")
