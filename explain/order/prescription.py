"""The eyes of an order: a line or a group for each, and the addition."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from explain.optics.power import SphereCylinder
from explain.order.additions import adds_differ, read_add, read_both_adds
from explain.order.faults import Remark, UnclearError
from explain.order.fields import Section
from explain.order.model import EyePrescription, Prism
from explain.order.nodes import Group, Series, Text
from explain.order.prisms import prism_remarks, read_prism_parts, read_prisms
from explain.order.typed import read_axis, read_cylinder, read_eye, read_sphere

SIDES = ("right", "left")
NOT_ORDERED = ("none", "not ordered", "no lens")


class Adds(Struct, frozen=True):
    """The additions of a pair [D]; None where none is typed."""

    right_dpt: float | None = None
    left_dpt: float | None = None

    def of(self, side: str) -> float | None:
        """The addition of one side."""
        return self.right_dpt if side == "right" else self.left_dpt


def read_side(section: Section, side: str, whose: str, ignore: Iterable[str] = ()) -> EyePrescription | None:
    """One eye of a group, or None when its lens is not part of the pair or is faulty.

    ignore: kinds of remark that do not matter here, such as "step" for measured values.
    """
    entry = section.entry(side)
    if entry is None:
        return None
    if isinstance(entry.value, Group):
        return _eye_from_group(section, side, whose, tuple(ignore))
    raw = "" if isinstance(entry.value, Text) and not entry.value.text.strip() else section.raw_text(side)
    if raw is None or raw.lower() in NOT_ORDERED:
        return None
    eye = section.attempt(side, lambda: read_eye(raw, whose, side))
    if eye is None:
        return None
    _note(section, side, eye.remarks, tuple(ignore))
    return EyePrescription(" ".join(raw.split()), eye.power, eye.prisms, eye.add_dpt or None)


def read_adds(section: Section, ignore: Iterable[str] = ()) -> Adds:
    """The add of a group: one value for both, a text with both, or a group with right and left."""
    entry = section.entry("add")
    if entry is None:
        return Adds()
    if isinstance(entry.value, Group):
        return _adds_from_group(section)
    raw = section.raw_text("add")
    read = None if raw is None else section.attempt("add", lambda: _adds_of(raw))
    if read is None:
        return Adds()
    adds, remarks = read
    _note(section, "add", remarks, tuple(ignore))
    return adds


def with_add(eye: EyePrescription | None, add_dpt: float | None, section: Section, side: str) -> EyePrescription | None:
    """The eye with the pair's addition. Two different additions for one eye are a fault."""
    if eye is None or add_dpt is None:
        return eye
    if eye.add_dpt is not None and eye.add_dpt != add_dpt:
        section.fault(
            side,
            Remark(
                f"the {side} eye has two additions: {eye.add_dpt:g} in its line and {add_dpt:g} behind add",
                "One addition belongs to one lens.",
                "Take one of the two out.",
            ),
        )
    return replace(eye, add_dpt=add_dpt)


def _adds_of(raw: str) -> tuple[Adds, tuple[Remark, ...]]:
    try:
        add, remarks = read_add(raw, "the pair")
    except UnclearError:
        if not any(sign in raw for sign in "/rRlL"):
            raise
        right, left, remarks = read_both_adds(raw)
        return Adds(right or None, left or None), remarks
    return Adds(add or None, add or None), remarks


def _adds_from_group(section: Section) -> Adds:
    group = section.child("add")
    if group is None:
        return Adds()
    values = [_one_add(group, side) for side in SIDES]
    right, left = values
    if right and left and right != left:
        section.doubt("add", adds_differ(f"{right:.2f}", f"{left:.2f}"))
    return Adds(*values)


def _one_add(group: Section, side: str) -> float | None:
    raw = group.raw_text(side)
    read = None if raw is None else group.attempt(side, lambda: read_add(raw, f"the {side} eye"))
    if read is None:
        return None
    _note(group, side, read[1], ())
    return read[0] or None


def _eye_from_group(section: Section, side: str, whose: str, ignore: tuple[str, ...]) -> EyePrescription | None:
    group = section.child(side)
    if group is None:
        return None
    power = _power_from_group(group, whose, ignore)
    prisms = _prisms_from_group(group, whose, side)
    add = _one_add_of_eye(group, whose, ignore)
    if power is None:
        return None
    return EyePrescription(_as_line(group, power), power, prisms, add)


