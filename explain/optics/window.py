"""Window: the reading window of a lined bifocal, where it lies in the lens and where it ends.

Its shape is the maker's; where the order says nothing the usual flat-topped one is taken: a disc 28 mm across, cut
level 5 mm above its centre, so 19 mm tall (common practice, no source). Points count from the middle of the lens box.
"""

from __future__ import annotations

import math

from msgspec import Struct

from explain.optics.outline import Point, Points
from explain.optics.progressive import level_span_mm

DISC_MM = 28.0
CENTRE_BELOW_LINE_MM = 5.0
"""From the line down to the window's own centre (cards_opt1156 implies it)."""
WINDOW_DEPTH_MM = CENTRE_BELOW_LINE_MM + DISC_MM / 2
LEAST_WINDOW_MM = 10.0
"""A window less tall than this is worth a warning (common practice, no source)."""
_ARC_STEPS = 40


class ReadingWindow(Struct, frozen=True):
    """The part of a flat-topped window that the outline leaves.

    top: middle of its line. left_mm, right_mm: ends of the line. bottom_mm: height at which it ends under its middle;
    ends_at_rim: True where the edge of the lens cuts it off there, False where the window itself ends.
    far_part_mm: how tall the lens is above the middle of the line.
    """

    top: Point
    left_mm: float
    right_mm: float
    bottom_mm: float
    ends_at_rim: bool
    far_part_mm: float

    @property
    def tall_mm(self) -> float:
        """How tall the window is under its middle [mm]."""
        return self.top[1] - self.bottom_mm

    @property
    def line_mm(self) -> float:
        """How long the line is inside the lens [mm]."""
        return self.right_mm - self.left_mm


def reading_window(outline: Points, top: Point) -> ReadingWindow | None:
    """Cut a flat-topped window to an outline; None where the middle of its line lies outside.

    top: middle of the line, counted like the outline from the middle of the box.

    >>> window = reading_window(((-25, -20), (25, -20), (25, 20), (-25, 20)), (2, -4))
    >>> window.tall_mm, round(window.line_mm, 1), window.ends_at_rim, window.far_part_mm
    (16.0, 26.2, True, 24.0)
    """
    level = level_span_mm(outline, top[1], top[0])
    upright = level_span_mm(tuple((y, x) for x, y in outline), top[0], top[1])
    if level is None or upright is None:
        return None
    half = math.sqrt((DISC_MM / 2) ** 2 - CENTRE_BELOW_LINE_MM**2)
    end = top[1] - WINDOW_DEPTH_MM
    return ReadingWindow(
        top=top,
        left_mm=max(level[0], top[0] - half),
        right_mm=min(level[1], top[0] + half),
        bottom_mm=max(end, upright[0]),
        ends_at_rim=upright[0] >= end,
        far_part_mm=upright[1] - top[1],
    )


def is_window_short(window: ReadingWindow) -> bool:
    """Tell whether the outline leaves less than 10 mm of the window."""
    return window.tall_mm < LEAST_WINDOW_MM


def window_shape(top: Point) -> Points:
    """Edge of an uncut window: its line from left to right as the viewer sees it, then round below."""
    x, y = top[0], top[1] - CENTRE_BELOW_LINE_MM
    start = math.asin(2 * CENTRE_BELOW_LINE_MM / DISC_MM)
    turns = [math.pi - start + (math.pi + 2 * start) * step / _ARC_STEPS for step in range(_ARC_STEPS + 1)]
    round_below = [(x + DISC_MM / 2 * math.cos(turn), y + DISC_MM / 2 * math.sin(turn)) for turn in turns]
    return (round_below[0], *reversed(round_below[1:]))


def line_middle_mm(lens_width_mm: float, bridge_mm: float, near_pd_mm: float, nose_sign: int) -> float:
    """Level place of the window's middle from the middle of the box [mm]: at the pupil when reading.

    >>> line_middle_mm(50.0, 18.0, 29.0, 1)
    5.0
    """
    return nose_sign * ((lens_width_mm + bridge_mm) / 2 - near_pd_mm)


def jump_cm(jump_prism_dpt: float, distance_cm: float) -> float:
    """How far the picture jumps at a distance [cm]: 1 prism dioptre is 1 cm at 1 m.

    >>> jump_cm(1.25, 40)
    0.5
    """
    return jump_prism_dpt * distance_cm / 100
