"""Lens: the solid between two surfaces, cut to an outline, and its thickness everywhere."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from operator import attrgetter

import numpy as np
from msgspec import Struct

from explain.optics.outline import Point, Points, polar_points, radii_at_equal_angles_mm
from explain.optics.power import SphereCylinder
from explain.optics.prism import prism_wedge_slope, resultant_prism
from explain.optics.progression import approximate_progression_sag_mm
from explain.optics.surfaces import (
    TOOL_INDEX,
    Array,
    ToricSurface,
    default_base_curve_dpt,
    sag_mm,
    surface_power_dpt,
    tilted_sag_mm,
    toric_back,
)

_RINGS = np.linspace(0.0, 0.8, 17)
_ROUND = np.linspace(0.0, 2 * math.pi, 360, endpoint=False)
_NO_POWER_DPT = 1e-9
_SOLVED_MM = 1e-9


class LensOrder(Struct, frozen=True):
    """What a lens is made from.

    power: ordered back vertex power. outline: counted from the middle of its box [mm]; reference_point likewise: the
    optical centre, or the fitting point. prism_right, prism_up: ordered prism, base to the viewer's right and up
    [prism dpt]. base_curve_dpt: front curve on the 1.530 scale, None for the stated rule. centre_mm: measured centre
    thickness, None to let the two least thicknesses decide. add_dpt, corridor_mm: a progressive surface below the
    reference point, estimated by the general law; an add of 0 for none. stock_diameter_mm: the lens is cut from a
    finished round of this size about the reference point, None where it is ground for its outline alone.
    """

    power: SphereCylinder
    outline: Points
    reference_point: Point
    index: float
    minimum_centre_mm: float
    minimum_edge_mm: float
    prism_right_prism_dpt: float = 0.0
    prism_up_prism_dpt: float = 0.0
    base_curve_dpt: float | None = None
    centre_mm: float | None = None
    add_dpt: float = 0.0
    corridor_mm: float = 14.0
    stock_diameter_mm: float | None = None


class Lens(Struct, frozen=True):
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


class EdgePoint(Struct, frozen=True):
    """Thickness at one point of the edge [mm]; the point and its angle are counted from the middle of the box."""

    thickness_mm: float
    point: Point
    angle_deg: float


def make_lens(order: LensOrder) -> Lens:
    """Lens that gives the ordered back vertex power and is nowhere thinner than allowed.

    Centre thickness and back surface are solved together, since power depends on thickness. Raises
    DoesNotReachError where the curves are too steep for the outline.
    """
    centre = order.minimum_centre_mm if order.centre_mm is None else order.centre_mm
    lens = _lens_of_thickness(order, centre)
    if order.centre_mm is not None:
        edge_thicknesses_mm(lens)  # raises where the curves end too soon, as the loop below does
        return lens
    for _ in range(100):
        missing = _missing_mm(lens, order)
        if abs(missing) < _SOLVED_MM or (missing < 0 and centre <= order.minimum_centre_mm):
            break
        centre = max(order.minimum_centre_mm, centre + missing)
        lens = _lens_of_thickness(order, centre)
    return lens


def front_radius_mm(order: LensOrder) -> float:
    """Radius of the front surface [mm]; the curve is counted on the 1.530 scale, whatever the material."""
    base = order.base_curve_dpt
    if base is None:
        base = default_base_curve_dpt(order.power.sphere_dpt + order.power.cylinder_dpt / 2)
    return (TOOL_INDEX - 1) * 1000 / base


def thickness_mm(lens: Lens, x_mm: Array, y_mm: Array) -> Array:
    """Thickness along the lens axis at points counted from the reference point [mm].

    Exact sags; for ordered prism the back surface is turned as a whole about the reference point. Only adding the
    slope would be up to 0.2 mm out at the edge for 2 prism dioptres (tests/optics/test_lens.py).
    """
    front = front_sag_mm(lens, x_mm, y_mm)
    return lens.centre_mm - front + tilted_sag_mm(lens.back, lens.wedge_right, lens.wedge_up, x_mm, y_mm)


def front_sag_mm(lens: Lens, x_mm: Array, y_mm: Array) -> Array:
    """Sag of the front at points counted from the reference point [mm]: a sphere, and the progression if any."""
    sphere = sag_mm(lens.front_per_mm, np.hypot(x_mm, y_mm))
    if not lens.add_dpt:
        return sphere
    return sphere + approximate_progression_sag_mm(x_mm, y_mm, lens.add_dpt, lens.corridor_mm, lens.index)


@lru_cache(maxsize=256)
def edge_thicknesses_mm(lens: Lens) -> Array:
    """Thickness at every point of the outline, in its order [mm]. Read-only: it is worked out once for a lens."""
    return _read_only(thickness_mm(lens, *_columns(lens.outline)))


def thickest_edge(lens: Lens) -> EdgePoint:
    """Where the edge is thickest."""
    edge = edge_thicknesses_mm(lens)
    return _edge_point(lens, edge, int(np.argmax(edge)))


def thinnest_edge(lens: Lens) -> EdgePoint:
    """Where the edge is thinnest."""
    edge = edge_thicknesses_mm(lens)
    return _edge_point(lens, edge, int(np.argmin(edge)))


def thickest_mm(lens: Lens) -> float:
    """Greatest thickness anywhere [mm]: at the edge of a minus lens, in the middle of a plus lens.

    Ordered prism moves the thickest place of a plus lens off the middle, so places inside are searched as well.
    """
    inside = float(thickness_mm(lens, *_rings(lens.outline)).max())
    return max(lens.centre_mm, inside, thickest_edge(lens).thickness_mm)


def edge_by_angle(lens: Lens) -> list[EdgePoint]:
    """Every edge point, ordered by its angle about the middle of the box, 0 up to 360."""
    points = _from_the_box(lens)
    edge = map(EdgePoint, edge_thicknesses_mm(lens).tolist(), points, _angles_deg(points))
    return sorted(edge, key=attrgetter("angle_deg"))


def edge_angles_deg(lens: Lens) -> list[float]:
    """Angle of every point of the outline about the middle of the box, in its order [deg], 0 up to 360."""
    return _angles_deg(_from_the_box(lens))


def edge_at_equal_angles(lens: Lens, count: int) -> list[EdgePoint]:
    """Edge points at `count` equal angles about the middle of the box, counter-clockwise from the viewer's right.

    The outline runs straight between its points. Raises ValueError as radii_at_equal_angles_mm does.
    """
    right, up = lens.reference_point
    angles = [360 * at / count for at in range(count)]
    reach = radii_at_equal_angles_mm([(x + right, y + up) for x, y in lens.outline], count)
    points = polar_points(reach, angles)
    edge = thickness_mm(lens, *_columns(_counted_from((right, up), points)))
    return [EdgePoint(float(t), at, angle) for t, at, angle in zip(edge, points, angles, strict=True)]


class Section(Struct, frozen=True):
    """A level cut through the reference point: front and back faces at places across [mm].

    x counts from the reference point to the viewer's right; front and back are depths behind the front's middle.
    """

    x_mm: tuple[float, ...]
    front_mm: tuple[float, ...]
    back_mm: tuple[float, ...]


@lru_cache(maxsize=256)
def level_section(lens: Lens, count: int = 41) -> Section:
    """Cut the lens level through its reference point, from edge to edge, at `count` places."""
    left, right = _level_ends(lens.outline)
    x = np.linspace(left, right, count)
    front = front_sag_mm(lens, x, np.zeros_like(x))
    back = front + thickness_mm(lens, x, np.zeros_like(x))
    return Section(tuple(x.tolist()), tuple(front.tolist()), tuple(back.tolist()))


def _level_ends(outline: Sequence[Point]) -> tuple[float, float]:
    """Where a level line through the origin meets the outline: the outermost crossing each way [mm]."""
    crossings = []
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if (y0 <= 0) != (y1 <= 0):
            crossings.append(x0 + (x1 - x0) * (0 - y0) / (y1 - y0))
    return min(crossings), max(crossings)


def _lens_of_thickness(order: LensOrder, centre_mm: float) -> Lens:
    radius = front_radius_mm(order)
    front_dpt = surface_power_dpt(radius, order.index)
    wedge_right, wedge_up = _wedge(order)
    return Lens(
        outline=_counted_from(order.reference_point, order.outline),
        index=order.index,
        centre_mm=centre_mm,
        front_per_mm=1 / radius,
        back=toric_back(order.power, front_dpt, centre_mm, order.index),
        wedge_right=wedge_right,
        wedge_up=wedge_up,
        add_dpt=order.add_dpt,
        corridor_mm=order.corridor_mm,
        reference_point=order.reference_point,
    )


def _wedge(order: LensOrder) -> tuple[float, float]:
    """Slope of the wedge towards the viewer's right and upwards: one wedge, towards the base of both prisms joined."""
    amount, base_deg = resultant_prism(order.prism_right_prism_dpt, order.prism_up_prism_dpt)
    slope, base = prism_wedge_slope(amount, order.index), math.radians(base_deg)
    return slope * math.cos(base), slope * math.sin(base)


