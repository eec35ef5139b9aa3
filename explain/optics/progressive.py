"""Progressive: where far, arm's length and near lie in one lens, by the general law for such surfaces.

A sketch, not a maker's surface: along a middle line the power grows evenly from the fitting point down, and unwanted
cylinder grows sideways from that line twice as fast (Minkwitz's theorem; sources minkwitz_sheedy, minkwitz_gen). Where
the power stays the same, above and below the corridor, the law sets no limit, and the outline is taken. Points are
counted from the fitting point, facing the wearer; down_mm counts from it downwards.
"""

from __future__ import annotations

import math
from functools import cached_property

from msgspec import Struct

from explain.optics.convergence import LENS_TO_TURNING_POINT_MM, near_pd_mm
from explain.optics.outline import Point, Points
from explain.optics.progression import corridor_mm

NEAR_CM = 40.0
"""Distance that an add is prescribed for (quiz_presbyopia in data/sources.yaml)."""
CLEAR_CYLINDER_DPT = 0.50
"""Unwanted cylinder that still counts as clear: the limit of the measured widths of 12 designs (pateras_2013)."""
MARKS_APART_MM, MARKS_BELOW_MM = 34.0, 4.0
"""The engraved marks: apart (textbook_progressive), and below the fitting point; the 4 differs by maker, 2 to 6."""
LEAST_READING_PART_MM = 3.0
"""Less full reading power than this is worth a warning (common practice, no source)."""


class ProgressiveLens(Struct, frozen=True, dict=True):
    """One progressive lens as far as the order tells.

    outline: counted from the fitting point. nose_sign: +1 where the nose is to the viewer's right (the right eye),
    else -1. pd_mm: to this eye, looking far. add_dpt above 0.
    """

    outline: Points
    nose_sign: int
    pd_mm: float
    add_dpt: float
    corridor_mm: float

    @cached_property
    def bottom_mm(self) -> float:
        """How far below the fitting point the lens ends on the middle line [mm]."""
        turned = tuple((y, x) for x, y in self.outline)
        down = self.corridor_mm
        for _ in range(30):  # the middle line leans by less than 0.3 mm per mm, so this settles
            before, down = down, _lowest_mm(turned, middle_mm(self, down))
            if down == before:
                break
        return down


class ClearSpan(Struct, frozen=True):
    """The clear stretch at one height: from left_mm to right_mm, as the viewer sees it, about the fitting point.

    ends_by_law: True where the law ends it on both sides, False where at least one end is the edge of the lens.
    """

    left_mm: float
    right_mm: float
    ends_by_law: bool

    @property
    def width_mm(self) -> float:
        """Width of the stretch [mm]."""
        return self.right_mm - self.left_mm


def progressive_lens(
    outline: Points, fitting_point: Point, nose_sign: int, pd_mm: float, add_dpt: float, height_mm: float
) -> ProgressiveLens:
    """Sketch of a lens from its outline about the box centre, its fitting point there, and its fitting height."""
    x, y = fitting_point
    moved = tuple((px - x, py - y) for px, py in outline)
    return ProgressiveLens(moved, nose_sign, pd_mm, add_dpt, corridor_mm(height_mm))


def power_rate_dpt_per_mm(add_dpt: float, length_mm: float) -> float:
    """How fast power grows down the corridor [dpt per mm], the mean over its length; real designs vary along it.

    Checked by tests/published/minkwitz.yaml.

    >>> round(power_rate_dpt_per_mm(2.00, 14), 4)
    0.1429
    """
    return add_dpt / length_mm


def cylinder_rate_dpt_per_mm(power_rate: float) -> float:
    """How fast unwanted cylinder grows sideways from the middle line [dpt per mm]: twice the rate of power along it.

    Exact only at the line. In measured lenses the law held on average over the corridor; they were wider than it says
    above and in the middle, and narrower below (sheedy_2005, abstract). Source:
    minkwitz_sheedy. Checked by tests/published/minkwitz.yaml.

    >>> cylinder_rate_dpt_per_mm(0.25)
    0.5
    """
    return 2 * power_rate


