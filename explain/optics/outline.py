"""Outline: the shape of a lens, as points round its box (the boxing system, ISO 8624)."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from functools import cache, lru_cache

Point = tuple[float, float]
Points = tuple[Point, ...]

POINT_COUNT = 180


def box_size_mm(points: Sequence[Point]) -> tuple[float, float]:
    """Width and depth of the smallest level box round the points [mm].

    >>> box_size_mm([(0, 0), (4, 1), (2, 3)])
    (4, 3)
    """
    xs, ys = zip(*points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def recentred(points: Sequence[Point]) -> Points:
    """Give the same outline counted from the middle of its box.

    >>> recentred([(0, 0), (4, 0), (4, 2), (0, 2)])[0]
    (-2.0, -1.0)
    """
    xs, ys = zip(*points, strict=True)
    middle_x, middle_y = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
    return tuple((x - middle_x, y - middle_y) for x, y in points)


def fitted_to_box(points: Sequence[Point], width_mm: float, depth_mm: float) -> Points:
    """Stretch an outline so that its box is exactly width_mm by depth_mm, about the middle of the box."""
    return _stretched(recentred(points), box_size_mm(points), (width_mm, depth_mm))


def mirrored_outline(points: Sequence[Point]) -> Points:
    """Give the outline of the other eye: left and right swapped, still counter-clockwise."""
    return tuple((-x, y) for x, y in reversed(points))


def radii_to_points(radii_mm: Sequence[float]) -> Points:
    """Points of an outline given as radii at equal angles, counter-clockwise from the viewer's right."""
    step = 2 * math.pi / len(radii_mm)
    return tuple((r * math.cos(i * step), r * math.sin(i * step)) for i, r in enumerate(radii_mm))


def polar_points(radii_mm: Sequence[float], angles_deg: Sequence[float]) -> Points:
    """Points of an outline given as radii at angles of any spacing, counter-clockwise from the viewer's right.

    >>> [round(x, 9) for x in polar_points([20.0], [90.0])[0]]
    [0.0, 20.0]
    """
    turns = [math.radians(angle) for angle in angles_deg]
    return tuple((r * math.cos(turn), r * math.sin(turn)) for r, turn in zip(radii_mm, turns, strict=True))


def radii_at_equal_angles_mm(points: Sequence[Point], count: int) -> tuple[float, ...]:
    """Reach of an outline from the origin at `count` equal angles [mm], counter-clockwise from the viewer's right.

    The outline runs straight between its points. Raises ValueError for one that does not go once round the origin
    counter-clockwise.

    >>> [round(r, 9) for r in radii_at_equal_angles_mm([(20, -20), (20, 20), (-20, 20), (-20, -20)], 4)]
    [20.0, 20.0, 20.0, 20.0]
    """
    if way_round(points) != 1:
        raise ValueError("the outline does not go once round the origin counter-clockwise")
    turns = [_turn(point) for point in points]
    start = turns.index(min(turns))
    corners, turns = [*points[start:], *points[:start]], [*turns[start:], *turns[:start]]
    return tuple(_reach_mm(corners, turns, 2 * math.pi * i / count) for i in range(count))


def way_round(points: Sequence[Point]) -> int:
    """How the points go round the origin: 1 once counter-clockwise, -1 once clockwise, 0 any other way.

    >>> way_round([(1, 0), (0, 1), (-1, 0), (0, -1)])
    1
    """
    ahead = [*points[1:], points[0]]
    turns = [math.atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1) for (x0, y0), (x1, y1) in zip(points, ahead, strict=True)]
    if abs(abs(sum(turns)) - 2 * math.pi) > 1e-6:
        return 0
    return 1 if min(turns) > 0 else -1 if max(turns) < 0 else 0


@lru_cache(maxsize=64)
def shape_outline(shape: str, width_mm: float, depth_mm: float) -> Points:
    """Outline of the right lens of a named shape, fitted to its box, counter-clockwise from the nose side.

    The shapes are ours: a rounded box (superellipse) leant or lifted a little. Raises KeyError for a name not in
    SHAPES.
    """
    return _stretched(*_bare_shape(shape), (width_mm, depth_mm))