def _missing_mm(lens: Lens, order: LensOrder) -> float:
    """How much thicker the lens must get to respect both least thicknesses [mm]; negative when it may get thinner.

    The edge must reach the least edge thickness; in a lens cut from a finished round that has a plus power any way,
    so must the edge of the round. In a lens that is minus or plano every way, ordered prism can make a place inside
    thinner than the reference point: there the least centre thickness counts.
    """
    missing = order.minimum_edge_mm - float(edge_thicknesses_mm(lens).min())
    if _has_plus_power(order.power):
        if order.stock_diameter_mm is not None:
            rim = thickness_mm(lens, *_circle(order.stock_diameter_mm / 2))
            missing = max(missing, order.minimum_edge_mm - float(rim.min()))
    elif lens.wedge_right or lens.wedge_up:
        inside = thickness_mm(lens, *_rings(lens.outline))
        missing = max(missing, order.minimum_centre_mm - float(inside.min()))
    return missing


def _has_plus_power(power: SphereCylinder) -> bool:
    return max(power.sphere_dpt, power.sphere_dpt + power.cylinder_dpt) > _NO_POWER_DPT


def _circle(radius_mm: float) -> tuple[Array, Array]:
    return radius_mm * np.cos(_ROUND), radius_mm * np.sin(_ROUND)


