"""Points of a traced outline: radii and angles made into a polygon, or refused with the reason."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from explain.optics.outline import Points, box_size_mm, polar_points, recentred, way_round
from explain.order.faults import Findings, Remark
from explain.order.numbers import a_or_an, cut
from explain.order.trace_lists import Sent, SentOutline
from explain.order.trace_records import NOT_KNOWN, UnusableError, number_in

FEWEST_POINTS, MOST_POINTS = 8, 10_000
MISSING_SHARE = 0.05
SAME_RADIUS_MM = 0.05
SAME_ANGLE_DEG = 0.1
LARGEST_GAP_DEG = 90.0
NARROWEST_MM, WIDEST_MM = 30.0, 80.0
SHALLOWEST_MM, DEEPEST_MM = 18.0, 65.0
JUMP_MM, JUMP_SLOPE = 0.5, 3.0
"""Neighbours may differ in radius by JUMP_MM and JUMP_SLOPE times their distance; real outlines stay below 0.7."""
STEP_MM, STEP_SLOPE = 0.2, 0.5
"""A step may differ from those beside it by STEP_MM and STEP_SLOPE times its length; real outlines stay below 0.1."""
TRACE_AGAIN = "Trace the frame again, or name a shape instead, for example:   outline: rounded"
AS_ANNOUNCED = "As many radii follow as the TRCFMT line announces."
LISTED = ("U", "A")


class TracedOutline(Struct, frozen=True):
    """One outline about the middle of its box [mm], counter-clockwise from the viewer's right, as its lens is seen.

    longest_radius_mm: from the tracer's own centre. missing: how many of the points announced are not there.
    source: F, P, D or empty.
    """

    line: int
    points: Points
    longest_radius_mm: float
    missing: int
    source: str

    @property
    def is_whole(self) -> bool:
        """True when no point is missing."""
        return self.missing == 0

    @property
    def box_mm(self) -> tuple[float, float]:
        """Width and depth."""
        return box_size_mm(self.points)


def outline_points(sent: SentOutline, findings: Findings) -> TracedOutline:
    """The outline of one list. Raises UnusableError; smaller oddities become doubts.

    Missing radii at the end of the list leave a gap there, which a straight line crosses: nothing is stretched.
    """
    radii = _numbers(sent.radii, "radius", sent)
    announced = _announced(sent, radii, findings)
    radii = _without_repeats(_without_stray_gaps(radii, announced), announced, sent, findings)
    _count_missing(radii, announced, sent, findings)
    angles = _angles_deg(sent, len(radii), announced, findings)
    known = [(r, a) for r, a in zip(radii, angles, strict=True) if r is not None and a is not None]
    points = _once_round(_without_closing_point(known), sent)
    _doubt_steps(points, sent, findings)
    _refuse_far_from_a_lens(points, sent)
    centred = recentred(points)
    if way_round(centred) != 1:
        raise UnusableError(sent.line, _not_once_round(sent))
    longest = max(math.hypot(x, y) for x, y in points)
    return TracedOutline(sent.line, centred, longest, max(0, announced - len(known)), sent.source)


def _numbers(sent: Sequence[Sent], what: str, outline: SentOutline) -> list[float | None]:
    """Hundredths as millimetres or degrees; None for a value that is not known."""
    found: list[float | None] = []
    for one in sent:
        number = number_in(one.text)
        if number is None and one.text not in NOT_KNOWN:
            raise UnusableError(one.line, _unreadable(one, what, outline))
        if number is not None and what == "radius" and number <= 0:
            raise UnusableError(one.line, _no_radius(one, outline))
        found.append(None if number is None else number / 100)
    return found


def _announced(sent: SentOutline, radii: Sequence[float | None], findings: Findings) -> int:
    """How many points the list should have."""
    number = number_in(sent.count)
    if number is None:
        findings.doubt("", sent.line, _count_not_said(sent, len(radii)))
        number = len(radii)
    if not FEWEST_POINTS <= number <= MOST_POINTS or number != int(number):
        raise UnusableError(
            sent.line,
            Remark(
                f"the outline of the {sent.lens} cannot have {number:g} points",
                f"From {FEWEST_POINTS} to {MOST_POINTS} points are read.",
                TRACE_AGAIN,
            ),
        )
    return int(number)


def _without_stray_gaps(radii: list[float | None], announced: int) -> list[float | None]:
    """Empty places between radii are stray separators when all radii are there without them."""
    known = [radius for radius in radii if radius is not None]
    return list(known) if len(known) == announced else radii


def _without_repeats(
    radii: list[float | None], announced: int, sent: SentOutline, findings: Findings
) -> list[float | None]:
    """A list that runs on over its own start, cut where it is whole."""
    surplus = radii[announced:]
    if not surplus:
        return radii
    again = all(_are_near(new, old) for new, old in zip(surplus, radii, strict=False))
    if not again or len(surplus) > max(1, MISSING_SHARE * announced) or sent.angles:
        advice = "It is not clear which of them to use. Trace the frame again, or name a shape:   outline: rounded"
        raise UnusableError(sent.line, Remark(_counted(sent, announced, len(radii)), AS_ANNOUNCED, advice))
    advice = "The last ones repeat the first; they were left out."
    findings.doubt("", sent.line, Remark(_counted(sent, announced, len(radii)), AS_ANNOUNCED, advice))
    return radii[:announced]


def _count_missing(radii: Sequence[float | None], announced: int, sent: SentOutline, findings: Findings) -> None:
    there = sum(radius is not None for radius in radii)
    if there == announced:
        return
    message = _counted(sent, announced, there)
    if announced - there > MISSING_SHARE * announced:
        raise UnusableError(sent.line, Remark(message, AS_ANNOUNCED, f"Part of it is missing. {TRACE_AGAIN}"))
    advice = "A straight line was drawn across the gap. Trace the frame again if you can."
    findings.doubt("", sent.line, Remark(message, AS_ANNOUNCED, advice))


def _angles_deg(sent: SentOutline, count: int, announced: int, findings: Findings) -> Sequence[float | None]:
    """The angle of each radius: listed, or in equal steps over the number of points announced."""
    equal = [360 * i / announced for i in range(count)]
    listed = _numbers(sent.angles, "angle", sent)
    if not listed and sent.spacing not in LISTED:
        if sent.spacing != "E":
            findings.doubt("", sent.line, _spacing_not_said(sent, "no angles follow, so equal steps were taken"))
        return equal
    if len(listed) != count:
        message = f"the outline of the {sent.lens} has {count} radii and {len(listed)} angles"
        allowed = "Where the steps are unequal, each radius has its angle, on lines that start with A=."
        raise UnusableError(sent.line, Remark(message, allowed, TRACE_AGAIN))
    if sent.spacing == "E":
        if all(a is None or abs(a - b) <= SAME_ANGLE_DEG for a, b in zip(listed, equal, strict=True)):
            return equal
        findings.doubt("", sent.line, _spacing_not_said(sent, "other angles follow, and those were taken"))
    return listed


def _without_closing_point(known: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The list without a last point that is the first one again."""
    if len(known) < 2:
        return known
    (first, start), (last, end) = known[0], known[-1]
    turn = abs(end - start) % 360
    closes = min(turn, 360 - turn) < 0.005 and abs(first - last) <= SAME_RADIUS_MM
    return known[:-1] if closes else known


