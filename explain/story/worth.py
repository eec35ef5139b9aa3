"""Worth: what the chosen material changed, figure by figure, what that means, and what each mm and each gram cost."""

from __future__ import annotations

from decimal import Decimal

from msgspec import Struct

from explain.language import _, later
from explain.story.blocks import Table
from explain.story.fringes import fringe_prism_dpt
from explain.story.pair import InMaterial, Pair
from explain.story.reflections import reflected_of_100
from explain.story.verdict import TOUGH, band_words, each, is_noticed, needs_tough_lenses, paid_for
from explain.story.wording import NO_BREAK, Place, grams, mm, plain, rounded

TOO_LITTLE = later("too little to count")
SAME = later("no difference")


class Effect(Struct, frozen=True):
    """What the material changed in one figure against the plainest, as printed.

    change: the difference, such as "2.2 mm less". words: what that means, from data/verdicts.yaml. saved: the printed
    difference where it is a saving that can be noticed, else None. unit: "mm" or "g"; empty for what has no price.
    """

    what: str
    change: str
    words: str
    saved: Decimal | None = None
    unit: str = ""


def effects_table(pair: Pair, place: Place) -> Table | None:
    """Set out what the material changed, a row a figure; None where nothing is compared, or strength is the reason."""
    if pair.chosen.material.key == pair.plainest.material.key:
        return None
    if needs_tough_lenses(pair) and pair.chosen.material.key in TOUGH:
        return None
    found, price = effects(pair), paid_for(pair, pair.chosen.material.key)
    counted = [one for one in found if one.saved is not None]
    if not price or price < 0 or not counted:
        rows = tuple((one.what, one.change, one.words) for one in found)
        return Table(_("What your material changed"), _columns(), rows, _(JUDGED), is_folded=True)
    priced = tuple((one.what, one.change, one.words, price_each(one, price, place)) for one in found)
    shared = _("The 2 prices share 1 sum: you paid {price} once.", price=place.money(price))
    note = f"{shared} {_(JUDGED)}" if len(counted) > 1 else _(JUDGED)
    return Table(_("What your material changed"), (*_columns(), _("Price for each")), priced, note, is_folded=True)


def _columns() -> tuple[str, str, str]:
    return "", _("Change"), _("What that means")


JUDGED = later("What counts as seen or felt is our own judgment. Color fringe is in prism diopters.")


def effects(pair: Pair) -> tuple[Effect, ...]:
    """What the chosen material changed against the plainest: thickness, weight, colours, and bare reflections.

    Lenses without power spread no colours; a layer against reflections decides more than the material does.
    """
    mine, plainest = pair.chosen, pair.plainest
    found = [_thickness(mine, plainest), _weight(mine, plainest)]
    if pair.order.lenses.design != "plano":
        found.append(_fringe(pair))
    if "anti-reflective" not in pair.order.lenses.add_ons:
        found.append(_reflections(mine, plainest))
    return tuple(found)


def price_each(effect: Effect, price: Decimal, place: Place) -> str:
    """Price of 1 mm or 1 g saved; in words where the saving is too small to count, empty where nothing was saved."""
    if effect.saved is not None:
        return _(
            "{price} for {amount}",
            price=place.money(each(price, effect.saved)),
            amount=f"1{NO_BREAK}{effect.unit}",
        )
    return _(TOO_LITTLE) if effect.unit else ""


def _thickness(mine: InMaterial, plainest: InMaterial) -> Effect:
    return _saving(_("Thickness"), "thickness_saved_mm", rounded(plainest.thickest_mm - mine.thickest_mm, 1), "mm")


def _weight(mine: InMaterial, plainest: InMaterial) -> Effect:
    return _saving(_("Weight"), "weight_saved_g", rounded(plainest.weight_g - mine.weight_g, 0), "g")


def _saving(what: str, band: str, saved: Decimal, unit: str) -> Effect:
    """Put a saving, or what is the contrary of one, in the same words either way."""
    if not saved:
        return Effect(what, _(SAME), "")
    amount = mm(float(abs(saved))) if unit == "mm" else grams(float(abs(saved)))
    words = band_words(band, float(abs(saved)))
    if saved < 0:
        return Effect(what, _("{amount} more", amount=amount), words)
    return Effect(
        what, _("{amount} less", amount=amount), words, saved if is_noticed(band, float(saved)) else None, unit
    )


def _fringe(pair: Pair) -> Effect:
    mine = rounded(fringe_prism_dpt(pair, pair.chosen), 2)
    wider = mine - rounded(fringe_prism_dpt(pair, pair.plainest), 2)
    words = band_words("fringe_prism_dpt", float(mine))
    if not wider:
        return Effect(_("Color fringe"), _(SAME), words)
    amount = plain(float(abs(wider)), 2)
    change = _("{amount} wider", amount=amount) if wider > 0 else _("{amount} narrower", amount=amount)
    return Effect(_("Color fringe"), change, words)


def _reflections(mine: InMaterial, plainest: InMaterial) -> Effect:
    more = rounded(reflected_of_100(mine), 0) - rounded(reflected_of_100(plainest), 0)
    if not more:
        return Effect(_("Reflections"), _(SAME), "")
    amount = plain(float(abs(more)), 0)
    change = _("{amount} in 100 more", amount=amount) if more > 0 else _("{amount} in 100 less", amount=amount)
    return Effect(_("Reflections"), change, band_words("reflections_of_100", float(abs(more))))
