"""The pair: everything that can be worked out for these lenses in this frame, in full precision."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct

from explain.facts import Material, material
from explain.optics.boxing import smallest_blank_mm
from explain.optics.convergence import near_pd_mm
from explain.optics.lens import EdgePoint, Lens
from explain.optics.magnify import spectacle_magnification
from explain.optics.making import LensOrder, make_lenses
from explain.optics.outline import Point, Points, box_size_mm, mirrored_outline, shape_outline
from explain.optics.power import SphereCylinder, near_power, spherical_equivalent_dpt
from explain.optics.progression import corridor_mm
from explain.optics.progressive import ProgressiveLens, progressive_lens
from explain.optics.surfaces import DoesNotReachError
from explain.optics.weight import weights_g
from explain.order.model import EyePrescription, Frame, Order, Prism, Shop

READING_CM = 40.0
VERTEX_MM = 13.0
"""Distance from lens to eye when the order names none (average wearing position, pow_2015 in data/sources.yaml)."""
SAFE_CENTRE_MM = 2.0
"""Least centre thickness for a child or someone with one good eye (aao_children in data/sources.yaml)."""


class EyeLens(Struct, frozen=True):
    """One cut lens in one material."""

    lens: Lens
    thickest_edge: EdgePoint
    thinnest_edge: EdgePoint
    thickest_mm: float
    weight_g: float

    @property
    def thinnest_mm(self) -> float:
        """Thinner of centre and thinnest edge [mm]."""
        return min(self.lens.centre_mm, self.thinnest_edge.thickness_mm)


class Eye(Struct, frozen=True, dict=True):
    """One eye of the order: what was ordered and where its lens looks through.

    made: the power the lens is made to (the near power in a reading pair; a stand-in for a balance lens).
    reference_point: counted from the middle of the lens box [mm]. smallest_blank_mm: round blank it can be cut from; a
    lens without power has no centre to keep, so its blank is centred on the box. box_mm: width and depth of the box.
    """

    side: str
    ordered: EyePrescription
    made: SphereCylinder
    outline: Points
    reference_point: Point
    pd_mm: float
    height_mm: float
    smallest_blank_mm: float
    box_mm: tuple[float, float]

    @property
    def nose_sign(self) -> int:
        """+1 where the nose is to the viewer's right (the right eye), else -1."""
        return 1 if self.side == "right" else -1

    @cached_property
    def sketch(self) -> ProgressiveLens:
        """Sketch of a progressive lens by the general law. The eye has an add."""
        assert self.ordered.add_dpt  # noqa: S101  callers choose eyes with an add
        return progressive_lens(
            self.outline, self.reference_point, self.nose_sign, self.pd_mm, self.ordered.add_dpt, self.height_mm
        )


class InMaterial(Struct, frozen=True):
    """Both lenses in one material; a lens that cannot be made in it is missing."""

    material: Material
    lenses: dict[str, EyeLens]

    @property
    def thickest_mm(self) -> float:
        """Thickest place of either lens [mm]."""
        return max(lens.thickest_mm for lens in self.lenses.values())

    @property
    def thinnest_mm(self) -> float:
        """Thinnest place of either lens [mm]."""
        return min(lens.thinnest_mm for lens in self.lenses.values())

    @property
    def weight_g(self) -> float:
        """Weight of the lenses together [g]."""
        return sum(lens.weight_g for lens in self.lenses.values())


class Pair(Struct, frozen=True, dict=True):
    """What was worked out: the eyes, the chosen material and every other one the shop offers."""

    order: Order
    shop: Shop
    eyes: tuple[Eye, ...]
    chosen: InMaterial
    others: tuple[InMaterial, ...]
    reading_cm: float

    def __hash__(self) -> int:
        """By the order number, so that what follows from a pair can be kept; equal pairs are of one order."""
        return hash(self.order.number)

    @cached_property
    def plainest(self) -> InMaterial:
        """The material of lowest price among those offered and able to be made; the chosen one when none is lower."""
        prices = {offer.choice: offer.price for offer in self.shop.materials}
        offered = [one for one in (self.chosen, *self.others) if one.material.key in prices]
        return min(offered, key=lambda one: prices[one.material.key], default=self.chosen)

    @property
    def thicker_eye(self) -> Eye:
        """The eye whose chosen lens is thickest."""
        return max(self.eyes, key=lambda eye: self.chosen.lenses[eye.side].thickest_mm)


