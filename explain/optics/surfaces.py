"""Surfaces: how strongly a curved face bends light, and how deep it dips."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import repeat
from typing import NoReturn

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from explain.optics.power import SphereCylinder

TOOL_INDEX = 1.530
"""The index that surface tools and lens clocks are marked for in the US and the UK [published, lens_clock]."""
FLATTEST_BASE_DPT = 0.50
STEEPEST_BASE_DPT = 12.00
"""Limits of the stated rule for the front curve (common practice, no source)."""
_TILT_ROUNDS = 100
_TILT_NEARLY_MM = 1e-6
"""A step this small of Newton's rule leaves far less than 1e-12 mm: about its square."""
_LONG_ROW = 600
_NEARLY_FLAT_PER_MM = 2e-4
"""A curve flatter than a circle of 5 m: worked out from its radius, its sag would be out by more than 1e-12 mm."""

Array = NDArray[np.float64]
Figure = float | Array
"""A figure of one surface, or a column of figures: a row for each of several surfaces."""


class DoesNotReachError(ValueError):
    """A curve is too steep to reach as far out as the lens has to."""

    def __init__(self, radius_mm: float, distance_mm: float) -> None:
        """Keep both lengths [mm] for the message."""
        super().__init__(f"a curve of radius {radius_mm:.1f} mm does not reach {distance_mm:.1f} mm out")
        self.radius_mm = radius_mm
        self.distance_mm = distance_mm


def surface_power_dpt(radius_mm: float, index: float) -> float:
    """Power of a surface in air [dpt]: (n - 1) / r. Plus for a bulging front, minus for a hollow back.

    Source: published in tests/published/surface_power.yaml.

    >>> round(surface_power_dpt(209, 1.523), 2)
    2.5
    """
    return (index - 1) * 1000 / radius_mm


def surface_radius_mm(power_dpt: float, index: float) -> float:
    """Radius of a surface of this power [mm], with the sign of the power. Infinite for a flat one.

    >>> round(surface_radius_mm(5.0, 1.530))
    106
    """
    return math.inf if power_dpt == 0 else (index - 1) * 1000 / power_dpt


def lens_clock_power_dpt(reading_dpt: float, index: float, clock_index: float = TOOL_INDEX) -> float:
    """Power of a surface [dpt] in its own material, from what a lens clock marked for clock_index shows.

    >>> round(lens_clock_power_dpt(6.0, 1.66), 2)
    7.47
    """
    return reading_dpt * (index - 1) / (clock_index - 1)


def back_vertex_power_dpt(front_dpt: float, back_dpt: float, thickness_mm: float, index: float) -> float:
    """Power measured at the side next to the eye [dpt], exact for rays near the axis.

    F'v = F1 / (1 - (t/n) F1) + F2. Source: published in tests/published/vertex_power.yaml.

    >>> round(back_vertex_power_dpt(9.50, -3.25, 5.7, 1.498), 2)
    6.61
    """
    return vergence_at_back_dpt(front_dpt, thickness_mm, index) + back_dpt


def front_vertex_power_dpt(front_dpt: float, back_dpt: float, thickness_mm: float, index: float) -> float:
    """Power measured at the front face [dpt]: the same lens turned round.

    >>> round(front_vertex_power_dpt(9.50, -3.25, 5.7, 1.498), 2)
    6.29
    """
    return back_vertex_power_dpt(back_dpt, front_dpt, thickness_mm, index)


def vergence_at_back_dpt(front_dpt: float, thickness_mm: float, index: float) -> float:
    """Vergence of far light when it meets the back surface [dpt]: F1 / (1 - (t/n) F1)."""
    return front_dpt / (1 - thickness_mm / 1000 / index * front_dpt)


def back_surface_for(power_dpt: float, front_dpt: float, thickness_mm: float, index: float) -> float:
    """Power the back surface needs [dpt] so that the back vertex power is the ordered one, thickness included.

    >>> round(back_surface_for(-4.0, 6.0, 0.0, 1.5), 2)
    -10.0
    """
    return power_dpt - vergence_at_back_dpt(front_dpt, thickness_mm, index)