def corridor_half_width_mm(add_dpt: float, length_mm: float, limit_dpt: float = CLEAR_CYLINDER_DPT) -> float:
    """How far from the middle line unwanted cylinder reaches limit_dpt [mm]; beside the corridor only.

    Checked by tests/published/minkwitz.yaml.

    >>> round(corridor_half_width_mm(2.50, 11), 2)
    1.1
    """
    return limit_dpt / cylinder_rate_dpt_per_mm(power_rate_dpt_per_mm(add_dpt, length_mm))


def added_dpt(lens: ProgressiveLens, down_mm: float) -> float:
    """Power added at a height on the middle line [dpt], from 0 to the add."""
    return lens.add_dpt * min(max(down_mm / lens.corridor_mm, 0.0), 1.0)


def added_prism_dpt(lens: ProgressiveLens, down_mm: float) -> float:
    """Prism that the added power makes on the middle line [prism dpt], 0 or more, its base up.

    Prentice's rule added up along the way: the integral of the added power, per centimetre. What makers grind in to
    thin the lens is not in it.

    >>> round(added_prism_dpt(ProgressiveLens((), 1, 31.0, 2.0, 14.0), 10.0), 3)
    0.714
    """
    down = max(down_mm, 0.0)
    ramp = min(down, lens.corridor_mm)
    return lens.add_dpt * (ramp**2 / (2 * lens.corridor_mm) + down - ramp) / 10


def own_focus_dpt(add_dpt: float) -> float:
    """Focus of the eye's own that an add leaves to it for reading at 40 cm [dpt], 0 or more.

    >>> own_focus_dpt(2.25), own_focus_dpt(3.00)
    (0.25, 0.0)
    """
    return max(0.0, 100 / NEAR_CM - add_dpt)


def reading_cm(add_dpt: float) -> float:
    """Distance where full reading power is used [cm]: 40, or the nearer one of an add above 2.50.

    >>> reading_cm(2.25), round(reading_cm(3.50), 1)
    (40.0, 28.6)
    """
    return 100 / (add_dpt + own_focus_dpt(add_dpt))


def sharp_range_cm(lens: ProgressiveLens, down_mm: float) -> tuple[float, float]:
    """Nearest and furthest distance seen sharply at a height [cm], the eye corrected for far.

    The furthest is that of an eye at rest, or with no focus left (infinite where no power is added); the nearest
    that of an eye using all of own_focus_dpt.
    """
    added = added_dpt(lens, down_mm)
    return _distance_cm(added + own_focus_dpt(lens.add_dpt)), _distance_cm(added)


def _distance_cm(vergence_dpt: float) -> float:
    return 100 / vergence_dpt if vergence_dpt > 0 else math.inf


def looked_at_cm(lens: ProgressiveLens, down_mm: float) -> float:
    """Distance taken to be looked at through a height [cm]: the eye adds its own focus in step with the lens."""
    return _distance_cm(added_dpt(lens, down_mm) / lens.add_dpt * 100 / reading_cm(lens.add_dpt))


def down_for_distance_mm(lens: ProgressiveLens, distance_cm: float) -> float:
    """Height through which a distance is looked at [mm below the fitting point]; the inverse of looked_at_cm.

    >>> round(down_for_distance_mm(ProgressiveLens((), 1, 31.0, 2.25, 14.0), 60.0), 2)
    9.33
    """
    return lens.corridor_mm * min(reading_cm(lens.add_dpt) / distance_cm, 1.0)


def middle_mm(lens: ProgressiveLens, down_mm: float) -> float:
    """Where the middle line lies at a height [mm to the viewer's right]: to the nose by as much as the eye turns in."""
    distance = looked_at_cm(lens, down_mm)
    inwards = 0.0 if math.isinf(distance) else lens.pd_mm - near_pd_mm(lens.pd_mm, distance)
    return lens.nose_sign * inwards


def reading_part_mm(lens: ProgressiveLens) -> float:
    """How tall the part with full reading power is inside the outline [mm]; below 0: it ends that much too soon."""
    return lens.bottom_mm - lens.corridor_mm


def is_cut_short(lens: ProgressiveLens) -> bool:
    """Tell whether the fitting height is too low for the corridor: full reading power is not reached in the outline."""
    return reading_part_mm(lens) <= 0


