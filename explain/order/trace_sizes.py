"""Sizes that a trace file states, set beside its own outline: two answers that differ are believed neither."""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import replace

from explain.optics.boxing import effective_diameter_mm
from explain.optics.outline import perimeter_mm
from explain.order.faults import Findings, Remark
from explain.order.trace_points import TRACE_AGAIN, TracedOutline
from explain.order.trace_sides import OTHER, Sides
from explain.order.trace_values import Values

DOUBTED_MM, REFUSED_MM = 0.05, 0.1
UNCONFIRMED_GAP = 0.01
ROUND_DOUBTED_MM = 0.07
"""Makers' patterns state a way round 0.04 to 0.06 mm shorter than their own points give."""
NARROWEST_BRIDGE_MM, WIDEST_BRIDGE_MM = 8.0, 30.0
MEANINGS = {
    "HBOX": "a width",
    "VBOX": "a depth",
    "FED": "an effective diameter",
    "CIRC": "a way round",
}


def cross_check(values: Values, sides: Sides, findings: Findings) -> None:
    """Set every stated size beside the radii: over 0.1 mm apart is a fault, over 0.05 a doubt.

    A mirrored side has no radii of its own, so differences there are doubts. So are those in the effective diameter
    and the way round of an outline with a gap: the gap may be the reason.
    """
    for side, outline in sides.sent.items():
        _refuse_unconfirmed_gap(side, outline, values, findings)
    for label in MEANINGS:
        found = [one for side in OTHER if (one := _apart(label, side, values, sides)) is not None]
        if len(found) == 2 and found[0].same_as(found[1]):
            found = [replace(found[0], whose="both lenses")]
        for one in found:
            one.note(findings)


def _refuse_unconfirmed_gap(side: str, outline: TracedOutline, values: Values, findings: Findings) -> None:
    """Refuse an outline with more than a small gap, unless the file states the box it should fill."""
    stated = [values.sizes(label).of(side) for label in ("HBOX", "VBOX")]
    missing, there = outline.missing, len(outline.points)
    if None in stated and missing > max(1, UNCONFIRMED_GAP * (there + missing)):
        message = f"{missing} radii of the {side} lens are missing, and no stated size shows what is left to be right"
        allowed = "A gap of 1 in 100 is closed; a larger one only where HBOX and VBOX agree with the rest."
        findings.fault("", outline.line, Remark(message, allowed, TRACE_AGAIN))


def bridge_mm(values: Values, findings: Findings) -> float | None:
    """Distance between the lenses that the file states [mm]; None when it does not. Beyond 8 to 30 is a fault."""
    stated = values.sizes("DBL")
    bridge = stated.any
    if bridge is not None and not NARROWEST_BRIDGE_MM <= bridge <= WIDEST_BRIDGE_MM:
        message = f"DBL says {bridge:g} mm between the lenses"
        allowed = f"The bridge of a frame is {NARROWEST_BRIDGE_MM:g} to {WIDEST_BRIDGE_MM:g} mm."
        findings.fault("", stated.line, Remark(message, allowed, "Measure it, and correct the file."))
    if stated.right is not None and stated.left is not None and stated.right != stated.left:
        message = f"DBL says {stated.right:g} and {stated.left:g} mm between the lenses"
        remark = Remark(message, "A frame has one bridge, and so one value.", f"{bridge:g} mm was used. Measure it.")
        findings.doubt("", stated.line, remark)
    return bridge


def sizes_in_words(values: Values) -> tuple[str, str]:
    """What a file without a readable outline still says, and how to type it into the order."""
    wide, deep = values.sizes("HBOX").any, values.sizes("VBOX").any
    bridge = values.sizes("DBL").any
    parts = ((wide, "wide"), (deep, "deep"), (bridge, "between the lenses"))
    stated = [f"{value:g} mm {what}" for value, what in parts if value is not None]
    if not stated:
        return "The file gives no sizes either.", "outline: rounded"
    size = f"size: {wide:g}-{bridge:g}, " if wide is not None and bridge is not None else ""
    depth = f"depth: {deep:g}, " if deep is not None else ""
    return f"The sizes in the file still serve: {', '.join(stated)}.", f"{size}{depth}outline: rounded"


class _Apart(Struct, frozen=True):
    """A stated size and the one by the radii [mm], farther apart than rounding explains."""

    line: int
    label: str
    whose: str
    stated: float
    found: float
    is_fault: bool

    def same_as(self, other: _Apart) -> bool:
        """True when only the side differs."""
        return (self.stated, round(self.found, 2), self.is_fault) == (
            other.stated,
            round(other.found, 2),
            other.is_fault,
        )

    def note(self, findings: Findings) -> None:
        advice = f"Believe neither. {TRACE_AGAIN}" if self.is_fault else "Look at the frame; the outline was used."
        message = (
            f"{self.label} gives {self.whose} {MEANINGS[self.label]} of {self.stated:.2f} mm, but the radii give "
            f"{self.found:.2f} mm"
        )
        remark = Remark(message, f"The two agree within {REFUSED_MM:g} mm in a sound file.", advice)
        (findings.fault if self.is_fault else findings.doubt)("", self.line, remark)


def _apart(label: str, side: str, values: Values, sides: Sides) -> _Apart | None:
    said, outline = values.sizes(label), sides.sent.get(side)
    stated = said.of(side)
    if stated is None:
        return None
    found = _by_radii(label, stated, outline or sides.sent[OTHER[side]])
    off = abs(stated - found) - _rounding(label, values)
    decisive = outline is not None and (outline.is_whole or label in ("HBOX", "VBOX"))
    if off <= (ROUND_DOUBTED_MM if label == "CIRC" else DOUBTED_MM):
        return None
    return _Apart(said.line, label, f"the {side} lens", stated, found, off > REFUSED_MM and decisive)


def _by_radii(label: str, stated: float, outline: TracedOutline) -> float:
    """The same size by the radii. The effective diameter counts from the tracer's centre or from the box's."""
    if label == "CIRC":
        return perimeter_mm(outline.points)
    if label == "FED":
        both = (2 * outline.longest_radius_mm, effective_diameter_mm(outline.points))
        return min(both, key=lambda diameter: abs(diameter - stated))
    return outline.box_mm[0 if label == "HBOX" else 1]


def _rounding(label: str, values: Values) -> float:
    """Half of the last figure written: an effective diameter of 52 stands for 51.5 to 52.5."""
    return 0.5 * math.pow(10, -values.places(label)) if label in ("FED", "CIRC") else 0.0
