"""Advice: one order in every material the shop offers, set side by side for the optician before it is placed."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from textwrap import wrap
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from explain.facts import data_file
from explain.facts import material as facts_of
from explain.optics.surfaces import DoesNotReachError
from explain.story.fringes import fringe_prism_dpt, seen_fringe_prism_dpt
from explain.story.pair import InMaterial, Pair, work_out
from explain.story.verdict import each, listed_price, nearly_as_thin, paid_for, price_today
from explain.story.wording import NO_BREAK, inside_sentence, plain, rounded
from explain.story.worth import SAME, Effect, effects

WIDE = 80
_NAME = 24


class Advised(Struct, frozen=True):
    """Both lenses in one material, in full precision. price: the shop's, above its plainest; None: not on its list."""

    key: str
    name: str
    thickest_mm: float
    thinnest_mm: float
    weight_g: float
    fringe_prism_dpt: float
    price: Decimal | None
    is_ordered: bool


class Advice(Struct, frozen=True):
    """The comparison for one order. smallest_blank_mm: by side, with 2 mm for cutting. remarks: whole sentences."""

    number: str
    currency: str
    materials: tuple[Advised, ...]
    smallest_blank_mm: dict[str, float]
    largest_blank_mm: float
    remarks: tuple[str, ...]


def advice_on(pair: Pair) -> Advice:
    """Set the pair in every material beside the ordered one, lowest index first."""
    made = sorted((pair.chosen, *pair.others), key=lambda one: one.material.index_at_587_6_nm)
    return Advice(
        number=pair.order.number,
        currency=pair.shop.currency,
        materials=tuple(_advised(pair, one) for one in made),
        smallest_blank_mm={eye.side: eye.smallest_blank_mm for eye in pair.eyes},
        largest_blank_mm=largest_blank_mm(pair),
        remarks=tuple(_remarks(pair)),
    )


def largest_blank_mm(pair: Pair) -> float:
    """Largest round the lenses can be cut from [mm]: the order's own, the shop's, or the usual one."""
    usual = float(data_file("advice")["largest_blank_mm"]["use"])
    return pair.order.lenses.blank_mm or pair.shop.largest_blank_mm or usual


def _advised(pair: Pair, made: InMaterial) -> Advised:
    return Advised(
        key=made.material.key,
        name=made.material.name,
        thickest_mm=made.thickest_mm,
        thinnest_mm=made.thinnest_mm,
        weight_g=made.weight_g,
        fringe_prism_dpt=fringe_prism_dpt(pair, made),
        price=listed_price(pair, made),
        is_ordered=made is pair.chosen,
    )


def advice_text(advice: Advice) -> str:
    """Give the comparison as plain text, at most 80 letters wide."""
    rows = [_row(one) for one in advice.materials]
    notes = [_blank_words(advice), *advice.remarks, _legend(advice)]
    return "\n".join([HEADINGS, *rows, *(line for note in notes for line in wrap(note, WIDE, subsequent_indent="  "))])


HEADINGS = f"{'Material':{_NAME}}  Thickest  Thinnest  Weight  Fringe    Price"


def _blank_words(advice: Advice) -> str:
    sizes = {side: f"{plain(size, 1)} mm" for side, size in advice.smallest_blank_mm.items()}
    alike = len(sizes) > 1 and len(set(sizes.values())) == 1
    sides = f"{sizes['right']} each" if alike else ", ".join(f"{side} {size}" for side, size in sizes.items())
    return f"Blank needed: {sides} (2 for cutting). Largest: {advice.largest_blank_mm:g} mm."


def _legend(advice: Advice) -> str:
    return (
        "Thickest and thinnest of both lenses; weight together. Fringe: prism dioptres 10 mm aside (below "
        f"{plain(seen_fringe_prism_dpt(), 2)} most see none). Price: {advice.currency} above the plainest."
    )


def _row(one: Advised) -> str:
    figures = (
        f"{plain(one.thickest_mm, 1):>5} mm  {plain(one.thinnest_mm, 1):>5} mm  {plain(one.weight_g, 0):>4} g  "
        f"{plain(one.fringe_prism_dpt, 2):>6}  {_price(one.price):>7}"
    )
    return f"{one.name:{_NAME}}  {figures}{'  ordered' if one.is_ordered else ''}"