def _once_round(known: Sequence[tuple[float, float]], sent: SentOutline) -> Points:
    """The points counter-clockwise, from radii and angles that go once round either way."""
    points = polar_points([radius for radius, _ in known], [angle for _, angle in known])
    way = way_round(points) if len(points) >= FEWEST_POINTS else 0
    if not way:
        raise UnusableError(sent.line, _not_once_round(sent))
    in_order = list(known)[::way]
    for (first, start), (second, end) in pairwise([*in_order, in_order[0]]):
        step = (end - start) % 360
        if step > LARGEST_GAP_DEG or abs(second - first) > JUMP_MM:
            _refuse_jump(first, second, step, sent)
    return points[::way]


def _refuse_jump(first_mm: float, second_mm: float, step_deg: float, sent: SentOutline) -> None:
    if step_deg > LARGEST_GAP_DEG:
        raise UnusableError(sent.line, _not_once_round(sent))
    apart_mm = min(first_mm, second_mm) * math.radians(step_deg)
    if abs(second_mm - first_mm) > JUMP_MM + JUMP_SLOPE * apart_mm:
        raise UnusableError(
            sent.line,
            Remark(
                f"the outline of the {sent.lens} jumps from a radius of {first_mm:.2f} mm to one of {second_mm:.2f} mm",
                "The edge of a lens has no jumps; one radius is hardly different from the next.",
                f"Perhaps a number was cut short. {TRACE_AGAIN}",
            ),
        )


