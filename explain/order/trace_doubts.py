"""Where an order and its trace file differ: the order wins, and each difference is named with both values."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from explain.facts import material
from explain.optics.power import SphereCylinder, near_power, transposed
from explain.order.faults import Remark
from explain.order.keys import MATERIALS
from explain.order.model import EyePrescription, Order, Traced, TracedEye

FoundDoubt = tuple[str, Remark]

SAME_DPT, SAME_DEG, SAME_MM = 0.005, 0.5, 0.05
SAME_INDEX, NEARER_INDEX = 0.01, 0.003
"""Indexes that name one material differ by up to the first (1.67 and 1.66); by the second, another one is nearer."""
SIDES = ("right", "left")


def doubts_about_trace(order: Order) -> Iterator[FoundDoubt]:
    """Every difference between an order and what its trace file says beside the outline."""
    traced = order.frame.traced
    if traced is None:
        return
    eyes = {side: eye for side in SIDES if (eye := _ordered(order, side)) is not None}
    for side, eye in eyes.items():
        yield from _power(order, side, eye, _said(traced, side), traced.file)
    yield from _adds(eyes, traced)
    yield from _pupils(order, traced, tuple(eyes), near=False)
    yield from _pupils(order, traced, tuple(eyes), near=True)
    yield from _heights(order, traced, tuple(eyes))
    yield from _vertex(order, traced, tuple(eyes))
    yield from _material(order, traced, tuple(eyes))


def _ordered(order: Order, side: str) -> EyePrescription | None:
    return order.right if side == "right" else order.left


def _said(traced: Traced, side: str) -> TracedEye:
    return traced.right if side == "right" else traced.left


def _power(order: Order, side: str, eye: EyePrescription, said: TracedEye, file: str) -> Iterator[FoundDoubt]:
    if eye.power is None:
        return
    forms = tuple(_forms(order, eye, eye.power))
    found = [_differences(said, form) for form in forms]
    at = min(range(len(forms)), key=lambda i: len(found[i]))
    if found[at]:
        as_typed = "" if forms[at] == eye.power else " (the order written in the same form)"
        told = f"{'; '.join(found[at])}{as_typed}"
        yield f"prescription.{side}", _remark(file, f"the {side} eye", told, "the prescription")


def _forms(order: Order, eye: EyePrescription, power: SphereCylinder) -> Iterator[SphereCylinder]:
    """The ways in which one power may be written: as typed, with the other sign, and for near in a reading pair."""
    yield power
    yield transposed(power)
    if order.lenses.design == "reading" and eye.add_dpt:
        near = near_power(power, eye.add_dpt)
        yield near
        yield transposed(near)


def _differences(said: TracedEye, power: SphereCylinder) -> list[str]:
    """What the file says otherwise about one form of the power; the axis counts only where there is a cylinder."""
    found = []
    if _apart(said.sphere_dpt, power.sphere_dpt, SAME_DPT):
        found.append(f"sphere {said.sphere_dpt:+.2f}, the order {power.sphere_dpt:+.2f}")
    if _apart(said.cylinder_dpt, power.cylinder_dpt, SAME_DPT):
        found.append(f"cylinder {said.cylinder_dpt:+.2f}, the order {power.cylinder_dpt:+.2f}")
    if said.axis_deg is not None and said.cylinder_dpt and power.cylinder_dpt:
        turn = abs(said.axis_deg - power.axis_deg) % 180
        if min(turn, 180 - turn) > SAME_DEG:
            found.append(f"axis {said.axis_deg:g}, the order {power.axis_deg:g}")
    return found


def _adds(eyes: Mapping[str, EyePrescription], traced: Traced) -> Iterator[FoundDoubt]:
    told = {}
    for side, eye in eyes.items():
        said, own = _said(traced, side).add_dpt, eye.add_dpt or 0.0
        if _apart(said, own, SAME_DPT):
            told[side] = f"an addition of {said:+.2f}, the order {f'{own:+.2f}' if own else 'none'}"
    for side, what in _together(told).items():
        yield "prescription.add", _remark(traced.file, _eyes(side), what, "the prescription")


def _pupils(order: Order, traced: Traced, sides: tuple[str, ...], *, near: bool) -> Iterator[FoundDoubt]:
    """Pupil distances of the eyes that are ordered; of both together, where the file has one for both."""
    field, key, what = ("near_pd", "near-pd", "for near") if near else ("pd", "pd", "for far")
    said = [getattr(_said(traced, side), f"{field}_mm") for side in sides]
    ordered = [getattr(order.fit, f"{field}_{side}_mm") for side in sides]
    together = traced.near_pd_was_split if near else traced.pd_was_split
    if together and len(sides) == 2 and None not in (*said, *ordered):
        sides, said, ordered = ("both",), [sum(said)], [sum(ordered)]
    for side, value, own in zip(sides, said, ordered, strict=True):
        if own is not None and _apart(value, own, SAME_MM):
            told = f"a pupillary distance {what} of {value:g} mm, the order {own:g} mm"
            yield f"prescription.{key}", _remark(traced.file, _eyes(side), told, "the measurement")


def _heights(order: Order, traced: Traced, sides: tuple[str, ...]) -> Iterator[FoundDoubt]:
    told = {}
    for side in sides:
        said, own = _height(order.lenses.design, _said(traced, side)), getattr(order.fit, f"height_{side}_mm")
        if own is None and said is not None and _apart(said, order.frame.depth_mm / 2, SAME_MM):
            told[side] = f"a height of {said:g} mm, the order none, so half-way up is taken"
        elif own is not None and _apart(said, own, SAME_MM):
            told[side] = f"a height of {said:g} mm, the order {own:g} mm"
    for side, what in _together(told).items():
        yield "prescription.heights", _remark(traced.file, _eyes(side), what, "the measurement")


def _height(design: str, said: TracedEye) -> float | None:
    """The height that belongs to the order's heights: of the segment or fitting cross, else of the optical centre."""
    if design == "bifocal":
        return said.segment_height_mm
    if design == "progressive" and said.segment_height_mm is not None:
        return said.segment_height_mm
    return said.centre_height_mm