def _price(price: Decimal | None) -> str:
    return "no price" if price is None else f"{price:+.2f}" if price else "0.00"


def advice_figures(advice: Advice) -> dict[str, Any]:
    """Give the comparison as figures in full precision, named as in numbers.json; prices as text."""
    return {
        "smallest_blank_mm": advice.smallest_blank_mm,
        "largest_blank_mm": advice.largest_blank_mm,
        "materials": [
            {
                "material": one.key,
                "ordered": one.is_ordered,
                "thickest_mm": one.thickest_mm,
                "thinnest_mm": one.thinnest_mm,
                "weight_g": one.weight_g,
                "fringe_10_mm_aside_prism_dpt": one.fringe_prism_dpt,
                "price": None if one.price is None else str(one.price),
            }
            for one in advice.materials
        ],
        "remarks": list(advice.remarks),
    }


def _remarks(pair: Pair) -> Iterator[str]:
    yield from _saving(pair)
    yield from _nearly_the_same(pair)
    yield from _ground_instead(pair)
    made = {one.material.key for one in (pair.chosen, *pair.others)}
    unmade = [facts_of(offer.choice).name for offer in pair.shop.materials if offer.choice not in made]
    if unmade:
        yield f"Cannot be curved to this power in this frame: {', '.join(unmade)}."


def _saving(pair: Pair) -> Iterator[str]:
    if pair.chosen.material.key == pair.plainest.material.key:
        return
    price = paid_for(pair, pair.chosen.material.key) or listed_price(pair, pair.chosen)
    found = [_effect_words(one, price) for one in effects(pair)[:2]]
    yield f"The ordered material against {inside_sentence(pair.plainest.material.name)}: {'; '.join(found)}."


def _effect_words(effect: Effect, price: Decimal | None) -> str:
    """Say one effect in a few words, such as "thickness 2.2 mm less, plain to see (38.64 for 1 mm)"."""
    change = "the same" if effect.change == SAME else effect.change.replace(NO_BREAK, " ")
    words = f"{effect.what.lower()} {change}{f', {effect.words}' if effect.words else ''}"
    if effect.saved is None or not price or price < 0:
        return words
    return f"{words} ({each(price, effect.saved)} for 1 {effect.unit})"


def _nearly_the_same(pair: Pair) -> Iterator[str]:
    other = nearly_as_thin(pair)
    if other is None:
        return
    less = price_today(pair, pair.chosen) - price_today(pair, other)
    more = rounded(other.thickest_mm - pair.chosen.thickest_mm, 1)
    thicker = f"{plain(float(more), 1)} mm thicker" if more > 0 else "no thicker"
    fringe = _wider_fringe(pair, other)
    yield f"Nearly the same for {less:.2f} less: {inside_sentence(other.material.name)}, {thicker}{fringe}."


def _wider_fringe(pair: Pair, other: InMaterial) -> str:
    """Say that a cheaper material spreads colours more, where that may be seen."""
    mine, theirs = fringe_prism_dpt(pair, pair.chosen), fringe_prism_dpt(pair, other)
    if theirs < seen_fringe_prism_dpt() or rounded(theirs, 2) <= rounded(mine, 2):
        return ""
    return f", fringe {plain(theirs, 2)} against {plain(mine, 2)}"


def _ground_instead(pair: Pair) -> Iterator[str]:
    """Say what the same lenses would be if they were ground for the frame instead of cut from stock."""
    if pair.order.lenses.blank_mm is None:
        return
    lenses, shop = replace(pair.order.lenses, blank_mm=None), replace(pair.shop, materials=())
    try:
        ground = work_out(replace(pair.order, lenses=lenses), shop).chosen
    except DoesNotReachError:
        return
    thinner = rounded(pair.chosen.thickest_mm - ground.thickest_mm, 1)
    lighter = rounded(pair.chosen.weight_g - ground.weight_g, 0)
    if thinner > 0:
        yield f"Ground for the frame instead of cut from stock: {thinner} mm thinner, {lighter} g lighter."
