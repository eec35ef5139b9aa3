"""Verdict: whether the chosen material changed anything that anyone would notice, and for what money."""

from __future__ import annotations

from decimal import Decimal

from explain.facts import data_file
from explain.story.fringes import SEEN_FRINGE_PRISM_DPT, fringe_prism_dpt
from explain.story.pair import InMaterial, Pair
from explain.story.wording import Place, grams, inside_sentence, mm, plain, rounded, sentence_case

TOUGH = frozenset({"polycarbonate-1.59", "urethane-1.53"})


def band_words(name: str, saved: float) -> str:
    """Find the words for a difference in data/verdicts.yaml."""
    words: str = next(row["words"] for row in data_file("verdicts")[name] if saved < row["below"])
    return words


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
    """Say what the material saves against the plainest one: a verdict, millimetres, grams and money."""
    saved_mm = pair.plainest.thickest_mm - pair.chosen.thickest_mm
    saved_g = pair.plainest.weight_g - pair.chosen.weight_g
    name = inside_sentence(pair.plainest.material.name)
    price = paid_for(pair, pair.chosen.material.key)
    cost = f", for {place.money(price)}" if price else ""
    if rounded(saved_mm, 1) <= 0:
        return f"In thickness, no: your lenses come out no thinner than in {name}{cost}."
    words = band_words("thickness_saved_mm", float(rounded(saved_mm, 1)))
    verdict = data_file("verdicts")["answers"][words]
    return f"{verdict}: it saves {mm(saved_mm)} against {name}{cost}. That is {words}.{_weight_saved_text(saved_g)}"


def _weight_saved_text(saved_g: float) -> str:
    if rounded(saved_g, 0) < 0:
        return f" The lenses are {grams(-saved_g)} heavier."
    if rounded(saved_g, 0) == 0:
        return ""
    return f" It also saves {grams(saved_g)}, {band_words('weight_saved_g', float(rounded(saved_g, 0)))}."


def _nearly_as_thin_text(pair: Pair, place: Place) -> str:
    """Name the cheapest material that comes so close that nobody would see the difference, if there is one."""
    mine = price_today(pair, pair.chosen)
    least = data_file("verdicts")["thickness_saved_mm"][0]["below"]
    close = [
        other
        for other in pair.others
        if price_today(pair, other) < mine
        and other is not pair.plainest
        and other.thickest_mm - pair.chosen.thickest_mm < least
    ]
    if not close:
        return ""
    other = min(close, key=lambda made: (rounded(made.thickest_mm, 1), price_today(pair, made)))
    more = other.thickest_mm - pair.chosen.thickest_mm
    name, less = sentence_case(other.material.name), place.money(mine - price_today(pair, other))
    colours = _fringe_text(pair, other)
    if rounded(more, 1) <= 0:
        return f"{name} would be no thicker and costs {less} less.{colours}"
    return f"{name} would be only {mm(more)} thicker and costs {less} less. You would hardly see that.{colours}"


def _fringe_text(pair: Pair, other: InMaterial) -> str:
    """Say that a cheaper material spreads colours more, where that may be seen."""
    mine, theirs = fringe_prism_dpt(pair, pair.chosen), fringe_prism_dpt(pair, other)
    if theirs < SEEN_FRINGE_PRISM_DPT or rounded(theirs, 2) <= rounded(mine, 2):
        return ""
    return f" It spreads colors more: {plain(theirs, 2)} against {plain(mine, 2)} prism diopters."


def _plainest_text(pair: Pair, place: Place) -> str:
    if listed_price(pair, pair.chosen) is None:
        return "We have no plainer material on our list to compare it with."
    thinner = [other for other in pair.others if other.thickest_mm < pair.chosen.thickest_mm]
    if not thinner:
        return "You have the plainest material, and no other that we offer comes out thinner in this frame."
    best = min(thinner, key=lambda other: other.thickest_mm)
    saved = pair.chosen.thickest_mm - best.thickest_mm
    more = place.money(price_today(pair, best) - price_today(pair, pair.chosen))
    return (
        f"You have the plainest material. {best.material.name}, the thinnest here, would save {mm(saved)} for {more}. "
        f"That is {band_words('thickness_saved_mm', float(rounded(saved, 1)))}."
    )


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