def nominal_power_dpt(front_dpt: float, back_dpt: float) -> float:
    """Power of a lens so thin that thickness does not count [dpt]: F1 + F2."""
    return front_dpt + back_dpt


def curve_variation_factor(index: float, reference_index: float = 1.523) -> float:
    """How flat a curve may be in this material against a reference one, for the same power [ratio].

    >>> round(curve_variation_factor(1.700), 2)
    0.75
    """
    return (reference_index - 1) / (index - 1)


def vogel_base_curve_dpt(spherical_equivalent_dpt: float) -> float:
    """Front curve by Vogel's rule [dpt]: plus powers SE + 6.00, minus powers SE / 2 + 6.00.

    Source: published in tests/published/base_curve.yaml.

    >>> vogel_base_curve_dpt(2.50), vogel_base_curve_dpt(-4.0)
    (8.5, 4.0)
    """
    share = 1.0 if spherical_equivalent_dpt > 0 else 0.5
    return spherical_equivalent_dpt * share + 6.00


def default_base_curve_dpt(spherical_equivalent_dpt: float) -> float:
    """Front curve on the 1.530 scale when the order names none [dpt]: Vogel's rule, kept within what is made."""
    return min(max(vogel_base_curve_dpt(spherical_equivalent_dpt), FLATTEST_BASE_DPT), STEEPEST_BASE_DPT)


def exact_sag_mm(radius_mm: float, distance_mm: float) -> float:
    """Depth of a spherical surface at a distance from its middle [mm]: r - sqrt(r^2 - y^2), with the sign of r.

    Raises DoesNotReachError where the sphere ends before that distance.

    >>> round(exact_sag_mm(52.3, 20), 2)
    3.98
    """
    return float(sag_mm(1 / radius_mm, np.array([distance_mm]))[0])


def approximate_sag_mm(power_dpt: float, index: float, distance_mm: float) -> float:
    """Depth of a surface by the parabola y^2 F / (2000 (n - 1)) [mm]; too small beside the exact sag.

    >>> round(approximate_sag_mm(6.00, 1.53, 25), 2)
    3.54
    """
    return distance_mm**2 * power_dpt / (2000 * (index - 1))


def edge_thickness_mm(centre_mm: float, front_sag_mm: float, back_sag_mm: float) -> float:
    """Thickness of a lens at one point, measured along the lens axis [mm]. Exact, for surfaces of any shape.

    A sag is positive where the surface bends back towards the eye.

    >>> edge_thickness_mm(centre_mm=2.0, front_sag_mm=0.0, back_sag_mm=2.536)
    4.536
    """
    return centre_mm - front_sag_mm + back_sag_mm


def column(figures: Sequence[float]) -> Array:
    """Figures below each other, each to be met with all places of its row."""
    return np.array(figures, dtype=np.float64)[:, None]


def sag_mm(curvature_per_mm: Figure, distance_mm: Array) -> Array:
    """Exact sags of a circle of this curvature (1/radius, 0 is flat) at distances from its middle [mm].

    Raises DoesNotReachError where the circle ends before that distance.
    """
    inside = 1 - np.square(curvature_per_mm * distance_mm)
    if inside.size and np.minimum.reduce(inside, axis=None) <= 0:
        _refuse(1 / np.asarray(curvature_per_mm), np.square(distance_mm))
    depth: Array = curvature_per_mm * np.square(distance_mm) / (1 + np.sqrt(inside))
    return depth


def _refuse(radius_mm: Array, distance_mm2: Array) -> NoReturn:
    """Name the radius and the distance of the place that is furthest out of reach."""
    radius, square = np.broadcast_arrays(radius_mm, distance_mm2)
    worst = int(np.argmax(square / np.square(radius)))
    raise DoesNotReachError(abs(float(radius.flat[worst])), math.sqrt(square.flat[worst]))


