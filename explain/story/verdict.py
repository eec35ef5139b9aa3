"""Verdict: whether the chosen material changed anything that anyone would notice, and for what money."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from explain.facts import data_file
from explain.language import _, later
from explain.story.fringes import fringe_prism_dpt, seen_fringe_prism_dpt
from explain.story.pair import InMaterial, Pair
from explain.story.wording import NO_BREAK, Place, grams, inside_sentence, listed, mm, plain, rounded, sentence_case

TOUGH = frozenset({"polycarbonate-1.59", "urethane-1.53"})


def band_words(name: str, figure: float) -> str:
    """Find the words for a figure in data/verdicts.yaml, as a table has them."""
    return band_text(name, figure, "words")


def band_sentence(name: str, figure: float) -> str:
    """Find the whole sentence for a figure in data/verdicts.yaml."""
    return band_text(name, figure, "sentence")


def band_text(name: str, figure: float, part: str, /, **values: str) -> str:
    """Find what data/verdicts.yaml says of a figure, in the language being spoken.

    part: "words", or one of the whole sentences, whose {names} are filled in. Raises KeyError for a part not there.
    """
    return _(str(_band(name, figure)[part]), **values)


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
        return [_(TOUGH_ADVICE)]
    if chosen.material.key == plainest.material.key:
        return [_plainest_text(pair, place)]
    texts = (
        saving_text(pair, place),
        _nearly_as_thin_text(pair, place),
        _("It is chosen for strength, not for thinness.") if chosen.material.key in TOUGH else "",
    )
    return [text for text in texts if text]


TOUGH_ADVICE = later(
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
    name = inside_sentence(material_name(pair.plainest))
    price = paid_for(pair, pair.chosen.material.key)
    cost = {"price": place.money(price)} if price else {}
    if saved_mm <= 0:
        return _no_thinner_text(name, cost)
    answer = "answer_with_price" if price else "answer"
    if is_noticed("thickness_saved_mm", saved_mm) or is_noticed("weight_saved_g", abs(saved_g)):
        return band_text("thickness_saved_mm", saved_mm, answer, saved=mm(saved_mm), name=name, **cost)
    figures = listed([mm(saved_mm), grams(saved_g)] if saved_g > 0 else [mm(saved_mm)])
    verdict = str(data_file("verdicts")["not_noticed"][answer])
    return _(verdict, saved=figures, name=name, **cost)


def _no_thinner_text(name: str, cost: dict[str, str]) -> str:
    if cost:
        return _("In thickness, no: your lenses come out no thinner than in {name}, for {price}.", name=name, **cost)
    return _("In thickness, no: your lenses come out no thinner than in {name}.", name=name)


def _nearly_as_thin_text(pair: Pair, place: Place) -> str:
    other, mine = nearly_as_thin(pair), price_today(pair, pair.chosen)
    if other is None:
        return ""
    more = other.thickest_mm - pair.chosen.thickest_mm
    named = {"name": sentence_case(material_name(other)), "less": place.money(mine - price_today(pair, other))}
    if rounded(more, 1) <= 0:
        texts = [_("{name} would be no thicker and costs {less} less.", **named)]
    else:
        texts = [
            _("{name} would be only {more} thicker and costs {less} less.", more=mm(more), **named),
            _("You would hardly see that."),
        ]
    return " ".join([*texts, *_fringe_texts(pair, other)])


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


def _fringe_texts(pair: Pair, other: InMaterial) -> list[str]:
    """Say that a cheaper material spreads colours more, where that may be seen."""
    mine, theirs = fringe_prism_dpt(pair, pair.chosen), fringe_prism_dpt(pair, other)
    if theirs < seen_fringe_prism_dpt() or rounded(theirs, 2) <= rounded(mine, 2):
        return []
    return [
        _(
            "It spreads colors more: {theirs} against {mine} prism diopters.",
            theirs=plain(theirs, 2),
            mine=plain(mine, 2),
        )
    ]


def _plainest_text(pair: Pair, place: Place) -> str:
    if listed_price(pair, pair.chosen) is None:
        return _("We have no plainer material on our list to compare it with.")
    thinner = [other for other in pair.others if other.thickest_mm < pair.chosen.thickest_mm]
    if not thinner:
        return _("You have the plainest material, and no other that we offer comes out thinner in this frame.")
    best = min(thinner, key=lambda other: (rounded(other.thickest_mm, 1), price_today(pair, other)))
    return " ".join((_("You have the plainest material."), *_thinnest_texts(pair, best, place)))


def _thinnest_texts(pair: Pair, best: InMaterial, place: Place) -> tuple[str, str]:
    """Say what the thinnest material would save, for what money, and whether that would be seen."""
    saved = rounded(pair.chosen.thickest_mm - best.thickest_mm, 1)
    more = price_today(pair, best) - price_today(pair, pair.chosen)
    saving = _(
        "{name}, the thinnest here, would save {saved} for {price}.",
        name=material_name(best),
        saved=mm(float(saved)),
        price=place.money(more),
    )
    cost = {"price": place.money(each(more, saved)), "one_mm": f"1{NO_BREAK}mm"} if saved else {}
    return saving, band_text("thickness_saved_mm", float(saved), "for_1_mm", **cost)


def material_name(made: InMaterial) -> str:
    """Name of a material as it stands on its own, in the language being spoken."""
    return _(made.material.name)


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
