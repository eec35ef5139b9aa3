"""Verdict: whether the chosen material changed anything that anyone would notice, and for what money."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from explain.facts import data_file
from explain.story.fringes import fringe_prism_dpt, seen_fringe_prism_dpt
from explain.story.pair import InMaterial, Pair
from explain.story.wording import NO_BREAK, Place, grams, inside_sentence, mm, plain, rounded, sentence_case

TOUGH = frozenset({"polycarbonate-1.59", "urethane-1.53"})


def band_words(name: str, saved: float) -> str:
    """Find the words for a difference in data/verdicts.yaml."""
    return str(_band(name, saved)["words"])


def band_sentence(name: str, figure: float) -> str:
    """Find the whole sentence for a figure in data/verdicts.yaml."""
    return str(_band(name, figure)["sentence"])


def _band(name: str, figure: float) -> dict[str, Any]:
    bands: list[dict[str, Any]] = data_file("verdicts")[name]["bands"]
    return next(row for row in bands if figure < row["below"])


def is_noticed(name: str, saved: float) -> bool:
    """Tell whether a difference reaches the first threshold of its bands in data/verdicts.yaml."""
    return saved >= _first_threshold(name)


def _first_threshold(name: str) -> float:
    return float(data_file("verdicts")[name]["bands"][0]["below"])


def verdict_text(pair: Pair, place: Place) -> str:
    """Say whether the chosen material changed anything anyone would notice; the paragraphs joined."""
    return " ".join(verdict_texts(pair, place))


def verdict_texts(pair: Pair, place: Place) -> list[str]:
    """Say the verdict on the material, a paragraph each: what it saved, what comes close, what it is chosen for."""
    chosen, plainest = pair.chosen, pair.plainest
    if needs_tough_lenses(pair) and chosen.material.key in TOUGH:
        return [TOUGH_ADVICE]
    if chosen.material.key == plainest.material.key:
        return [_plainest_text(pair, place)]
    texts = (
        saving_text(pair, place),
        _nearly_as_thin_text(pair, place),
        "It is chosen for strength, not for thinness." if chosen.material.key in TOUGH else "",
    )
    return [text for text in texts if text]


TOUGH_ADVICE = (
    "This plastic is chosen for strength. It is the kind advised for a child and for anyone with 1 good eye. "
    "Please do not leave it off."
)


def needs_tough_lenses(pair: Pair) -> bool:
    """True for a child or someone with one good eye (aao_children in data/sources.yaml)."""
    return bool({"child", "one good eye"} & set(pair.order.wearer))


def saving_text(pair: Pair, place: Place) -> str:
    """Say whether the material is thinner than the plainest one, by how much, and for what money.

    Where nobody would see or feel the difference, say so with both figures.
    """
    saved_mm = float(rounded(pair.plainest.thickest_mm - pair.chosen.thickest_mm, 1))
    saved_g = float(rounded(pair.plainest.weight_g - pair.chosen.weight_g, 0))
    name = inside_sentence(pair.plainest.material.name)
    price = paid_for(pair, pair.chosen.material.key)
    cost = f", for {place.money(price)}" if price else ""
    if saved_mm <= 0:
        return f"In thickness, no: your lenses come out no thinner than in {name}{cost}."
    if not is_noticed("thickness_saved_mm", saved_mm) and not is_noticed("weight_saved_g", abs(saved_g)):
        figures = f"{mm(saved_mm)} and {grams(saved_g)}" if saved_g > 0 else mm(saved_mm)
        return f"{data_file('verdicts')['not_noticed']}: it saves {figures} against {name}{cost}."
    verdict = data_file("verdicts")["answers"][band_words("thickness_saved_mm", saved_mm)]
    return f"{verdict}: it saves {mm(saved_mm)} against {name}{cost}."


def _nearly_as_thin_text(pair: Pair, place: Place) -> str:
    other, mine = nearly_as_thin(pair), price_today(pair, pair.chosen)
    if other is None:
        return ""
    more = other.thickest_mm - pair.chosen.thickest_mm
    name, less = sentence_case(other.material.name), place.money(mine - price_today(pair, other))
    colours = _fringe_text(pair, other)
    if rounded(more, 1) <= 0:
        return f"{name} would be no thicker and costs {less} less.{colours}"
    return f"{name} would be only {mm(more)} thicker and costs {less} less. You would hardly see that.{colours}"


def nearly_as_thin(pair: Pair) -> InMaterial | None:
    """Cheaper material that comes so close in thickness that nobody would see it: the closest, then the cheapest.

    Only tough ones count for a child or someone with one good eye.
    """
    mine = price_today(pair, pair.chosen)
    close = [
        other
        for other in pair.others
        if price_today(pair, other) < mine
        and other is not pair.plainest
        and (other.material.key in TOUGH or not needs_tough_lenses(pair))
        and not is_noticed("thickness_saved_mm", other.thickest_mm - pair.chosen.thickest_mm)
    ]
    return min(close, key=lambda made: (rounded(made.thickest_mm, 1), price_today(pair, made)), default=None)


def _fringe_text(pair: Pair, other: InMaterial) -> str:
    """Say that a cheaper material spreads colours more, where that may be seen."""
    mine, theirs = fringe_prism_dpt(pair, pair.chosen), fringe_prism_dpt(pair, other)
    if theirs < seen_fringe_prism_dpt() or rounded(theirs, 2) <= rounded(mine, 2):
        return ""
    return f" It spreads colors more: {plain(theirs, 2)} against {plain(mine, 2)} prism diopters."


def _plainest_text(pair: Pair, place: Place) -> str:
    if listed_price(pair, pair.chosen) is None:
        return "We have no plainer material on our list to compare it with."
    thinner = [other for other in pair.others if other.thickest_mm < pair.chosen.thickest_mm]
    if not thinner:
        return "You have the plainest material, and no other that we offer comes out thinner in this frame."
    best = min(thinner, key=lambda other: (rounded(other.thickest_mm, 1), price_today(pair, other)))
    saved = rounded(pair.chosen.thickest_mm - best.thickest_mm, 1)
    more = price_today(pair, best) - price_today(pair, pair.chosen)
    start = (
        f"You have the plainest material. {best.material.name}, the thinnest here, "
        f"would save {mm(float(saved))} for {place.money(more)}."
    )
    if not is_noticed("thickness_saved_mm", float(saved)):
        return f"{start} {data_file('verdicts')['not_noticed']}."
    words = band_words("thickness_saved_mm", float(saved))
    return f"{start} That is {words}, at {place.money(each(more, saved))} for 1{NO_BREAK}mm."


def each(price: Decimal, saved: Decimal) -> Decimal:
    """Price of one unit saved, in hundredths, from the saving as printed, so that a reader finds the same.

    >>> each(Decimal("85.00"), Decimal("2.2"))
    Decimal('38.64')
    """
    return rounded(float(price / saved), 2)


def paid_for(pair: Pair, choice: str) -> Decimal | None:
    """Sum of the bill's lines for one choice, None where the bill has none."""
    amounts = [line.amount for line in pair.order.bill.lines if line.choice == choice]
    return sum(amounts, Decimal(0)) if amounts else None


def listed_price(pair: Pair, made: InMaterial) -> Decimal | None:
    """Today's price of a material, as the shop's difference to its plainest; None where the shop does not offer it."""
    return next((o.price for o in pair.shop.materials if o.choice == made.material.key), None)


def price_today(pair: Pair, made: InMaterial) -> Decimal:
    """Price to compare by: the shop's own, or what was paid for a material that is not on its list."""
    listed_today = listed_price(pair, made)
    return (paid_for(pair, made.material.key) or Decimal(0)) if listed_today is None else listed_today
