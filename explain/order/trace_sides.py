"""The two sides of a traced frame: which lists belong to which, and the missing one mirrored from the other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from explain.language import later
from explain.optics.outline import Points, mirrored_outline, radii_at_equal_angles_mm
from explain.order.faults import Findings, Remark
from explain.order.trace_lists import SIDES, SentOutline
from explain.order.trace_points import TRACE_AGAIN, TracedOutline, outline_points
from explain.order.trace_records import UnusableError

COMPARED_ANGLES = 72
SAME_MM, SIDES_APART_MM = 0.05, 1.5
OTHER = {"right": "left", "left": "right"}
ONLY_ONE_TRACED = {
    "right": later("Only the right side of your frame was traced. We mirrored it for the other side."),
    "left": later("Only the left side of your frame was traced. We mirrored it for the other side."),
}
ONE_FOR_BOTH = later("One outline was sent for both sides of your frame. We mirrored it for the left lens.")
SMALL_GAP = later("The tracing of your frame has a small gap. We closed it with a straight line.")
SOURCES = {
    "P": later("The shape of your lenses comes from the frame maker's pattern, not from a tracing of your own frame."),
    "D": later("The shape of your lenses was traced from the sample lenses that came in your frame."),
}


class Sides(Struct, frozen=True):
    """Both outlines [mm], the one that was sent for each side, and what was assumed, in words for the customer.

    sent holds only sides whose own outline was sent; a side that is missing from it mirrors the other.
    """

    right: Points
    left: Points
    sent: Mapping[str, TracedOutline]
    notes: tuple[str, ...]


def two_sides(announced: Sequence[SentOutline], findings: Findings) -> Sides | None:
    """Both sides, or None when no outline can be used: then the findings say why, unless none was sent at all."""
    sent = _by_side(announced, findings)
    sides = [side for side in ("right", "left") if side in sent]
    if not sides:
        return None
    missing = [side for side in OTHER if side not in sent]
    for side in missing:
        findings.doubt("", sent[sides[0]].line, _missing(side, announced))
    right, left = (_points(side, sent) for side in ("right", "left"))
    if not missing:
        _compare(right, left, sent["left"].line, findings)
    return Sides(right, left, sent, tuple(_notes(sent, missing, announced)))


def _by_side(announced: Sequence[SentOutline], findings: Findings) -> dict[str, TracedOutline]:
    found: dict[str, TracedOutline] = {}
    for one in announced:
        if not one.is_plain:
            continue
        if not one.radii:
            _doubt_empty(one, findings)
            continue
        try:
            _enter(found, one, outline_points(one, findings))
        except UnusableError as unusable:
            findings.fault("", unusable.line, unusable.remark)
    return found


def _enter(found: dict[str, TracedOutline], sent: SentOutline, outline: TracedOutline) -> None:
    side = {"both": "right"}.get(SIDES.get(sent.side, ""), SIDES.get(sent.side))
    if side is None:
        message = "it is not said whether this outline is the right or the left one"
        allowed = "The fourth value of TRCFMT is R for the right lens (of the wearer) or L for the left one."
        raise UnusableError(sent.line, Remark(message, allowed, "Add it to that line, or trace the frame again."))
    before = found.setdefault(side, outline)
    if before is not outline and _farthest_apart_mm(before.points, outline.points) > SAME_MM:
        message = f"there are two different outlines of the {side} lens (the first on line {before.line})"
        raise UnusableError(sent.line, Remark(message, "Each side has one outline.", f"Take one out. {TRACE_AGAIN}"))


def _points(side: str, sent: Mapping[str, TracedOutline]) -> Points:
    return sent[side].points if side in sent else mirrored_outline(sent[OTHER[side]].points)


def _compare(right: Points, left: Points, line: int, findings: Findings) -> None:
    """Doubt a left outline that is far from the right one mirrored."""
    apart_mm = _farthest_apart_mm(right, mirrored_outline(left))
    if apart_mm <= SIDES_APART_MM:
        return
    message = f"the right outline and the left one, mirrored, are up to {apart_mm:.1f} mm apart"
    allowed = f"In most frames the two sides agree within {SIDES_APART_MM:g} mm."
    advice = "Look at the frame; if it is like that, leave it."
    if _farthest_apart_mm(right, left) <= SIDES_APART_MM / 2:
        advice = "Both look like outlines of the same lens. Trace the left side again."
    findings.doubt("", line, Remark(message, allowed, advice))


def _farthest_apart_mm(one: Points, other: Points) -> float:
    radii = [radii_at_equal_angles_mm(points, COMPARED_ANGLES) for points in (one, other)]
    first, second = radii
    return max(abs(a - b) for a, b in zip(first, second, strict=True))


def _doubt_empty(sent: SentOutline, findings: Findings) -> None:
    if sent.count.strip("0"):
        message = f"the outline of the {sent.lens} is announced, but no radii follow"
        allowed = "Radii follow on lines that start with R=."
        findings.doubt("", sent.line, Remark(message, allowed, "Trace the frame again if that side was traced."))


def _missing(side: str, announced: Sequence[SentOutline]) -> Remark:
    packed = [one for one in announced if one.is_packed and SIDES.get(one.side) == side]
    why = f"the outline of the {side} lens is packed ({packed[0].form_in_words})" if packed else ""
    if _is_for_both(announced):
        why = "there is one outline for both sides"
    message = f"{why or f'the outline of the {side} lens is not in the file'}; the {OTHER[side]} one was mirrored"
    return Remark(message, "A frame has two sides, and they can differ a little.", "Trace both sides if you can.")


def _is_for_both(announced: Sequence[SentOutline]) -> bool:
    return any(SIDES.get(one.side) == "both" and one.is_plain and one.radii for one in announced)


def _notes(sent: Mapping[str, TracedOutline], missing: Sequence[str], announced: Sequence[SentOutline]) -> list[str]:
    notes = []
    if missing and _is_for_both(announced):
        notes.append(ONE_FOR_BOTH)
    elif missing:
        notes.append(ONLY_ONE_TRACED[OTHER[missing[0]]])
    sources = dict.fromkeys(SOURCES[one.source] for one in sent.values() if one.source in SOURCES)
    notes += sources
    if not all(one.is_whole for one in sent.values()):
        notes.append(SMALL_GAP)
    return notes
