"""How the pair was checked against the standard, in words and one table."""

from __future__ import annotations

import math

from explain.facts import data_file
from explain.optics.tolerance import axis_error_left_over
from explain.story.blocks import Block, Bullets, Note, Paragraph, Section, Table
from explain.story.pair import Pair
from explain.story.verify import Comparison, comparisons, outside
from explain.story.wording import NO_BREAK, Place, counted, degrees, dioptres, listed, mm, plain, rounded, sentence_case

_EXACT = 1e-6
_MOST_POINTS = 7
NOTHING_MEASURED = "No figures of this pair are on record: not the power, the thickness or the weight."
_SMALL = 0.01
"""Powers that differ by less are given with more places, so that no value is outside by 0.00."""
UNNOTICED_DPT = 0.20
"""Blur that most people do not notice (Duane's, chapter on lens design: duane_51b in data/sources.yaml)."""
MINUS_OR_PLUS = "\u00b1"

NAMES = {
    "sphere": "sphere",
    "cylinder": "cylinder",
    "axis": "axis",
    "other meridian": "sphere and cylinder together",
    "add": "add",
    "pd": "distance",
    "height": "height",
    "height difference": "height difference",
    "prism": "prism",
    "prism sideways": "unwanted prism sideways",
    "prism up and down": "unwanted prism up and down",
}
UNITS = {"dpt": "dioptres", "deg": "degrees", "mm": "mm", "prism_dpt": "prism dioptres"}
"""Units as the optician reads them in a message; the page has words of its own."""


def exact(value: float, unit: str) -> str:
    """Give a difference with enough places to show that there is one; at most 4.

    >>> exact(0.25, "dpt"), exact(0.005, "dpt"), exact(1.0, "mm"), exact(3.0, "deg")
    ('0.25', '0.005', '1.0', '3')
    """
    least = {"deg": 0, "mm": 1}.get(unit, 2)
    for places in range(least, 4):
        if abs(float(rounded(value, places)) - value) < _EXACT:
            return plain(value, places)
    return plain(value, 4)


def checked_section(pair: Pair, place: Place) -> Section | None:
    """Part 6 of the page; absent where nothing was recorded."""
    measured = _measured(pair, place)
    looked_at = inspection_blocks(pair, place)
    if not measured and not looked_at:
        return None
    unmeasured = not_measured_text(pair) if measured else NOTHING_MEASURED
    blocks: list[Block] = [
        *measured,
        *looked_at,
        Paragraph(f"Any optician can repeat this check. {_time_text(pair)}"),
        Note(unmeasured, label="What we did not measure"),
    ]
    return Section("checked", "How we checked them", "How we checked", tuple(blocks))


def _measured(pair: Pair, place: Place) -> list[Block]:
    """The measured figures beside the ordered ones; empty where no figure was recorded."""
    checked, found = pair.order.checked, comparisons(pair)
    if checked is None or not found:
        return []
    when = f" on {place.day(checked.on)}" if checked.on else ""
    standard = data_file("tolerances")[pair.shop.standard]["standard"]
    return [
        Paragraph(f"{_how_text(pair, when)} We compared each figure with what the {standard} standard allows."),
        Table(
            "Ordered and measured",
            ("What", "Ordered", "Measured", "Result"),
            tuple(table_row(one) for one in found),
            _standard_note(pair),
        ),
        *_acceptance(pair),
        *_balance(pair),
    ]


def inspection_blocks(pair: Pair, place: Place) -> list[Block]:
    """What was looked at by eye, a list for each person and day."""
    return [
        Bullets(
            tuple(sentence_case(thing) for thing in one.things),
            lead=f"{sentence_case(one.by)} looked at these on {place.day(one.on)}.",
        )
        for one in pair.order.inspected
    ]


def _time_text(pair: Pair) -> str:
    """How long the check takes elsewhere: only a measurement needs an instrument."""
    if pair.order.checked is None:
        return "You may ask for it anywhere."
    return "It takes a few minutes, and you may ask for it anywhere."


def _how_text(pair: Pair, when: str) -> str:
    """Say what we measured with: a lensmeter only where it was used."""
    if any(getattr(pair.order.checked, eye.side) is not None for eye in pair.eyes):
        return f"We put the finished pair on a lensmeter{when}. It shows what a lens really does to light."
    return f"We measured where the lens centers lie{when}."


def comparison_row(one: Comparison) -> tuple[str, ...]:
    """One row of the table, rounded as a lensmeter shows it."""
    name = NAMES[one.quantity]
    what = sentence_case(f"{name}, both") if one.eye == "both" else f"{one.eye.capitalize()} {name}"
    allowed = "no limit" if one.allowed is None else f"{MINUS_OR_PLUS}{_short(one.allowed, one.unit)}"
    return what, _value(one.ordered, one), _value(one.measured, one), allowed, result_words(one)


def table_row(one: Comparison) -> tuple[str, ...]:
    """One row as the page shows it: the allowed difference beside the result."""
    what, ordered, measured, allowed, result = comparison_row(one)
    return what, ordered, measured, f"{result} ({allowed})" if one.allowed is not None else result


def result_words(one: Comparison) -> str:
    """Say in a plain word how a value came out.

    >>> result_words(Comparison("axis", "right", "deg", 85, 88, 2.0, 3.0))
    'outside by 1 degree'
    """
    if rounded(one.off_by, 2) == 0:
        return "as ordered"
    if one.allowed is None:
        return f"{_amount(one.off_by, one.unit)} off"
    if one.inside:
        return "inside"
    return f"outside by {_amount(one.off_by - one.allowed, one.unit)}"


