"""Parts: which parts a progressive lens has, how far each reaches, and how its wearer sees it."""

from __future__ import annotations

from explain.language import _, in_context
from explain.optics.outline import Point, Points
from explain.optics.power import power_in_meridian_dpt
from explain.optics.progressive import (
    ProgressiveLens,
    added_dpt,
    approximate_reach_cm,
    clear_span,
    down_for_distance_mm,
    eye_turn_deg,
    looked_at_cm,
    middle_mm,
    reading_cm,
)
from explain.story.pair import Eye, Pair
from explain.story.wording import NO_BREAK, cm_with_inches, plain, rounded

FAR_CM, ARM_CM = 600.0, 60.0
"""Far counts from 6 m (20 ft); arm's length is the middle of 46 to 71 cm (ergo_ehs in data/sources.yaml)."""
JUST_INSIDE_MM = 0.1
_ROOM_MM = 90.0
_ENLARGED = (2.0, 1.5, 1.25, 1.0)


def eyes_with_add(pair: Pair) -> list[Eye]:
    """Eyes whose lens has reading power, the right one first."""
    return [eye for eye in pair.eyes if eye.ordered.add_dpt]


def parts_of(lens: ProgressiveLens) -> list[tuple[str, float, float]]:
    """The parts that this outline leaves: name, height in mm below the pupil, and distance looked at [cm]."""
    bottom = lens.bottom_mm
    parts = [(_("Far"), 0.0, FAR_CM)]
    arm = down_for_distance_mm(lens, ARM_CM)
    if arm < bottom - JUST_INSIDE_MM:
        parts.append((_("Arm's length"), arm, ARM_CM))
    if bottom > lens.corridor_mm:
        return [*parts, (_("Near"), (lens.corridor_mm + bottom) / 2, reading_cm(lens.add_dpt))]
    lowest = bottom - JUST_INSIDE_MM
    return [*parts, (_("Lowest part"), lowest, looked_at_cm(lens, lowest))]


Reach = tuple[float, float]


def reach(eye: Eye, lens: ProgressiveLens, down_mm: float, distance_cm: float) -> tuple[Reach, Reach]:
    """How far a part reaches toward the nose and toward the ear: the eye's turn [deg] and the distance aside [cm]."""
    span, middle = clear_span(lens, down_mm), middle_mm(lens, down_mm)
    if span is None:
        return (0.0, 0.0), (0.0, 0.0)
    power = power_in_meridian_dpt(eye.made, 180.0) + added_dpt(lens, down_mm)
    ends = (span.right_mm, span.left_mm) if lens.nose_sign > 0 else (span.left_mm, span.right_mm)
    nose, outer = (
        (eye_turn_deg(middle, end), approximate_reach_cm(abs(end - middle), distance_cm, power)) for end in ends
    )
    return nose, outer


def distance_words(nearest_cm: float, furthest_cm: float) -> str:
    r"""Say a span of sharp distances; from 6 m on it is far.

    >>> distance_words(72.7, 88.9), distance_words(400, float("inf")), distance_words(float("inf"), float("inf"))
    ('73 to 89\xa0cm (29 to 35\xa0in)', '4\xa0m (13\xa0ft) and beyond', 'far')
    """
    if nearest_cm >= FAR_CM:
        return in_context("a distance", "far")
    nearest, furthest = cm_with_inches(nearest_cm), cm_with_inches(min(furthest_cm, FAR_CM))
    if furthest_cm >= FAR_CM:
        return _("{distance} and beyond", distance=nearest)
    if nearest == furthest:
        return nearest
    if furthest_cm >= 200 or nearest_cm < 10:
        return _("{low} to {high}", low=nearest, high=furthest)
    unit = in_context("unit", "in")
    inches = f"{_span(nearest_cm / 2.54, furthest_cm / 2.54)}{NO_BREAK}{unit}"
    return f"{_span(nearest_cm, furthest_cm)}{NO_BREAK}cm ({inches})"


def _span(low: float, high: float) -> str:
    return _("{low} to {high}", low=plain(low, 0), high=plain(high, 0))


def enlargement(width_mm: float) -> float:
    """How many times its true size a lens of this width can be drawn [ratio].

    >>> enlargement(42.0), enlargement(52.0)
    (2.0, 1.5)
    """
    return next((times for times in _ENLARGED if times * width_mm <= _ROOM_MM), _ENLARGED[-1])


def times_text(times: float) -> str:
    """Give how many times larger, without noughts at the end.

    >>> times_text(2.0), times_text(1.5), times_text(1.25)
    ('2', '1.5', '1.25')
    """
    return plain(
        times, next(places for places in range(3) if places == 2 or rounded(times, places) == rounded(times, 2))
    )


def as_wearer_sees(points: Points) -> tuple[Point, ...]:
    """Turn points from the frame of someone facing the wearer into the wearer's own: left and right swap."""
    return tuple((-x, y) for x, y in reversed(points))