def work_out(order: Order, shop: Shop) -> Pair:
    """Work out both lenses in the chosen material and in all others the shop offers.

    Raises DoesNotReachError where the chosen material cannot be curved to this power in this frame.
    """
    eyes, chosen = eyes_of(order), material(order.lenses.material)
    others = [material(offer.choice) for offer in shop.materials if offer.choice != chosen.key]
    made = _in_materials(order, eyes, [chosen, *others])
    if len(made[0].lenses) < len(eyes):
        for eye in eyes:
            _eye_lenses(order, eye, [chosen])  # raises, naming the curve
    able = tuple(one for one in made[1:] if len(one.lenses) == len(eyes))
    return Pair(order, shop, eyes, made[0], able, reading_distance_cm(order))


def eyes_of(order: Order) -> tuple[Eye, ...]:
    """Return the eyes of the order, right first, before any lens is made."""
    reading = reading_distance_cm(order)
    return tuple(_eye(order, side, reading) for side in ("right", "left") if getattr(order, side) is not None)


def reading_distance_cm(order: Order) -> float:
    """Distance a reading pair or an add is for [cm]: the nearest one that the order names, else 40."""
    named = [use.distance_cm for use in order.use if use.distance_cm is not None]
    return min(named) if named and order.lenses.design == "reading" else READING_CM


def made_power(order: Order, side: str) -> SphereCylinder:
    """Power a lens is made to: the near power in a reading pair, the other eye's average for a balance lens."""
    ordered: EyePrescription = getattr(order, side)
    other: EyePrescription | None = order.left if side == "right" else order.right
    if ordered.power is not None:
        power = ordered.power
    elif other is not None and other.power is not None:
        power = SphereCylinder(spherical_equivalent_dpt(other.power))
    else:
        power = SphereCylinder(0.0)
    if order.lenses.design == "reading" and ordered.add_dpt:
        return near_power(power, ordered.add_dpt)
    return power


def frame_outline(frame: Frame, side: str) -> Points:
    """Outline of one lens about the middle of its box; the left one mirrors the right one unless it was traced."""
    if side == "left" and frame.left_outline is not None:
        return frame.left_outline
    if isinstance(frame.outline, str):
        right = shape_outline(frame.outline, frame.lens_width_mm, frame.depth_mm)
    else:
        right = frame.outline
    return right if side == "right" else mirrored_outline(right)


def base_to_viewer(prisms: tuple[Prism, ...], side: str) -> tuple[float, float]:
    """Ordered prism as (base to the viewer's right, base up) [prism dpt]."""
    nose = 1 if side == "right" else -1
    toward = {"in": (nose, 0), "out": (-nose, 0), "up": (0, 1), "down": (0, -1)}
    right = sum(prism.amount_prism_dpt * toward[prism.base][0] for prism in prisms)
    up = sum(prism.amount_prism_dpt * toward[prism.base][1] for prism in prisms)
    return right, up


def _eye(order: Order, side: str, reading_cm: float) -> Eye:
    nose = 1 if side == "right" else -1
    outline = frame_outline(order.frame, side)
    pd = _pd_mm(order, side, reading_cm)
    width, depth = box = box_size_mm(outline)
    height = _height_mm(order, side, depth)
    inwards = (width + order.frame.bridge_mm) / 2 - pd
    reference = (nose * inwards, height - depth / 2)
    return Eye(
        side=side,
        ordered=getattr(order, side),
        made=made_power(order, side),
        outline=outline,
        reference_point=reference,
        pd_mm=pd,
        height_mm=height,
        smallest_blank_mm=smallest_blank_mm(outline, (0.0, 0.0) if order.lenses.design == "plano" else reference),
        box_mm=box,
    )


