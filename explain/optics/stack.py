"""Stack: the lenses of one eye in several materials, measured at once."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from explain.optics.lens import (
    SURELY_MM,
    EdgePoint,
    Lens,
    columns,
    edge_point,
    places_inside,
    read_only,
    sag_of_front_mm,
    thickest_at,
)
from explain.optics.outline import Point, Points
from explain.optics.surfaces import Array, ToricSurface, column, tilted_sags_mm


class Places(NamedTuple):
    """Points counted from the reference point, and how deep the fronts lie there [mm]: in one row, or one a lens."""

    x_mm: Array
    y_mm: Array
    front_mm: Array

    def and_those(self, others: Places) -> Places:
        """These places and then the others."""
        return Places(*(np.concatenate(both, axis=-1) for both in zip(self, others, strict=True)))

    def picked(self, at: NDArray[np.intp]) -> Places:
        """Places of its own for each lens: at holds their numbers, a row a lens."""
        front = self.front_mm[at] if self.front_mm.ndim == 1 else np.take_along_axis(self.front_mm, at, axis=1)
        return Places(self.x_mm[at], self.y_mm[at], front)


class Semifinished(Struct, frozen=True, dict=True):
    """What the lenses of one eye have before they get their backs; named as the figures of Lens are.

    They share the outline, the front curve and the added power. Indexes and wedges: one for each lens; the wedges, as
    (right, up), are all none or all some.
    """

    outline: Points
    reference_point: Point
    front_per_mm: float
    add_dpt: float
    corridor_mm: float
    indexes: tuple[float, ...]
    wedges: tuple[tuple[float, float], ...]

    @property
    def has_prism(self) -> bool:
        """True where the back surfaces are turned for ordered prism."""
        return any(self.wedges[0])

    @cached_property
    def corners_mm(self) -> tuple[Array, Array]:
        """The points of the outline across and up, read-only."""
        return columns(self.outline)

    @cached_property
    def edge(self) -> Places:
        """The points of the outline."""
        return self.places(*self.corners_mm)

    @cached_property
    def inside(self) -> Places:
        """Points all over the inside of the outline."""
        return self.places(*places_inside(self.corners_mm))

    def places(self, x_mm: Array, y_mm: Array) -> Places:
        """The same points for all lenses, with the sag of the fronts there."""
        index = column(self.indexes)
        front = sag_of_front_mm(self.front_per_mm, self.add_dpt, self.corridor_mm, index, x_mm, y_mm)
        return Places(x_mm, y_mm, front)


def thicknesses_mm(
    of: Semifinished, centres_mm: Sequence[float], backs: Sequence[ToricSurface], places: Places
) -> Array:
    """Thickness of each lens at places [mm], as thickness_mm of one lens: a row each."""
    thick = tilted_sags_mm(backs, of.wedges, places.x_mm, places.y_mm)
    thick -= places.front_mm
    thick += column(centres_mm)
    return thick


class Stack:
    """Lenses of one eye, a row for each in every table of thicknesses: what they share is worked out once.

    corners_mm: the points of the outline across and up. edge_mm: their thickness there, in its order. inside_mm: at the
    points of of.inside, where that is known already.
    """

    def __init__(
        self,
        of: Semifinished,
        centres_mm: Sequence[float],
        backs: Sequence[ToricSurface],
        edge_mm: Array,
        inside_mm: Array | None = None,
    ) -> None:
        self.outline, self.corners_mm, self.edge_mm = of.outline, of.corners_mm, read_only(edge_mm)
        self._of, self._centres_mm, self._backs, self._inside_mm = of, tuple(centres_mm), tuple(backs), inside_mm

    @cached_property
    def lenses(self) -> tuple[Lens, ...]:
        """The lenses, one by one."""
        of = self._of
        return tuple(
            Lens(
                of.outline, index, centre, of.front_per_mm, back, right, up,
                of.reference_point, of.add_dpt, of.corridor_mm,
            ).with_edge(self.corners_mm, edge)
            for index, centre, back, (right, up), edge in zip(
                of.indexes, self._centres_mm, self._backs, of.wedges, self.edge_mm, strict=True
            )
        )  # fmt: skip

    def thickness_mm(self, x_mm: Array, y_mm: Array) -> Array:
        """Thickness of each lens [mm], as thickness_mm of one lens: a row each."""
        return self._at(self._of.places(x_mm, y_mm))

    @cached_property
    def thickest_edges(self) -> list[EdgePoint]:
        """Where the edge of each lens is thickest."""
        return self._edge_points(thickest_at(self.edge_mm))

    @cached_property
    def thinnest_edges(self) -> list[EdgePoint]:
        """Where the edge of each lens is thinnest."""
        return self._edge_points(thickest_at(-self.edge_mm))

    @cached_property
    def thickest_mm(self) -> list[float]:
        """Greatest thickness of each lens anywhere [mm], found as thickest_mm of one lens is."""
        found = [self._centres_mm, np.maximum.reduce(self.edge_mm, axis=1).tolist()]
        if self._may_be_thickest_inside():
            inside = self._at(self._of.inside) if self._inside_mm is None else self._inside_mm
            found.append(np.maximum.reduce(inside, axis=1).tolist())
        return [max(one) for one in zip(*found, strict=True)]

    def _may_be_thickest_inside(self) -> bool:
        """As is_uneven says, but for lenses that reading power alone makes uneven.

        It only takes thickness away, and none in the middle: a lens that is thickest there without it is so with it.
        """
        of = self._of
        if of.has_prism or not of.add_dpt:
            return of.has_prism
        taken = of.edge.front_mm - sag_of_front_mm(of.front_per_mm, 0.0, 0.0, 0.0, of.edge.x_mm, of.edge.y_mm)
        return bool((self.edge_mm + taken > column(self._centres_mm) - SURELY_MM).any())

    def _at(self, places: Places) -> Array:
        return thicknesses_mm(self._of, self._centres_mm, self._backs, places)

    def _edge_points(self, places: NDArray[np.intp]) -> list[EdgePoint]:
        rows = zip(self.lenses, self.edge_mm, places.tolist(), strict=True)
        return [edge_point(lens, edge, at) for lens, edge, at in rows]