def _vertex(order: Order, traced: Traced, sides: tuple[str, ...]) -> Iterator[FoundDoubt]:
    """The distance from lens to eye, where the order gives one."""
    own = order.lenses.vertex_mm
    told = {}
    for side in sides:
        said = _said(traced, side).vertex_mm
        if own is not None and _apart(said, own, SAME_MM):
            told[side] = f"a distance from lens to eye of {said:g} mm, the order {own:g} mm"
    for side, what in _together(told).items():
        yield "lenses.vertex", _remark(traced.file, _eyes(side), what, "the measurement")


def _material(order: Order, traced: Traced, sides: tuple[str, ...]) -> Iterator[FoundDoubt]:
    """A lens index that belongs to another material of our table, or to none near the ordered one."""
    ordered = material(order.lenses.material).index_at_587_6_nm
    told = {}
    for side in sides:
        index = _said(traced, side).lens_index
        if index is not None and _is_another_material(index, ordered):
            told[side] = f"a material of index {index:g}, the order {order.lenses.material} ({ordered:g})"
    for side, what in _together(told).items():
        whose = "both lenses" if side == "both" else f"the {side} lens"
        yield "lenses.material", _remark(traced.file, whose, what, "the order")


def _is_another_material(index: float, ordered: float) -> bool:
    nearest = min(abs(material(key).index_at_587_6_nm - index) for key in MATERIALS)
    return _apart(index, ordered, min(SAME_INDEX, nearest + NEARER_INDEX))


def _together(told: Mapping[str, str]) -> Mapping[str, str]:
    """The same said of both sides is said once."""
    same = len(told) == 2 and len(set(told.values())) == 1
    return {"both": told["right"]} if same else told


def _eyes(side: str) -> str:
    return "both eyes" if side == "both" else f"the {side} eye"


def _apart(said: float | None, own: float, same: float) -> bool:
    return said is not None and abs(said - own) > same + 1e-9


def _remark(file: str, whose: str, told: str, look_at: str) -> Remark:
    return Remark(
        f"{file} gives {whose} {told}",
        "The page follows the order; an order and its trace file usually agree.",
        f"Look at {look_at}. If the order is right, leave it.",
    )