class ToricSurface(Struct, frozen=True):
    """A face curved more one way than the other: a circle of curvature `along`, swept round a line across it.

    along_per_mm is the curvature in the direction direction_deg, across_per_mm at right angles [1/mm]; positive
    bends back towards the eye. The flatter of the two is the circle that is swept (common practice, no source).
    """

    along_per_mm: float
    across_per_mm: float
    direction_deg: float

    def sag_mm(self, x_mm: Array, y_mm: Array) -> Array:
        """Exact sag of the torus at points [mm] counted from its middle."""
        return _torus_sag_mm(self.along_per_mm, self.across_per_mm, *_turned(x_mm, y_mm, *_direction(self)))


def tilted_sag_mm(surface: ToricSurface, slope_right: float, slope_up: float, x_mm: Array, y_mm: Array) -> Array:
    """Sag of a surface turned as a whole about its middle, so that it slopes there as a wedge does [mm].

    slope_right, slope_up: tangents of the tilt; a positive one moves that side back towards the eye. Exact to 1e-12
    mm. Raises DoesNotReachError where the tilted curve ends before a place. Source: geometry; checked by
    tests/outside/test_ray_tracing.py.
    """
    if not (slope_right or slope_up):
        return surface.sag_mm(x_mm, y_mm)
    turn, curves = math.radians(surface.direction_deg), (surface.along_per_mm, surface.across_per_mm)
    return _tilted_torus_sag_mm(turn, *curves, slope_right, slope_up, x_mm, y_mm)


def tilted_sags_mm(
    surfaces: Sequence[ToricSurface], slopes: Sequence[tuple[float, float]], x_mm: Array, y_mm: Array
) -> Array:
    """Sags of several surfaces, each tilted by a slope (right, up) of its own: a row each, as of tilted_sag_mm.

    The places are the same for all, or a row for each; the slopes are all none or all some. Long rows are worked out
    one after the other: a table of them outgrows the memory next to the processor.
    """
    at, direction_deg = (x_mm, y_mm), surfaces[0].direction_deg
    if any(one.direction_deg != direction_deg for one in surfaces):
        rows = _rows_of(at, len(surfaces))
        return np.array(
            [tilted_sag_mm(surface, *slope, *row) for surface, slope, row in zip(surfaces, slopes, rows, strict=True)]
        )
    curves = [(one.along_per_mm, one.across_per_mm) for one in surfaces]
    if not any(slopes[0]):
        along, across = _turned(x_mm, y_mm, *_direction(surfaces[0]))
        if any(abs(curve) < _NEARLY_FLAT_PER_MM for one in curves for curve in one):
            return _sags_mm(_torus_sag_mm, curves, (along, across))
        return _sags_mm(_torus_of_squares_mm, curves, (np.square(along), np.square(across)))
    tilted = partial(_tilted_torus_sag_mm, math.radians(direction_deg))
    return _sags_mm(tilted, [(*curve, *slope) for curve, slope in zip(curves, slopes, strict=True)], (x_mm, y_mm))


def _sags_mm(sag_mm: Callable[..., Array], figures: Sequence[tuple[float, ...]], places: tuple[Array, Array]) -> Array:
    """Sags of surfaces by the figures of each: a row each, all at once or, where rows are long, one after the other."""
    if places[0].size <= _LONG_ROW:
        return sag_mm(*map(column, zip(*figures, strict=True)), *places)
    sags = np.empty((len(figures), places[0].shape[-1]))
    rows = _rows_of(places, len(figures))
    for at, (of_one, row) in enumerate(zip(figures, rows, strict=True)):
        sags[at] = sag_mm(*of_one, *row)
    return sags


def _rows_of(places: tuple[Array, Array], count: int) -> Iterator[tuple[Array, Array]]:
    """Places for each of so many rows: the same for all, or those of its row."""
    x, y = places
    return repeat((x, y), count) if x.ndim == 1 else zip(x, y, strict=True)


