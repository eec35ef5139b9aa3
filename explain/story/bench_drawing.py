"""Bench drawing: one lens as the workshop lays it out, every point in mm from the middle of the lens box."""

from __future__ import annotations

from msgspec import Struct

Point = tuple[float, float]


class BenchMark(Struct, frozen=True):
    """An engraved mark of a progressive lens; is_inside: the frame leaves it on the lens."""

    at: Point
    is_inside: bool


class BenchPlace(Struct, frozen=True):
    """A place of the edge with its thickness in words."""

    at: Point
    label: str


class BenchDrawing(Struct, frozen=True):
    """A lens at true size, seen from the front, x to the viewer's right and y up.

    cross: fitting cross or optical centre, about which the round blank lies. axis_deg: cylinder axis in minus form,
    None without cylinder. blank_mm: diameter of the blank, None for one too wide to draw. window: edge of a bifocal's
    reading window; () for none. nose_side: "left" or "right". above_mm, below_mm: room over and under the middle of
    the box, alike for both lenses, so that one datum line runs through them.
    """

    title: str
    description: str
    outline: tuple[Point, ...]
    cross: Point
    axis_deg: float | None
    blank_mm: float | None
    marks: tuple[BenchMark, ...]
    window: tuple[Point, ...]
    places: tuple[BenchPlace, ...]
    nose_side: str
    above_mm: float
    below_mm: float