def _pd_mm(order: Order, side: str, reading_cm: float) -> float:
    far: float = getattr(order.fit, f"pd_{side}_mm")
    if order.lenses.design != "reading":
        return far
    near: float | None = getattr(order.fit, f"near_pd_{side}_mm")
    return near_pd_mm(far, reading_cm) if near is None else near


def _height_mm(order: Order, side: str, depth_mm: float) -> float:
    """Height of the reference point: the order's, or the middle of the lens where there is none.

    In a lined bifocal the ordered height is that of the line; the far part is centred half-way up.
    """
    height: float | None = getattr(order.fit, f"height_{side}_mm")
    if height is None or order.lenses.design == "bifocal":
        return depth_mm / 2
    return height


def _in_materials(order: Order, eyes: tuple[Eye, ...], materials: Sequence[Material]) -> list[InMaterial]:
    lenses = {eye.side: _those_that_reach(order, eye, materials) for eye in eyes}
    rows = [{side: made[at] for side, made in lenses.items()} for at in range(len(materials))]
    return [
        InMaterial(of, {side: lens for side, lens in row.items() if lens is not None})
        for of, row in zip(materials, rows, strict=True)
    ]


def _those_that_reach(order: Order, eye: Eye, materials: Sequence[Material]) -> list[EyeLens | None]:
    """The lens of one eye in each material, None where it cannot be made: then each is tried alone."""
    try:
        return [*_eye_lenses(order, eye, materials)]
    except DoesNotReachError:
        if len(materials) == 1:
            return [None]
        return [lens for of in materials for lens in _those_that_reach(order, eye, [of])]


def _eye_lenses(order: Order, eye: Eye, materials: Sequence[Material]) -> list[EyeLens]:
    stack = make_lenses([_lens_order(order, eye, of) for of in materials])
    weights = weights_g(stack, [of.density_g_per_cm3 for of in materials])
    rows = zip(stack.lenses, stack.thickest_edges, stack.thinnest_edges, stack.thickest_mm, weights, strict=True)
    return [EyeLens(*row) for row in rows]


def _lens_order(order: Order, eye: Eye, of: Material) -> LensOrder:
    right, up = base_to_viewer(eye.ordered.prisms, eye.side)
    return LensOrder(
        power=eye.made,
        outline=eye.outline,
        reference_point=eye.reference_point,
        index=of.index_at_587_6_nm,
        minimum_centre_mm=least_centre_mm(order, of),
        minimum_edge_mm=of.minimum_edge_mm,
        prism_right_prism_dpt=right,
        prism_up_prism_dpt=up,
        base_curve_dpt=order.lenses.base_curve_dpt,
        add_dpt=(eye.ordered.add_dpt or 0.0) if order.lenses.design == "progressive" else 0.0,
        corridor_mm=corridor_mm(eye.height_mm),
        stock_diameter_mm=order.lenses.blank_mm,
    )


def image_size(pair: Pair, eye: Eye) -> float:
    """Size of what this eye sees through its lens, against no lens [ratio]; by the average power of the lens."""
    lens = pair.chosen.lenses[eye.side].lens
    vertex = VERTEX_MM if pair.order.lenses.vertex_mm is None else pair.order.lenses.vertex_mm
    return spectacle_magnification(
        front_dpt=(lens.index - 1) * 1000 * lens.front_per_mm,
        thickness_mm=lens.centre_mm,
        index=lens.index,
        back_vertex_power_dpt=spherical_equivalent_dpt(eye.made),
        vertex_mm=vertex,
    )


def least_centre_mm(order: Order, of: Material) -> float:
    """Least centre thickness [mm]: the material's, and 2.0 for a child or a person with one good eye."""
    if {"child", "one good eye"} & set(order.wearer):
        return max(SAFE_CENTRE_MM, of.minimum_centre_mm)
    return of.minimum_centre_mm