@lru_cache(maxsize=64)
def _counted_from(point: Point, outline: Points) -> Points:
    """The same outline counted from another point; kept, as the lenses of one eye in all materials share it."""
    return tuple((x - point[0], y - point[1]) for x, y in outline)


@lru_cache(maxsize=64)
def _columns(points: Points) -> tuple[Array, Array]:
    table = np.array(points, dtype=np.float64)
    return _read_only(np.ascontiguousarray(table[:, 0])), _read_only(np.ascontiguousarray(table[:, 1]))


@lru_cache(maxsize=64)
def _rings(outline: Points) -> tuple[Array, Array]:
    """Places inside an outline, ring by ring."""
    x, y = _columns(outline)
    return _read_only(np.outer(_RINGS, x)), _read_only(np.outer(_RINGS, y))


def _read_only(values: Array) -> Array:
    values.flags.writeable = False
    return values


def _edge_point(lens: Lens, edge: Array, at: int) -> EdgePoint:
    x, y = lens.outline[at]
    point = (x + lens.reference_point[0], y + lens.reference_point[1])
    return EdgePoint(float(edge[at]), point, _angles_deg([point])[0])


def _from_the_box(lens: Lens) -> list[Point]:
    """Points of the outline counted from the middle of the box, in its order."""
    right, up = lens.reference_point
    return [(x + right, y + up) for x, y in lens.outline]


def _angles_deg(points: Sequence[Point]) -> list[float]:
    return [math.degrees(math.atan2(y, x)) % 360 for x, y in points]