def _doubt_steps(points: Points, sent: SentOutline, findings: Findings) -> None:
    """Doubt a step between two points that neither the one before nor the one after it prepares."""
    radii = [math.hypot(x, y) for x, y in points]
    steps = [after - before for before, after in zip(radii, [*radii[1:], radii[0]], strict=True)]
    for at, (before, step, after) in enumerate(zip([steps[-1], *steps], steps, [*steps[1:], steps[0]], strict=False)):
        uneven = abs(step - (before + after) / 2)
        if uneven > STEP_MM and uneven > STEP_MM + STEP_SLOPE * math.dist(points[at], points[(at + 1) % len(points)]):
            message = f"the outline of the {sent.lens} has a sudden step of {abs(step):.2f} mm"
            allowed = "The edge of a lens has no steps; perhaps some lines of the file are not in their order."
            findings.doubt("", sent.line, Remark(message, allowed, f"Look at the outline. {TRACE_AGAIN}"))
            return


def _refuse_far_from_a_lens(points: Points, sent: SentOutline) -> None:
    wide, deep = box_size_mm(points)
    if NARROWEST_MM <= wide <= WIDEST_MM and SHALLOWEST_MM <= deep <= DEEPEST_MM:
        return
    raise UnusableError(
        sent.line,
        Remark(
            f"the outline of the {sent.lens} is {wide:.2f} mm wide and {deep:.2f} mm deep",
            f"Lenses are {NARROWEST_MM:g} to {WIDEST_MM:g} mm wide and {SHALLOWEST_MM:g} to {DEEPEST_MM:g} mm deep; "
            "radii are whole hundredths of a millimetre.",
            TRACE_AGAIN,
        ),
    )


def _are_near(one: float | None, other: float | None) -> bool:
    return one is not None and other is not None and abs(one - other) <= SAME_RADIUS_MM


def _counted(sent: SentOutline, announced: int, there: int) -> str:
    return f"the outline of the {sent.lens} should have {announced} radii, and {there} are there"


def _unreadable(one: Sent, what: str, sent: SentOutline) -> Remark:
    message = f"the outline of the {sent.lens} has {a_or_an(what)} {what} that cannot be read: {cut(one.text)}"
    return Remark(message, "Radii and angles are whole numbers, parted by semicolons.", TRACE_AGAIN)


def _no_radius(one: Sent, sent: SentOutline) -> Remark:
    message = f"the outline of the {sent.lens} has a radius of {one.text}"
    return Remark(message, "A radius is more than nought.", TRACE_AGAIN)


def _count_not_said(sent: SentOutline, there: int) -> Remark:
    message = f"the number of points of the {sent.lens} cannot be read: {cut(sent.count)}"
    return Remark(message, AS_ANNOUNCED, f"The {there} that are there were taken as all of them.")


def _spacing_not_said(sent: SentOutline, so: str) -> Remark:
    message = f"the outline of the {sent.lens} announces steps of kind {cut(sent.spacing)}, but {so}"
    return Remark(message, "E stands for equal steps, U for unequal ones with their angles.", "Look at the outline.")


def _not_once_round(sent: SentOutline) -> Remark:
    return Remark(
        f"the points of the {sent.lens} do not go once round it",
        "The points follow the edge of the lens, once round, each one once.",
        TRACE_AGAIN,
    )
