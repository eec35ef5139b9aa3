"""Charts and tables of an answer's example: those of a customer's page, retold so that they speak of nobody's pair."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from explain.language import page_locale, spoken
from explain.order.answer_keys import FIGURES
from explain.story.blocks import Block, Figure, Table
from explain.story.drawings import EdgeDrawing, MeridianDrawing, SectionDrawing, WindowDrawing, ZonesDrawing
from explain.story.example import Example, NotInExampleError
from explain.story.light import light_reactive_figure
from explain.story.pair import Pair
from explain.story.prescription import prescription_section
from explain.story.sight import sight_section
from explain.story.thickness import thickness_section
from explain.story.window import bifocal_blocks
from explain.story.wording import Place, cm_with_inches, grams, inside_sentence, mm
from explain.story.zones import progressive_blocks

Thing = TypeVar("Thing")
NEUTRAL = (
    (r"\(yours\)", "(example)"),
    (r"on yours\b", "on one pair"),
    (r"\bYour(?= pupil| eyes?\b)", "The"),
    (r"\byour(?= pupil| eyes?\b| lens\b)", "the"),
    (r"\bYour\b", "The example's"),
    (r"\byour\b(?! printer)", "the example's"),
)
"""What speaks to the owner of a pair, and what is said of an example instead; the first that fits."""


def figure_of(example: Example | None, name: str) -> Figure:
    """The chart of a name, of the example. name: a key of `figures` in data/answers.yaml; only "fade" needs no example.

    Raises NotInExampleError when the example has none of this kind.
    """
    if name == "fade":
        return retold(light_reactive_figure())
    assert example is not None  # noqa: S101  the reader of answers has seen to it
    found = next(iter(_FIGURES[name](example.pair)), None)
    if found is None:
        needs = FIGURES[name].get("needs", "something else")
        raise NotInExampleError(f"the example has nothing for the figure {name}: it needs {needs}")
    return retold(found)


def table_of(example: Example | None, name: str) -> Table:
    """The table of a name: that of the chart of this name, or one of its own. Raises NotInExampleError."""
    if name == "weights":
        assert example is not None  # noqa: S101  as above
        return _weights_table(example.pair)
    return figure_of(example, name).table


def retold(thing: Thing) -> Thing:
    """The same block or drawing with every sentence speaking of an example.

    >>> retold("Your right lens is at most 5.1 mm, your printer at 100 %")
    "The example's right lens is at most 5.1 mm, your printer at 100 %"
    """
    return _retold(thing)  # type: ignore[no-any-return]


def _retold(thing: Any) -> Any:
    if isinstance(thing, str):
        for said, instead in NEUTRAL:
            thing = re.sub(said, instead, thing)
        return thing
    if isinstance(thing, tuple):
        return tuple(_retold(part) for part in thing)
    if isinstance(thing, Struct):
        return replace(thing, **{name: _retold(getattr(thing, name)) for name in thing.__struct_fields__})
    return thing


def _place(pair: Pair) -> Place:
    return Place(page_locale(pair.shop.locale, spoken().code), pair.shop.currency)


def _drawn_as(kind: type[Any], blocks: Iterable[Block]) -> list[Figure]:
    return [block for block in blocks if isinstance(block, Figure) and isinstance(block.drawing, kind)]


def _thickness(kind: type[Any]) -> Callable[[Pair], list[Figure]]:
    return lambda pair: _drawn_as(kind, thickness_section(pair, _place(pair)).blocks)


def _sight(pair: Pair, *, near: bool) -> list[Figure]:
    section = sight_section(pair)
    figures = [block for block in section.blocks if isinstance(block, Figure)] if section else []
    distance = cm_with_inches(pair.reading_cm)
    return [figure for figure in figures if (distance in figure.measure) == near]


def _meridian(pair: Pair) -> list[Figure]:
    section = prescription_section(pair)
    return _drawn_as(MeridianDrawing, section.blocks) if section else []


def _materials(pair: Pair) -> list[Figure]:
    """The section in several materials, its finding saying how far apart they come out."""
    made = sorted((pair.chosen, *pair.others), key=lambda one: one.thickest_mm)
    thinnest, chosen = made[0], pair.chosen
    if thinnest is chosen:
        return _thickness(SectionDrawing)(pair)
    finding = (
        f"Thickest place: {mm(chosen.thickest_mm)} in {inside_sentence(chosen.material.name)}, "
        f"{mm(thinnest.thickest_mm)} in {inside_sentence(thinnest.material.name)}"
    )
    return [replace(figure, finding=finding) for figure in _thickness(SectionDrawing)(pair)]


def _alone(pair: Pair) -> Pair:
    return replace(pair, others=())


_FIGURES: dict[str, Callable[[Pair], list[Figure]]] = {
    "edge": _thickness(EdgeDrawing),
    "section": lambda pair: _thickness(SectionDrawing)(_alone(pair)),
    "materials": _materials,
    "meridian": _meridian,
    "sight-far": lambda pair: _sight(pair, near=False),
    "sight-near": lambda pair: _sight(pair, near=True),
    "zones": lambda pair: _drawn_as(ZonesDrawing, progressive_blocks(pair)),
    "window": lambda pair: _drawn_as(WindowDrawing, bifocal_blocks(pair)),
}


def _weights_table(pair: Pair) -> Table:
    made = sorted((pair.chosen, *pair.others), key=lambda one: one.material.index_at_587_6_nm)
    rows = tuple((one.material.name, mm(one.thickest_mm), grams(one.weight_g)) for one in made)
    return Table(
        "The example in every material we offer",
        ("Material", "Thickest", "Weight"),
        rows,
        "Weight is for both lenses. The number in a name says how strongly the material bends light.",
    )
