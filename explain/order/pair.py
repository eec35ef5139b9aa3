"""The prescription of a pair: both eyes, their additions, and whether they suit the design."""

from __future__ import annotations

from msgspec import Struct

from explain.optics.power import SphereCylinder
from explain.order.faults import Remark
from explain.order.fields import Section
from explain.order.model import EyePrescription
from explain.order.prescription import SIDES, read_adds, read_side, with_add

NEED_ADD = ("progressive", "bifocal", "reading")
PLANO = EyePrescription("plano", SphereCylinder(0.0))


class Pair(Struct, frozen=True):
    """The two eyes of an order; None for an eye whose lens is not part of it."""

    right: EyePrescription | None
    left: EyePrescription | None

    @property
    def ordered(self) -> frozenset[str]:
        """The sides that are part of the order."""
        return frozenset(side for side in SIDES if getattr(self, side) is not None)


def read_pair(section: Section, design: str | None) -> Pair | None:
    """Both eyes with their additions, or None when one of them is faulty."""
    before = section.findings.count
    if design == "plano":
        _refuse_add(section)
    eyes = {side: read_side(section, side, f"the {side} eye") for side in SIDES}
    adds = read_adds(section)
    if section.findings.count > before:
        return None
    if design == "plano" and not any(section.has(side) for side in SIDES):
        eyes = dict.fromkeys(SIDES, PLANO)
    pair = Pair(*(with_add(eyes[side], adds.of(side), section, side) for side in SIDES))
    _match_design(section, pair, design)
    return pair if section.findings.count == before else None


def _match_design(section: Section, pair: Pair, design: str | None) -> None:
    if not pair.ordered:
        section.fault(
            "right",
            Remark(
                "no lens is ordered: neither the right nor the left eye has a power",
                "At least one eye has a power; with the design plano both may be left out.",
                "Add the eyes under prescription, for example:   right: -2.00 DS",
            ),
        )
    if all(getattr(pair, side).is_balance for side in pair.ordered) and pair.ordered:
        section.fault(
            "right" if pair.right else "left",
            Remark(
                "there is a balance lens, but no lens with a power to match",
                "A balance lens is made to look like the other lens of the pair.",
                "Type the power of the other eye, for example:   left: -2.00 DS",
            ),
        )
    for side in sorted(pair.ordered, reverse=True):
        _match_eye(section, side, getattr(pair, side), design)
    _match_add(section, pair, design)


def _match_eye(section: Section, side: str, eye: EyePrescription, design: str | None) -> None:
    if design == "plano" and (eye.power is None or eye.power.sphere_dpt or eye.power.cylinder_dpt):
        section.fault(
            side,
            Remark(
                f"the {side} eye has a power, but the design is plano",
                "Plano lenses have no power.",
                f"Type   {side}: plano   or another design, for example:   design: single-vision",
            ),
        )
    if design == "plano" and eye.prisms:
        section.fault(
            side,
            Remark(
                f"the {side} eye has prism, but the design is plano",
                "Plano lenses here are glasses without a prescription, and prism is one.",
                "Choose another design, for example:   design: single-vision",
            ),
        )


def _match_add(section: Section, pair: Pair, design: str | None) -> None:
    without = [side for side in SIDES if side in pair.ordered and _needs_add(getattr(pair, side))]
    if design not in NEED_ADD or not without:
        return
    who = "there is none" if without == sorted(pair.ordered, reverse=True) else f"the {without[0]} eye has none"
    key = section.key("add")
    advice = f"Add it under prescription, for example:   {key.example}"
    section.fault("add", Remark(f"{design} lenses need an addition, and {who}", key.allowed, advice))


def _needs_add(eye: EyePrescription) -> bool:
    return eye.add_dpt is None and not eye.is_balance


def _refuse_add(section: Section) -> None:
    if section.has("add"):
        section.fault(
            "add",
            Remark(
                "there is an addition, but the design is plano",
                "Plano lenses have no power, also not for reading.",
                "Take the addition out, or type another design, for example:   design: reading",
            ),
        )
