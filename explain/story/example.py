"""An example worked out for an answer: what it is in words, and its figures rounded as a reader meets them."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from explain.optics.near import far_point_m
from explain.optics.power import spherical_equivalent_dpt
from explain.optics.progressive import reading_cm
from explain.optics.reflection import two_surface_transmittance
from explain.order.answer_keys import VALUES
from explain.order.keys import MATERIALS
from explain.order.model import Offer, Order, Shop
from explain.story.fringes import fringe_prism_dpt
from explain.story.keep_sheet import line_form
from explain.story.pair import InMaterial, Pair, image_size, work_out
from explain.story.parts import eyes_with_add
from explain.story.prescription import side_name
from explain.story.wording import (
    NO_BREAK,
    bank_cards,
    cm_with_inches,
    grams,
    grams_with_ounces,
    inside_sentence,
    mm,
    plain,
    rounded,
    sixteenths,
)

KINDS = {
    "single-vision": "Single-vision lenses",
    "progressive": "Progressive lenses",
    "bifocal": "Bifocal lenses",
    "reading": "Reading lenses",
    "plano": "Lenses without power",
}


class NotInExampleError(Exception):
    """Something that the example of an answer does not have; the message says what it would need."""


class Example(Struct, frozen=True, dict=True):
    """An order of nobody, worked out. shop: whose materials it is compared with."""

    order: Order
    shop: Shop

    @cached_property
    def pair(self) -> Pair:
        """The pair beside the materials the shop offers. Raises DoesNotReachError for one that cannot be made."""
        return work_out(self.order, self.shop)

    @cached_property
    def _everywhere(self) -> Pair:
        """The pair beside every material we know, offered or not."""
        offers = tuple(Offer(key, Decimal(0)) for key in MATERIALS)
        return work_out(self.order, replace(self.shop, materials=offers))

    def made_in(self, material: str | None) -> InMaterial:
        """The pair in a material; in its own where none is named. Raises NotInExampleError if it cannot be made so."""
        if material is None or material == self.order.lenses.material:
            return self.pair.chosen
        made = [one for one in self._everywhere.others if one.material.key == material]
        if not made:
            raise NotInExampleError(f"the lenses of the example cannot be made in {material}")
        return made[0]


def example_text(example: Example) -> str:
    """Say what the example is, so that a reader can tell how far it is from their own pair."""
    order = example.order
    frame = order.frame
    lines = {eye.side: line_form(eye.ordered) for eye in example.pair.eyes}
    powers = ". ".join(f"{side_name(side)} {line}" for side, line in lines.items())
    if len(set(lines.values())) == 1 and len(lines) > 1:
        powers = f"Both eyes {lines['right']}"
    pd_mm = sum(eye.pd_mm for eye in example.pair.eyes)
    apart = f" Pupils {plain(pd_mm, 0)}{NO_BREAK}mm apart." if len(lines) > 1 else ""
    wide, tall = (f"{plain(value, 0)}{NO_BREAK}mm" for value in (frame.lens_width_mm, frame.depth_mm))
    material = inside_sentence(example.pair.chosen.material.name)
    return f"{powers}.{apart} {KINDS[order.lenses.design]} in {material}, each {wide} wide and {tall} tall."


def value_text(example: Example, name: str, material: str | None = None) -> str:
    """Give one figure of the example, in words. name: a key of `values` in data/answers.yaml.

    Raises NotInExampleError for a figure that this example does not have.
    """
    text = _VALUES[name](example, material)
    if text is None:
        raise NotInExampleError(f"the example has no {name}: {VALUES[name]['gives']}")
    return text


def _thickest(example: Example, material: str | None) -> float:
    return example.made_in(material).thickest_mm


def _thinnest(example: Example, material: str | None) -> float:
    lenses = example.made_in(material).lenses.values()
    return min(min(lens.lens.centre_mm, lens.thinnest_edge.thickness_mm) for lens in lenses)


def _centre(example: Example, material: str | None) -> float:
    return example.made_in(material).lenses[example.pair.thicker_eye.side].lens.centre_mm


def _edge(example: Example, material: str | None, *, thick: bool) -> float:
    lenses = example.made_in(material).lenses.values()
    if thick:
        return max(lens.thickest_edge.thickness_mm for lens in lenses)
    return min(lens.thinnest_edge.thickness_mm for lens in lenses)


def _saved_mm(example: Example, material: str | None) -> str:
    """The difference of the 2 rounded figures, so that a reader who takes one from the other gets the same."""
    own, other = rounded(_thickest(example, None), 1), rounded(_thickest(example, material), 1)
    return mm(float(own - other))


def _saved_g(example: Example, material: str | None) -> str:
    own, other = rounded(example.made_in(None).weight_g, 0), rounded(example.made_in(material).weight_g, 0)
    return grams(float(own - other))


def _reflected(example: Example, material: str | None) -> float:
    return 100 * (1 - two_surface_transmittance(example.made_in(material).material.index_at_587_6_nm))


def _fringe(example: Example, material: str | None) -> str:
    return f"{plain(fringe_prism_dpt(example.pair, example.made_in(material)), 2)} prism diopters"


def _far_point(example: Example, _: str | None) -> str | None:
    powers = [eye.ordered.power for eye in example.pair.eyes if eye.ordered.power is not None]
    far = far_point_m(min(spherical_equivalent_dpt(power) for power in powers)) if powers else None
    return None if far is None else cm_with_inches(100 * far)


def _image_size(example: Example, _: str | None) -> str:
    sizes = [image_size(example.pair, eye) for eye in example.pair.eyes]
    change = rounded(100 * (max(sizes, key=lambda size: abs(size - 1)) - 1), 0)
    if not change:
        return "the same size"
    return f"{abs(change)} in 100 {'smaller' if change < 0 else 'bigger'}"


def _reading(example: Example, _: str | None) -> str | None:
    adds = [eye.ordered.add_dpt for eye in example.pair.eyes if eye.ordered.add_dpt]
    return cm_with_inches(reading_cm(adds[0])) if adds else None


def _corridor(example: Example, _: str | None) -> str | None:
    eyes = eyes_with_add(example.pair)
    if example.order.lenses.design != "progressive" or not eyes:
        return None
    return mm(eyes[0].sketch.corridor_mm)


_VALUES: dict[str, Callable[[Example, str | None], str | None]] = {
    "thickest_mm": lambda example, material: mm(_thickest(example, material)),
    "thickest_in": lambda example, material: sixteenths(_thickest(example, material)),
    "thickest_cards": lambda example, material: bank_cards(_thickest(example, material)),
    "thinnest_mm": lambda example, material: mm(_thinnest(example, material)),
    "centre_mm": lambda example, material: mm(_centre(example, material)),
    "edge_thickest_mm": lambda example, material: mm(_edge(example, material, thick=True)),
    "edge_thinnest_mm": lambda example, material: mm(_edge(example, material, thick=False)),
    "weight_g": lambda example, material: grams(example.made_in(material).weight_g),
    "weight_g_oz": lambda example, material: grams_with_ounces(example.made_in(material).weight_g),
    "saved_mm": _saved_mm,
    "saved_g": _saved_g,
    "blank_mm": lambda example, _: mm(max(eye.smallest_blank_mm for eye in example.pair.eyes)),
    "far_point_cm": _far_point,
    "image_size_percent": _image_size,
    "reflected_per_100": lambda example, material: f"{plain(_reflected(example, material), 0)} in 100",
    "fringe_prism_dpt": _fringe,
    "reading_cm": _reading,
    "corridor_mm": _corridor,
}
