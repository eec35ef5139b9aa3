"""Each choice: what it does, what it does not, and when it would not be worth it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from explain.facts import data_file, option
from explain.language import _, said_once
from explain.order.model import Order
from explain.story.blocks import Block, Choice, Heading, Paragraph, Section, Table
from explain.story.bought import is_dark
from explain.story.fringes import fringe_prism_dpt, seen_fringe_prism_dpt
from explain.story.pair import InMaterial, Pair
from explain.story.reflections import as_sold_of_100, ghost_texts, light_table, reflected_per_100
from explain.story.tints import category_range
from explain.story.verdict import (
    TOUGH,
    TOUGH_ADVICE,
    band_sentence,
    band_text,
    listed_price,
    material_name,
    needs_tough_lenses,
    paid_for,
    saving_text,
)
from explain.story.wording import Place, between, grams, inside_sentence, mm, plain, rounded


def choices_section(pair: Pair, place: Place) -> Section:
    """Part 5 of the page: the lens kind, the material, and every layer or tint."""
    blocks: list[Block] = [
        Paragraph(_("What each choice does for this pair, and what it does not. Each table ends with leaving it off.")),
        _design(pair, place),
        _material(pair, place),
        *(_add_on(pair, key, place) for key in pair.order.lenses.add_ons),
        *_without_layer(pair),
    ]
    return Section("choices", _("What each choice does and does not do"), _("Your choices"), tuple(blocks))


def _design(pair: Pair, place: Place) -> Choice:
    key = pair.order.lenses.design
    instead = str(data_file("left_off")[key])
    without = _(instead)
    rows = ((_("Yours"), _paid(pair, key, place)), (without, _("not part of this order")))
    return _choice(key, (), Table(_("What it costs"), ("", _("Price")), rows))


def _material(pair: Pair, place: Place) -> Choice:
    key = pair.order.lenses.material
    columns = ("", _("Thickest"), _("Weight"), _("Color fringe"), _("Price"))
    rows = (_material_row(pair, pair.chosen, _("Yours"), _paid(pair, key, place)), _plainest_row(pair))
    note = _(
        "Color fringe: how wide colored edges are when you look 10 mm aside, in prism diopters. "
        "Below {least} most people notice none (common practice, no source).",
        least=plain(seen_fringe_prism_dpt(), 2),
    )
    told = _choice(key, (_material_text(pair, place),), Table(_("Your figures"), columns, rows, note))
    if needs_tough_lenses(pair) and key in TOUGH:
        return replace(told, not_worth=_("It is worth it for a child and for anyone with 1 good eye."))
    return told


def _plainest_row(pair: Pair) -> tuple[str, ...]:
    if pair.plainest.material.key != pair.chosen.material.key:
        label = _("Leave it off: {name}", name=inside_sentence(material_name(pair.plainest)))
        return _material_row(pair, pair.plainest, label, _("no extra"))
    is_listed = listed_price(pair, pair.chosen) is not None
    why = _("this is the plainest we offer") if is_listed else _("nothing on our list to compare")
    return _("Leave it off"), why, "", "", ""


def _material_text(pair: Pair, place: Place) -> str:
    """What the material did for this pair, in two sentences; every figure has its row in the part on thickness."""
    if needs_tough_lenses(pair) and pair.chosen.material.key in TOUGH:
        return _(TOUGH_ADVICE)
    if listed_price(pair, pair.chosen) is None and pair.chosen.material.key == pair.plainest.material.key:
        return _("We have no plainer material on our list to compare it with.")
    if pair.chosen.material.key == pair.plainest.material.key:
        return _("This is the plainest material we offer.")
    return f"{saving_text(pair, place)} {fringe_verdict(pair)}".strip()


def fringe_verdict(pair: Pair) -> str:
    """Say what the colour fringe of the chosen material means, by the figure as printed; nothing without a fringe."""
    fringe = float(rounded(fringe_prism_dpt(pair, pair.chosen), 2))
    return band_text("fringe_prism_dpt", fringe, "figure", fringe=plain(fringe, 2)) if fringe else ""


def _material_row(pair: Pair, made: InMaterial, label: str, price: str) -> tuple[str, ...]:
    return label, mm(made.thickest_mm), grams(made.weight_g), plain(fringe_prism_dpt(pair, made), 2), price


def _add_on(pair: Pair, key: str, place: Place) -> Choice:
    if key == "anti-reflective":
        return _anti_reflective(pair, place)
    rows = ((_("Yours"), _paid(pair, key, place)), (_("Leave it off"), _("no charge")))
    return _choice(key, _add_on_text(pair, key), Table(_("What it costs"), ("", _("Price")), rows))


def _anti_reflective(pair: Pair, place: Place) -> Choice:
    paid = _paid(pair, "anti-reflective", place)
    texts = () if is_dark(pair.order) else (_difference_text(pair), *ghost_texts(_index(pair), layered=True))
    return _choice("anti-reflective", texts, light_table(_index(pair), clear=not is_dyed(pair.order), price=paid))


def _difference_text(pair: Pair) -> str:
    """Give the verdict on the layer: what it changes of the light thrown back, and how that is seen."""
    bare = reflected_per_100(pair)
    fewer = bare - as_sold_of_100().high
    taken = _(
        "Bare, the lens throws back {bare} of every 100 parts of light. The layer takes {fewer} or more of these away.",
        bare=plain(bare, 0),
        fewer=plain(fewer, 0),
    )
    return f"{taken} {band_sentence('reflections_of_100', fewer)}"


def _without_layer(pair: Pair) -> list[Block]:
    """What a bare lens throws back, where no layer was bought; not for dark lenses, whose dye takes more."""
    if "anti-reflective" in pair.order.lenses.add_ons or is_dark(pair.order):
        return []
    table = light_table(_index(pair), clear=not is_dyed(pair.order), price=None)
    texts = ghost_texts(_index(pair), layered=False)
    return [Heading(_("Reflections, without a layer")), *(Paragraph(text) for text in texts), table]


def _index(pair: Pair) -> float:
    return pair.chosen.material.index_at_587_6_nm


def is_dyed(order: Order) -> bool:
    """True for lenses with a dye of any kind, light-reactive ones too: it takes away light inside the lens."""
    return is_dark(order) or "light-reactive" in order.lenses.add_ons


def _add_on_text(pair: Pair, key: str) -> tuple[str, ...]:
    tint = pair.order.lenses.tint
    if key == "sun-tint" and tint is not None:
        text = _(
            "Yours are ordered {colour}, category {category}. "
            "Such a tint lets through {through} of every 100 parts of light. We did not measure it.",
            colour=tint.colour,
            category=tint.category,
            through=between(category_range(tint.category)),
        )
        return (text,)
    return ()


def _choice(key: str, for_your_pair: tuple[str, ...], figures: Table) -> Choice:
    return Choice(for_your_pair=for_your_pair, figures=figures, **_words(key))


@said_once(64)
def _words(key: str) -> dict[str, Any]:
    """What is said of a choice whatever the pair."""
    words = option(key)
    return {
        "name": _(words.name),
        "what": _(words.what),
        "reasons_for": tuple(_(reason) for reason in words.reasons_for),
        "reasons_against": tuple(_(reason) for reason in words.reasons_against),
        "not_worth": _(words.not_worth),
        "evidence": _(words.evidence) if words.evidence else "",
    }


def _paid(pair: Pair, key: str, place: Place) -> str:
    amount = paid_for(pair, key)
    return _("in the price of the lenses") if amount is None else place.money(Decimal(amount))