def holds_point(points: Sequence[Point], point: Point) -> bool:
    """True where a point lies inside the outline (an even-odd count of sides to the viewer's right of it).

    >>> square = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
    >>> holds_point(square, (0.5, 0.5)), holds_point(square, (1.5, 0.5))
    (True, False)
    """
    x, y = point
    ahead = [*points[1:], points[0]]
    crossed = [
        (y0 > y) != (y1 > y) and x < x0 + (x1 - x0) * (y - y0) / (y1 - y0)
        for (x0, y0), (x1, y1) in zip(points, ahead, strict=True)
    ]
    return sum(crossed) % 2 == 1


def perimeter_mm(points: Sequence[Point]) -> float:
    """Length of the way round the outline [mm], along straight pieces between its points."""
    ahead = [*points[1:], points[0]]
    return sum(math.dist(a, b) for a, b in zip(points, ahead, strict=True))


@cache
def _bare_shape(shape: str) -> tuple[Points, tuple[float, float]]:
    """A named shape about the middle of its box, and the size of that, before it is fitted to any."""
    bend = SHAPES[shape]
    points = [bend(2 * math.pi * i / POINT_COUNT) for i in range(POINT_COUNT)]
    return recentred(points), box_size_mm(points)


def _stretched(points: Points, size: tuple[float, float], to_mm: tuple[float, float]) -> Points:
    (wide, deep), (width_mm, depth_mm) = size, to_mm
    return tuple((x * width_mm / wide, y * depth_mm / deep) for x, y in points)


def _turn(point: Point) -> float:
    """Angle of a point about the origin, 0 up to a full turn [radians]."""
    return math.atan2(point[1], point[0]) % (2 * math.pi)


def _cross(a: Point, b: Point) -> float:
    return a[0] * b[1] - a[1] * b[0]


def _reach_mm(corners: Sequence[Point], turns: Sequence[float], turn: float) -> float:
    """Where a ray from the origin meets the outline; corners in the order of their turns."""
    after = bisect_right(turns, turn) % len(corners)
    a, b, ray = corners[after - 1], corners[after], (math.cos(turn), math.sin(turn))
    return _cross(a, b) / (_cross(ray, b) - _cross(ray, a))


def _rounded_box(turn: float, roundness: float) -> Point:
    """Point of a unit superellipse: roundness 2 is an ellipse, larger comes closer to a box."""
    c, s = math.cos(turn), math.sin(turn)
    radius = (abs(c) ** roundness + abs(s) ** roundness) ** (-1 / roundness)
    return radius * c, radius * s


def _narrower_below(point: Point, share: float) -> Point:
    x, y = point
    return x * (1 + share * y), y


def _cut_for_the_nose(point: Point, share: float) -> Point:
    """Draw the lower nose side in (the nose is at +x), without a corner where that begins."""
    x, y = point
    lean = (max(x, 0.0) * max(-y, 0.0)) ** 2
    return x - share * lean, y


def _lifted_outside(point: Point, share: float) -> Point:
    """Raise the upper outer corner."""
    x, y = point
    outside = (1 - x) / 2
    above = (1 + y) / 2
    return x, y + share * outside**2 * above


def _oval(turn: float) -> Point:
    return _cut_for_the_nose(_rounded_box(turn, 2.2), 0.20)


def _rounded(turn: float) -> Point:
    return _cut_for_the_nose(_narrower_below(_rounded_box(turn, 2.8), 0.04), 0.30)


def _square(turn: float) -> Point:
    return _cut_for_the_nose(_rounded_box(turn, 4.5), 0.16)


def _aviator_like(turn: float) -> Point:
    return _cut_for_the_nose(_narrower_below(_rounded_box(turn, 2.4), 0.14), 0.40)


def _cat_eye(turn: float) -> Point:
    return _lifted_outside(_cut_for_the_nose(_narrower_below(_rounded_box(turn, 2.6), 0.08), 0.30), 0.36)


SHAPES: dict[str, Callable[[float], Point]] = {
    "round": lambda turn: _rounded_box(turn, 2.0),
    "oval": _oval,
    "rounded": _rounded,
    "square": _square,
    "aviator-like": _aviator_like,
    "cat-eye": _cat_eye,
}
"""The shapes an order may name."""