def _power_from_group(group: Section, whose: str, ignore: tuple[str, ...]) -> SphereCylinder | None:
    raw_sphere, raw_cylinder, raw_axis = (group.raw_text(name) for name in ("sphere", "cylinder", "axis"))
    sphere = None if raw_sphere is None else group.attempt("sphere", lambda: read_sphere(raw_sphere, whose))
    cylinder = None if raw_cylinder is None else group.attempt("cylinder", lambda: read_cylinder(raw_cylinder, whose))
    axis = None if raw_axis is None else group.attempt("axis", lambda: read_axis(raw_axis, whose))
    _note(group, "sphere", sphere[1] if sphere else (), ignore)
    _note(group, "cylinder", cylinder[1] if cylinder else (), ignore)
    if group.has("cylinder") and cylinder is None:
        return None
    cylinder_dpt = cylinder[0] if cylinder else 0.0
    _match_axis(group, whose, cylinder_dpt, axis)
    if sphere is None or (cylinder_dpt and axis is None):
        return None
    return SphereCylinder(sphere[0], cylinder_dpt, axis) if cylinder_dpt and axis else SphereCylinder(sphere[0])


def _match_axis(group: Section, whose: str, cylinder_dpt: float, axis: float | None) -> None:
    if cylinder_dpt and not group.has("axis"):
        how = "Add it beside the cylinder" if group.group.inline else "Add it on the next line"
        group.fault(
            "cylinder",
            Remark(
                f"{whose} has a cylinder but no axis",
                "A cylinder needs an axis: a whole number of degrees from 1 to 180.",
                f"{how}, for example:   axis: 90",
            ),
        )
    if not group.has("cylinder") and group.has("axis"):
        group.fault(
            "axis",
            Remark(
                f"{whose} has an axis but no cylinder",
                "An axis is the direction of a cylinder; without one it says nothing.",
                "Add the cylinder, for example:   cylinder: -0.75   or take the axis out.",
            ),
        )
    elif not cylinder_dpt and axis is not None:
        group.doubt(
            "axis",
            Remark(
                f"{whose} has an axis but its cylinder is nothing",
                "Without a cylinder an axis says nothing.",
                "Take the axis out, or type the cylinder that is missing.",
            ),
        )


def _prisms_from_group(group: Section, whose: str, side: str) -> tuple[Prism, ...]:
    entry = group.entry("prism")
    if entry is None:
        return ()
    if isinstance(entry.value, Group):
        parts = group.child("prism")
        amount, base = (parts.raw_text("amount"), parts.raw_text("base")) if parts else (None, None)
        if amount is None or base is None:
            return ()
        prisms = group.attempt("prism", lambda: read_prism_parts(amount, base, whose, side))
    else:
        raw = _joined(group) if isinstance(entry.value, Series) else group.raw_text("prism")
        prisms = None if raw is None else group.attempt("prism", lambda: read_prisms(raw, whose, side))
    _note(group, "prism", prism_remarks(prisms or (), whose), ())
    return prisms or ()


def _joined(group: Section) -> str | None:
    items = group.items("prism")
    return " & ".join(item.text for item in items) if items else None


def _one_add_of_eye(group: Section, whose: str, ignore: tuple[str, ...]) -> float | None:
    raw = group.raw_text("add")
    read = None if raw is None else group.attempt("add", lambda: read_add(raw, whose))
    if read is None:
        return None
    _note(group, "add", read[1], ignore)
    return read[0] or None


def _as_line(group: Section, power: SphereCylinder) -> str:
    parts = [_typed(group, "sphere")]
    if power.cylinder_dpt:
        parts += [_typed(group, "cylinder"), "x", _typed(group, "axis")]
    return " ".join(parts)


def _typed(group: Section, name: str) -> str:
    entry = group.entry(name)
    return " ".join(entry.value.text.split()) if entry and isinstance(entry.value, Text) else ""


def _note(section: Section, name: str, remarks: Iterable[Remark], ignore: tuple[str, ...]) -> None:
    for remark in remarks:
        if remark.kind not in ignore:
            section.doubt(name, remark)
