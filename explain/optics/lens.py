"""Lens: the solid between two surfaces, cut to an outline, and its thickness everywhere."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from itertools import chain
from operator import attrgetter
from typing import Self

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from explain.optics.outline import Point, Points, polar_points, radii_at_equal_angles_mm
from explain.optics.progression import approximate_progression_sag_mm
from explain.optics.surfaces import Array, Figure, ToricSurface, column, sag_mm, tilted_sag_mm, tilted_sags_mm

_RINGS = np.linspace(0.0, 0.8, 17)
SURELY_MM = 1e-9
"""More than the arithmetic can be out."""


class Lens(Struct, frozen=True, dict=True):
    """A lens: spherical front, toric back, both about the reference point, and a wedge for ordered prism.

    wedge_right, wedge_up: slope of the back surface at the reference point, as growth of thickness per mm towards the
    viewer's right and upwards. Points of the outline are counted from the reference point.
    """

    outline: Points
    index: float
    centre_mm: float
    front_per_mm: float
    back: ToricSurface
    wedge_right: float
    wedge_up: float
    reference_point: Point
    add_dpt: float = 0.0
    corridor_mm: float = 14.0

    def __hash__(self) -> int:
        """By a few of its figures: to go through the whole outline takes longer than to compare what is alike."""
        return hash((self.index, self.centre_mm, self.front_per_mm, self.reference_point))

    @cached_property
    def corners_mm(self) -> tuple[Array, Array]:
        """Points of the outline as places across and up, read-only."""
        return columns(self.outline)

    @cached_property
    def edge_mm(self) -> Array:
        """Thickness at every point of the outline, in its order [mm], read-only."""
        return read_only(thickness_mm(self, *self.corners_mm))

    def with_edge(self, corners_mm: tuple[Array, Array], edge_mm: Array) -> Self:
        """This lens, told its corners_mm and edge_mm by whoever has them, read-only: a stack has those of all."""
        self.__dict__.update(corners_mm=corners_mm, edge_mm=edge_mm)
        return self


class EdgePoint(Struct, frozen=True):
    """Thickness at one point of the edge [mm]; the point and its angle are counted from the middle of the box."""

    thickness_mm: float
    point: Point
    angle_deg: float


def thickness_mm(lens: Lens, x_mm: Array, y_mm: Array) -> Array:
    """Thickness along the lens axis at points counted from the reference point [mm].

    Exact sags; for ordered prism the back surface is turned as a whole about the reference point. Only adding the
    slope would be up to 0.2 mm out at the edge for 2 prism dioptres (tests/optics/test_lens.py).
    """
    front = front_sag_mm(lens, x_mm, y_mm)
    return lens.centre_mm - front + tilted_sag_mm(lens.back, lens.wedge_right, lens.wedge_up, x_mm, y_mm)


def front_sag_mm(lens: Lens, x_mm: Array, y_mm: Array) -> Array:
    """Sag of the front at points counted from the reference point [mm]: a sphere, and the progression if any."""
    return sag_of_front_mm(lens.front_per_mm, lens.add_dpt, lens.corridor_mm, lens.index, x_mm, y_mm)


def sag_of_front_mm(
    front_per_mm: float, add_dpt: float, corridor_mm: float, index: Figure, x_mm: Array, y_mm: Array
) -> Array:
    """Sag of front_sag_mm from the figures of a lens; a column of indexes gives a row for each where they matter."""
    sphere = sag_mm(front_per_mm, np.hypot(x_mm, y_mm))
    if not add_dpt:
        return sphere
    return sphere + approximate_progression_sag_mm(x_mm, y_mm, add_dpt, corridor_mm, index)


def edge_thicknesses_mm(lens: Lens) -> Array:
    """Thickness at every point of the outline, in its order [mm]. Read-only: it is worked out once for a lens."""
    return lens.edge_mm


def thickest_edge(lens: Lens) -> EdgePoint:
    """Where the edge is thickest; of places that are so alike, the first of the outline."""
    edge = edge_thicknesses_mm(lens)
    return edge_point(lens, edge, int(thickest_at(edge)))


def thinnest_edge(lens: Lens) -> EdgePoint:
    """Where the edge is thinnest; of places that are so alike, the first of the outline."""
    edge = edge_thicknesses_mm(lens)
    return edge_point(lens, edge, int(thickest_at(-edge)))


def thickest_at(edge_mm: Array) -> NDArray[np.intp]:
    """The number of the thickest place in each row [mm]: the first of those that arithmetic cannot tell apart.

    A lens alike above and below is as thick at two places; which one rounding makes thicker would be chance.
    """
    most = np.maximum.reduce(edge_mm, axis=-1, keepdims=True)
    found: NDArray[np.intp] = (edge_mm > most - SURELY_MM).argmax(axis=-1)
    return found


def thickest_mm(lens: Lens) -> float:
    """Greatest thickness anywhere [mm]: at the edge of a minus lens, in the middle of a plus lens.

    Ordered prism moves the thickest place of a plus lens off the middle, so places inside are searched as well.
    """
    reached = max(lens.centre_mm, thickest_edge(lens).thickness_mm)
    if not is_uneven(lens.wedge_right, lens.wedge_up, lens.add_dpt):
        return reached
    return max(reached, float(thickness_mm(lens, *places_inside(lens.corners_mm)).max()))


def is_uneven(wedge_right: float, wedge_up: float, add_dpt: float) -> bool:
    """True for a lens with prism or progression: a place inside may be thicker than its middle and all of its edge.

    Without them none is. A sphere and a torus that touch in one point run side by side in no other, but along a whole
    principal meridian in which they curve alike, so the thickness between them has no other top. Source: geometry;
    checked by tests/optics/test_stack.py.
    """
    return bool(wedge_right or wedge_up or add_dpt)


def edge_by_angle(lens: Lens) -> list[EdgePoint]:
    """Every edge point, ordered by its angle about the middle of the box, 0 up to 360."""
    points = _from_the_box(lens)
    edge = map(EdgePoint, edge_thicknesses_mm(lens).tolist(), points, map(_angle_deg, points))
    return sorted(edge, key=attrgetter("angle_deg"))


def edge_angles_deg(lens: Lens) -> Array:
    """Angle of every point of the outline about the middle of the box, in its order [deg], 0 up to 360."""
    (x, y), (right, up) = lens.corners_mm, lens.reference_point
    angles: Array = np.degrees(np.arctan2(y + up, x + right)) % 360
    return angles


def edge_at_equal_angles(lens: Lens, count: int) -> list[EdgePoint]:
    """Edge points at `count` equal angles about the middle of the box, counter-clockwise from the viewer's right.

    The outline runs straight between its points. Raises ValueError as radii_at_equal_angles_mm does.
    """
    right, up = lens.reference_point
    angles = [360 * at / count for at in range(count)]
    reach = radii_at_equal_angles_mm([(x + right, y + up) for x, y in lens.outline], count)
    points = polar_points(reach, angles)
    edge = thickness_mm(lens, *columns(counted_from((right, up), points)))
    return [EdgePoint(float(t), at, angle) for t, at, angle in zip(edge, points, angles, strict=True)]


class Section(Struct, frozen=True):
    """A level cut through the reference point: front and back faces at places across [mm].

    x counts from the reference point to the viewer's right; front and back are depths behind the front's middle.
    """

    x_mm: tuple[float, ...]
    front_mm: tuple[float, ...]
    back_mm: tuple[float, ...]


def level_section(lens: Lens, count: int = 41) -> Section:
    """Cut the lens level through its reference point, from edge to edge, at `count` places."""
    return level_sections((lens,), count)[0]


def level_sections(lenses: Sequence[Lens], count: int = 41) -> list[Section]:
    """The cuts of level_section through lenses of one eye, which differ in index, thickness and back alone."""
    first, backs, wedges = lenses[0], [one.back for one in lenses], [(one.wedge_right, one.wedge_up) for one in lenses]
    left, right = _level_ends(first.outline)
    x = left + (right - left) / (count - 1) * np.arange(count, dtype=np.float64)
    level, index = np.zeros(count), column([one.index for one in lenses])
    front = sag_of_front_mm(first.front_per_mm, first.add_dpt, first.corridor_mm, index, x, level)
    back = column([one.centre_mm for one in lenses]) + tilted_sags_mm(backs, wedges, x, level)
    across, fronts = tuple(x.tolist()), [tuple(row) for row in np.atleast_2d(front).tolist()]
    each = fronts if len(fronts) > 1 else fronts * len(lenses)  # fronts without added power are all alike
    return [Section(across, front, tuple(back)) for front, back in zip(each, back.tolist(), strict=True)]


def _level_ends(outline: Points) -> tuple[float, float]:
    """Where a level line through the origin meets the outline: the outermost crossing each way [mm]."""
    crossings = []
    x0, y0 = outline[-1]
    for x1, y1 in outline:
        if (y0 <= 0) != (y1 <= 0):
            crossings.append(x0 + (x1 - x0) * (0 - y0) / (y1 - y0))
        x0, y0 = x1, y1
    return min(crossings), max(crossings)


def counted_from(point: Point, outline: Points) -> Points:
    """The same outline counted from another point."""
    right, up = point
    return tuple([(x - right, y - up) for x, y in outline])


def columns(points: Points) -> tuple[Array, Array]:
    """Points as places across and up, read-only."""
    table = np.fromiter(chain.from_iterable(points), dtype=np.float64, count=2 * len(points))
    x, y = table.reshape(-1, 2).T.copy()
    return read_only(x), read_only(y)


def places_inside(corners_mm: tuple[Array, Array]) -> tuple[Array, Array]:
    """Places inside an outline of these corners, ring by ring, across and up."""
    x, y = corners_mm
    return np.outer(_RINGS, x).ravel(), np.outer(_RINGS, y).ravel()


def read_only(values: Array) -> Array:
    """The same figures, which nobody can change any more."""
    values.flags.writeable = False
    return values


def edge_point(lens: Lens, edge: Array, at: int) -> EdgePoint:
    """One point of the outline with its thickness in edge, the thicknesses along the whole outline [mm]."""
    (x, y), (right, up) = lens.outline[at], lens.reference_point
    point = (x + right, y + up)
    return EdgePoint(float(edge[at]), point, _angle_deg(point))


def _from_the_box(lens: Lens) -> list[Point]:
    """Points of the outline counted from the middle of the box, in its order."""
    right, up = lens.reference_point
    return [(x + right, y + up) for x, y in lens.outline]


def _angle_deg(point: Point) -> float:
    return math.degrees(math.atan2(point[1], point[0])) % 360