def has_little_reading_part(lens: ProgressiveLens) -> bool:
    """Tell whether full reading power is reached, but less than 3 mm of it remain."""
    return 0 < reading_part_mm(lens) < LEAST_READING_PART_MM


def most_added_dpt(lens: ProgressiveLens) -> float:
    """Most reading power that this outline leaves [dpt]: the add, or less where the corridor is cut off."""
    return added_dpt(lens, lens.bottom_mm)


def clear_span(lens: ProgressiveLens, down_mm: float) -> ClearSpan | None:
    """The clear stretch about the middle line at a height; None outside the lens.

    In the corridor it ends where unwanted cylinder reaches 0.50; above and below, the law sets no end and the edge of
    the lens is given: the most there can be, since a real lens is soft at its sides there too.
    """
    middle = middle_mm(lens, down_mm)
    edge = level_span_mm(lens.outline, -down_mm, middle)
    if edge is None:
        return None
    if not 0 < down_mm < lens.corridor_mm:
        return ClearSpan(*edge, ends_by_law=False)
    half = corridor_half_width_mm(lens.add_dpt, lens.corridor_mm)
    left, right = max(edge[0], middle - half), min(edge[1], middle + half)
    return ClearSpan(left, right, ends_by_law=edge[0] < left and right < edge[1])


def eye_turn_deg(from_mm: float, to_mm: float) -> float:
    """How far an eye turns sideways from one place of the lens to another [deg], 0 or more.

    It turns about a point 27 mm behind the lens (from memory: 13 to 14 mm to the eye, 13.5 mm inside it).

    >>> eye_turn_deg(0.0, 27.0)
    45.0
    """
    start, end = (math.degrees(math.atan(place / LENS_TO_TURNING_POINT_MM)) for place in (from_mm, to_mm))
    return abs(end - start)


def approximate_reach_cm(aside_mm: float, distance_cm: float, level_power_dpt: float) -> float:
    """How far aside one sees at a distance through a place aside_mm from the middle line [cm].

    The line from the turning point, bent by the lens's own level power there (thin lens, Prentice's rule): a plus
    lens shows less to the side, a minus lens more.

    >>> round(approximate_reach_cm(2.7, 40.0, 0.0), 2), round(approximate_reach_cm(2.7, 40.0, 4.0), 2)
    (4.27, 3.84)
    """
    from_turning_point = 1000 / LENS_TO_TURNING_POINT_MM - level_power_dpt
    return aside_mm / 10 * (1 + distance_cm / 100 * from_turning_point)


def engraved_marks_mm(lens: ProgressiveLens) -> tuple[Point, Point]:
    """Where the two engraved marks lie, the one on the nose side first [mm]."""
    half = lens.nose_sign * MARKS_APART_MM / 2
    return (half, -MARKS_BELOW_MM), (-half, -MARKS_BELOW_MM)


def is_inside(outline: Points, point: Point) -> bool:
    """Tell whether a point lies inside an outline."""
    return level_span_mm(outline, point[1], point[0]) is not None


def level_span_mm(outline: Points, y_mm: float, x_mm: float) -> tuple[float, float] | None:
    """Ends of the level stretch of an outline that holds a point [mm]; None where the point lies outside.

    >>> level_span_mm(((0, 0), (4, 0), (4, 2), (0, 2)), 1.0, 3.0)
    (0.0, 4.0)
    """
    crossings = []
    x0, y0 = outline[-1]
    for x1, y1 in outline:
        if (y0 <= y_mm) != (y1 <= y_mm):
            crossings.append(x0 + (x1 - x0) * (y_mm - y0) / (y1 - y0))
        x0, y0 = x1, y1
    left = [x for x in crossings if x <= x_mm]
    right = [x for x in crossings if x > x_mm]
    return (max(left), min(right)) if len(left) % 2 else None


def _lowest_mm(turned: Points, x_mm: float) -> float:
    """How far below the fitting point the outline lies at x_mm; 0 where it does not reach there.

    turned: the outline with up and right swapped, so that an upright line is a level one.
    """
    span = level_span_mm(turned, x_mm, 0.0)
    return -span[0] if span else 0.0