def _direction(surface: ToricSurface) -> tuple[float, float]:
    turn = math.radians(surface.direction_deg)
    return math.cos(turn), math.sin(turn)


def _turned(x_mm: Array, y_mm: Array, cosine: Figure, sine: Figure) -> tuple[Array, Array]:
    """Points counted along a direction of this cosine and sine, and at right angles to it."""
    return x_mm * cosine + y_mm * sine, y_mm * cosine - x_mm * sine


def _torus_sag_mm(along_per_mm: Figure, across_per_mm: Figure, along_mm: Array, across_mm: Array) -> Array:
    swept = sag_mm(along_per_mm, along_mm)
    return swept + sag_mm(across_per_mm / (1 - across_per_mm * swept), across_mm)


def _torus_of_squares_mm(along_per_mm: Figure, across_per_mm: Figure, along_mm2: Array, across_mm2: Array) -> Array:
    """As _torus_sag_mm in half the steps, for curves that are not nearly flat and squares of the places [mm2]."""
    along_mm, across_mm = 1 / along_per_mm, 1 / across_per_mm
    inside = along_mm * along_mm - along_mm2
    if inside.size and np.minimum.reduce(inside, axis=None) <= 0:
        _refuse(np.asarray(along_mm), along_mm2)
    radius: Array = np.sqrt(inside, out=inside)
    radius *= np.sign(along_mm)
    radius += across_mm - along_mm
    inside = np.square(radius)
    inside -= across_mm2
    if inside.size and np.minimum.reduce(inside, axis=None) <= 0:
        _refuse(radius, across_mm2)
    left: Array = np.sqrt(inside, out=inside)
    left *= np.sign(across_mm)
    return np.subtract(across_mm, left, out=left)


def _tilted_torus_sag_mm(
    turn: float, along_per_mm: Figure, across_per_mm: Figure, right: Figure, up: Figure, x_mm: Array, y_mm: Array
) -> Array:
    """Sag of a tilted torus [mm], by Newton's rule. turn: of its direction [radians].

    Each round looks the untilted torus up at the place that the tilt brings to (x, y), if that lies as deep as the
    last round found. Places are counted in the direction of the tilt, uphill, and at right angles to it.
    """
    slope, towards = np.hypot(right, up), turn - np.arctan2(up, right)
    cosine, sine = np.cos(towards), np.sin(towards)
    flatter = 1 / np.hypot(1, slope)
    uphill, level = _turned(x_mm, y_mm, right / slope, up / slope)
    rise, untilted = slope * uphill, flatter * uphill
    along, across = _turned(untilted, level, cosine, sine)
    depth: Array = rise + (along_per_mm * np.square(along) + across_per_mm * np.square(across)) / 2
    for _ in range(_TILT_ROUNDS):
        along, across = _turned(untilted + depth * (slope * flatter), level, cosine, sine)
        swept = sag_mm(along_per_mm, along)
        curve = across_per_mm / (1 - across_per_mm * swept)
        rest = sag_mm(curve, across)
        grows = cosine * along_per_mm * along / (1 - along_per_mm * swept) - sine * curve * across
        step = ((swept + rest) / flatter + rise - depth) / (1 - slope * grows / (1 - curve * rest))
        depth = depth + step
        if np.abs(step).max() <= _TILT_NEARLY_MM:
            break
    return depth


def toric_back(power: SphereCylinder, front_dpt: float, thickness_mm: float, index: float) -> ToricSurface:
    """Back surface that gives the ordered back vertex power in every direction, thickness included."""
    axis_back = back_surface_for(power.sphere_dpt, front_dpt, thickness_mm, index)
    cross_back = axis_back + power.cylinder_dpt
    on_axis = -axis_back / (1000 * (index - 1))
    across = -cross_back / (1000 * (index - 1))
    if abs(on_axis) <= abs(across):
        return ToricSurface(on_axis, across, power.axis_deg % 180)
    return ToricSurface(across, on_axis, (power.axis_deg + 90) % 180)
