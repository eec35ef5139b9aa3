"""Making: how thick a lens must be to have its power and to be nowhere thinner than allowed."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from explain.optics.lens import Lens, counted_from
from explain.optics.outline import Point, Points
from explain.optics.power import SphereCylinder
from explain.optics.prism import prism_wedge_slope, resultant_prism
from explain.optics.stack import Places, Semifinished, Stack, thicknesses_mm
from explain.optics.surfaces import (
    TOOL_INDEX,
    Array,
    ToricSurface,
    column,
    default_base_curve_dpt,
    surface_power_dpt,
    toric_back,
)

_ROUND = np.linspace(0.0, 2 * math.pi, 360, endpoint=False)
_NO_POWER_DPT = 1e-9
_SOLVED_MM = 1e-9
_ROUNDS = 100
_MANY, _FEW = 1000, 24
"""Of more places than many, this few are looked at until all are looked at again."""


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


def make_lens(order: LensOrder) -> Lens:
    """Lens that gives the ordered back vertex power and is nowhere thinner than allowed.

    Centre thickness and back surface are solved together, since power depends on thickness. Raises
    DoesNotReachError where the curves are too steep for the outline.
    """
    return make_lenses((order,)).lenses[0]


def make_lenses(orders: Sequence[LensOrder]) -> Stack:
    """The lenses of make_lens for one eye in several materials: the orders differ in index and least thicknesses alone.

    Raises DoesNotReachError where the curves of any are too steep for the outline.
    """
    return _Maker(orders).stack()


def front_radius_mm(order: LensOrder) -> float:
    """Radius of the front surface [mm]; the curve is counted on the 1.530 scale, whatever the material."""
    base = order.base_curve_dpt
    if base is None:
        base = default_base_curve_dpt(order.power.sphere_dpt + order.power.cylinder_dpt / 2)
    return (TOOL_INDEX - 1) * 1000 / base


class _Maker:
    """Thickens the lenses of one eye until each has all it needs where it is thinnest."""

    def __init__(self, orders: Sequence[LensOrder]) -> None:
        self._orders = orders
        self._of = _semifinished(orders)
        self._fronts_dpt = [surface_power_dpt(1 / self._of.front_per_mm, order.index) for order in orders]

    @property
    def _counts_inside(self) -> bool:
        return self._of.has_prism and not _has_plus_power(self._orders[0].power)

    def stack(self) -> Stack:
        """The lenses, thick enough."""
        start = [order.minimum_centre_mm if order.centre_mm is None else order.centre_mm for order in self._orders]
        centres, thick = self._thickened(start, *self._limits())
        edge = len(self._of.outline)
        inside = thick[:, edge:] if self._counts_inside else None
        return Stack(self._of, centres, self._backs(centres), thick[:, :edge], inside)

    def _limits(self) -> tuple[Places, Array]:
        """Places where the lenses could be too thin, the edge first, and the least thicknesses there [mm].

        The edge must reach the least edge thickness; in a lens cut from a finished round that has a plus power any way,
        so must the edge of the round. In a lens that is minus or plano every way, ordered prism can make a place inside
        thinner than the reference point: there the least centre thickness counts.
        """
        first, edge = self._orders[0], self._of.edge
        least_edge = column([order.minimum_edge_mm for order in self._orders])
        if self._counts_inside:
            return self._and_inside(edge, least_edge)
        if first.stock_diameter_mm is None or not _has_plus_power(first.power):
            return edge, least_edge
        return edge.and_those(self._of.places(*_circle(first.stock_diameter_mm / 2))), least_edge

    def _and_inside(self, edge: Places, least_edge_mm: Array) -> tuple[Places, Array]:
        inside, least_centre = self._of.inside, column([order.minimum_centre_mm for order in self._orders])
        counts = len(edge.x_mm), len(inside.x_mm)
        return edge.and_those(inside), np.repeat(np.hstack([least_edge_mm, least_centre]), counts, axis=1)

    def _thickened(self, centres_mm: list[float], places: Places, least_mm: Array) -> tuple[list[float], Array]:
        """Centre thicknesses with which no place is thinner than it may be, and how thick the places then are [mm].

        What is missing where a lens is thinnest is added in the middle; as that changes the power, and with it the
        back, some rounds are needed; how far a round fell short tells the next one. Of many places, those that are
        thinnest are settled first.
        """
        if len(places.x_mm) > _MANY:
            missing = least_mm - self._nearly_mm(centres_mm, places)
            centres_mm, _ = self._thickened(centres_mm, *_thinnest(places, least_mm, missing))
        thick = self._thicknesses_mm(centres_mm, places)
        last: tuple[list[float], list[float]] | None = None
        for _ in range(_ROUNDS):
            missing = least_mm - thick
            most: list[float] = np.maximum.reduce(missing, axis=1).tolist()
            paces = _paces(centres_mm, most, *last) if last else [1.0] * len(most)
            grown = [_grown_mm(*row) for row in zip(self._orders, centres_mm, most, paces, strict=True)]
            if grown == centres_mm:
                break
            last = centres_mm, most
            if missing.shape[1] > _MANY:
                grown, _ = self._thickened(centres_mm, *_thinnest(places, least_mm, missing))
            centres_mm, thick = grown, self._thicknesses_mm(grown, places)
        return centres_mm, thick

    def _thicknesses_mm(self, centres_mm: Sequence[float], places: Places) -> Array:
        return thicknesses_mm(self._of, centres_mm, self._backs(centres_mm), places)

    def _nearly_mm(self, centres_mm: Sequence[float], places: Places) -> Array:
        """As _thicknesses_mm, but the wedge only added: near enough to see where a lens is thinnest."""
        level = replace(self._of, wedges=((0.0, 0.0),) * len(centres_mm))
        thick = thicknesses_mm(level, centres_mm, self._backs(centres_mm), places)
        right, up = zip(*self._of.wedges, strict=True)
        return thick + column(right) * places.x_mm + column(up) * places.y_mm

    def _backs(self, centres_mm: Sequence[float]) -> list[ToricSurface]:
        power = self._orders[0].power
        rows = zip(self._fronts_dpt, centres_mm, self._of.indexes, strict=True)
        return [toric_back(power, *row) for row in rows]


def _thinnest(places: Places, least_mm: Array, missing_mm: Array) -> tuple[Places, Array]:
    """A few places of each lens, those where most is missing, and the least thicknesses there [mm]."""
    at = np.argpartition(missing_mm, -_FEW, axis=1)[:, -_FEW:]
    return places.picked(at), np.take_along_axis(np.broadcast_to(least_mm, missing_mm.shape), at, axis=1)


def _paces(
    centres_mm: Sequence[float], missing_mm: Sequence[float], last_mm: Sequence[float], missed_mm: Sequence[float]
) -> list[float]:
    """Growth of each centre that makes up for 1 mm missing, from this round and the last; near 1 (the secant rule)."""
    rows = zip(centres_mm, missing_mm, last_mm, missed_mm, strict=True)
    paces = [
        (centre - last) / (missed - missing) if missed != missing else 1.0 for centre, missing, last, missed in rows
    ]
    return [pace if 0.5 < pace < 2 else 1.0 for pace in paces]


def _grown_mm(order: LensOrder, centre_mm: float, missing_mm: float, pace: float) -> float:
    """The next centre thickness to try [mm]; the same where it is right. missing_mm: below 0 for too much."""
    at_its_least = missing_mm < 0 and centre_mm <= order.minimum_centre_mm
    if order.centre_mm is not None or at_its_least or abs(missing_mm) < _SOLVED_MM:
        return centre_mm
    return max(order.minimum_centre_mm, centre_mm + missing_mm * pace)


def _semifinished(orders: Sequence[LensOrder]) -> Semifinished:
    first = orders[0]
    return Semifinished(
        outline=counted_from(first.reference_point, first.outline),
        reference_point=first.reference_point,
        front_per_mm=1 / front_radius_mm(first),
        add_dpt=first.add_dpt,
        corridor_mm=first.corridor_mm,
        indexes=tuple(order.index for order in orders),
        wedges=tuple(_wedge(order) for order in orders),
    )


def _wedge(order: LensOrder) -> tuple[float, float]:
    """Slope of the wedge towards the viewer's right and upwards: one wedge, towards the base of both prisms joined."""
    if not (order.prism_right_prism_dpt or order.prism_up_prism_dpt):
        return 0.0, 0.0
    amount, base_deg = resultant_prism(order.prism_right_prism_dpt, order.prism_up_prism_dpt)
    slope, base = prism_wedge_slope(amount, order.index), math.radians(base_deg)
    return slope * math.cos(base), slope * math.sin(base)


def _has_plus_power(power: SphereCylinder) -> bool:
    return max(power.sphere_dpt, power.sphere_dpt + power.cylinder_dpt) > _NO_POWER_DPT


def _circle(radius_mm: float) -> tuple[Array, Array]:
    return radius_mm * np.cos(_ROUND), radius_mm * np.sin(_ROUND)