def _value(value: float, one: Comparison) -> str:
    if one.unit == "deg":
        return degrees(value)
    if one.unit == "prism_dpt":
        return plain(value, 2)
    return dioptres(value) if one.unit == "dpt" else mm(value)


def _short(value: float, unit: str) -> str:
    if unit == "deg":
        return _amount(value, unit)
    return mm(value) if unit == "mm" else plain(rounded_down(value), 2)


def rounded_down(allowed: float) -> float:
    """Cut an allowed difference to 2 places, so that the page never allows more than the standard.

    >>> rounded_down(0.175), rounded_down(0.13)
    (0.17, 0.13)
    """
    return math.floor(allowed * 100 + _EXACT) / 100


def _amount(value: float, unit: str) -> str:
    if unit == "deg":
        return f"{degrees(value)} {'degree' if value == 1 else 'degrees'}"
    if unit == "mm":
        return mm(value) if rounded(value, 1) else f"{exact(value, unit)}{NO_BREAK}mm"
    figure = plain(value, 2) if rounded(value, 2) and value >= _SMALL else exact(value, unit)
    return f"{figure} {'prism diopters' if unit == 'prism_dpt' else 'diopters'}"


def _standard_note(pair: Pair) -> str:
    family = data_file("tolerances")[pair.shop.standard]
    edition = family.get("rows_from_edition")
    limits = f"In brackets: how far a figure may differ by {family['standard']}, in rows of {edition} and older."
    texts = [
        limits,
        "It is voluntary; some states have rules of their own.",
        "Powers are in diopters, the axis in degrees.",
    ]
    found = comparisons(pair)
    if any(one.quantity == "pd" and one.allowed is None for one in found):
        texts.append("Distances have no limit of their own: what counts is the unwanted prism, worked out from them.")
    if any(one.unit == "prism_dpt" for one in found):
        texts.append("Prism is in prism diopters: 1 moves the view 1 cm at 1 meter.")
    if any(not one.firm for one in found):
        texts.append("Some limits are quoted from memory and only serve as a warning to us.")
    return " ".join(texts)


def _acceptance(pair: Pair) -> list[Block]:
    found = outside(pair)
    accepted = pair.order.accepted
    if not found or accepted is None:
        return []
    figures = counted(len(found), "figure is", "figures are")
    blocks: list[Block] = [
        Paragraph(f"{figures} outside the allowed difference. Accepted by {accepted.by}.", lead="What differs."),
        Bullets(tuple(difference_text(one) for one in found[:_MOST_POINTS])),
        Paragraph(accepted.why),
    ]
    turned = [one for one in found if one.quantity == "axis"]
    return blocks + [Paragraph(axis_error_text(pair, one)) for one in turned]


def difference_text(one: Comparison) -> str:
    """Say openly what a value outside its limit is, and what it should have been."""
    what, ordered, measured, _, result = comparison_row(one)
    return f"{what}: {measured} instead of {ordered}, {result}."


def axis_error_text(pair: Pair, one: Comparison) -> str:
    """Say what a turned axis leaves uncorrected, beside what most people do not notice."""
    made = next(eye.made for eye in pair.eyes if eye.side == one.eye)
    left = abs(axis_error_left_over(made, one.off_by).cylinder_dpt)
    return (
        f"The turn leaves {plain(left, 2)} diopters of astigmatism in that eye. "
        f"Most people do not notice a blur of {plain(UNNOTICED_DPT, 2)} (a textbook figure). "
        "If that eye stays blurred, call us."
    )


def _balance(pair: Pair) -> list[Block]:
    """What a balance lens showed: nothing was ordered, so nothing is compared."""
    sides = [eye.side for eye in pair.eyes if eye.ordered.is_balance]
    found = [(side, getattr(pair.order.checked, side)) for side in sides]
    return [
        Paragraph(f"The {side} lens is a balance lens, so no power was ordered. It shows {dioptres(power.sphere_dpt)}.")
        for side, power in found
        if power is not None
    ]


def not_measured_text(pair: Pair) -> str:
    """Say what the check did not cover."""
    missing = [] if checked_centres(pair) else ["thickness"]
    missing.append("weight")
    checked = pair.order.checked
    missing = [f"the power of the {s} lens" for s in _unmeasured(pair)] + missing
    prisms = checked is not None and (checked.right_prisms or checked.left_prisms)
    if any(eye.ordered.prisms for eye in pair.eyes) and not prisms:
        missing.insert(0, "the ordered prism")
    places = []
    if checked and checked.height_right_mm is None and checked.height_left_mm is None:
        places.append("how high")
    if checked and checked.pd_right_mm is None and checked.pd_left_mm is None:
        places.append("how far apart")
    where = f" We did not measure {listed(places)} the lens centers lie." if places else ""
    layers = " We did not measure what the layers let through." if pair.order.lenses.add_ons else ""
    return f"We did not measure {listed(missing, 'or')}.{where}{layers}"


def _unmeasured(pair: Pair) -> list[str]:
    """Sides whose lens has no measured power."""
    return [eye.side for eye in pair.eyes if getattr(pair.order.checked, eye.side, None) is None]


def checked_centres(pair: Pair) -> bool:
    """True where the thickness in the middle was measured."""
    checked = pair.order.checked
    return checked is not None and checked.centre_right_mm is not None
