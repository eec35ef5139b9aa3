"""Figures: one measured figure beside the ordered one, as the table of the check and the optician's terminal say it."""

from __future__ import annotations

import math

from explain.language import _, in_context, later, plural
from explain.story.verify import Comparison
from explain.story.wording import NO_BREAK, degrees, dioptres, mm, plain, rounded

_EXACT = 1e-6
_SMALL = 0.01
"""Powers that differ by less are given with more places, so that no value is outside by 0.00."""
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
NAMES_IN_ROWS = {
    ("sphere", "right"): later("Right sphere"),
    ("sphere", "left"): later("Left sphere"),
    ("cylinder", "right"): later("Right cylinder"),
    ("cylinder", "left"): later("Left cylinder"),
    ("axis", "right"): later("Right axis"),
    ("axis", "left"): later("Left axis"),
    ("other meridian", "right"): later("Right sphere and cylinder together"),
    ("other meridian", "left"): later("Left sphere and cylinder together"),
    ("add", "right"): later("Right add"),
    ("add", "left"): later("Left add"),
    ("pd", "right"): later("Right distance"),
    ("pd", "left"): later("Left distance"),
    ("height", "right"): later("Right height"),
    ("height", "left"): later("Left height"),
    ("height difference", "both"): later("Height difference, both"),
    ("prism", "right"): later("Right prism"),
    ("prism", "left"): later("Left prism"),
    ("prism sideways", "both"): later("Unwanted prism sideways, both"),
    ("prism up and down", "both"): later("Unwanted prism up and down, both"),
}
"""What each row of the page's table is about, by quantity and eye: sides bend with their noun, so each is whole."""
UNITS = {"dpt": "dioptres", "deg": "degrees", "mm": "mm", "prism_dpt": "prism dioptres"}
"""Names and units as the optician reads them in a message, always in English; the page has words of its own."""


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


def comparison_row(one: Comparison) -> tuple[str, ...]:
    """One row of the table, rounded as a lensmeter shows it."""
    what = _(NAMES_IN_ROWS[one.quantity, one.eye])
    allowed = _("no limit") if one.allowed is None else f"{MINUS_OR_PLUS}{_short(one.allowed, one.unit)}"
    return what, _value(one.ordered, one), _value(one.measured, one), allowed, result_words(one)


WORKED_OUT = {"prism sideways", "prism up and down"}
"""What the table shows of the pair without a reading of its own: it follows from the measured centres and heights."""


def table_row(one: Comparison) -> tuple[str, ...]:
    """One row as the page shows it: the allowed difference beside the result."""
    what, ordered, measured, allowed, result = comparison_row(one)
    if one.quantity in WORKED_OUT:
        measured = _("{figure}, worked out", figure=measured)
    return what, ordered, measured, f"{result} ({allowed})" if one.allowed is not None else result


def result_words(one: Comparison) -> str:
    """Say in a plain word how a value came out.

    >>> result_words(Comparison("axis", "right", "deg", 85, 88, 2.0, 3.0))
    'outside by 1 degree'
    """
    if rounded(one.off_by, 2) == 0:
        return _("as ordered")
    if one.allowed is None:
        return _("{amount} off", amount=_amount(one.off_by, one.unit))
    if one.inside:
        return in_context("the allowed difference", "inside")
    return _("outside by {amount}", amount=_amount(one.off_by - one.allowed, one.unit))


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
        count = int(value) if float(value).is_integer() else 2
        return plural("{number} degree", "{number} degrees", count, number=degrees(value))
    if unit == "mm":
        return mm(value) if rounded(value, 1) else f"{exact(value, unit)}{NO_BREAK}mm"
    figure = plain(value, 2) if rounded(value, 2) and value >= _SMALL else exact(value, unit)
    if unit == "prism_dpt":
        return _("{number} prism diopters", number=figure)
    return _("{number} diopters", number=figure)


def difference_text(one: Comparison) -> str:
    """Say openly what a value outside its limit is, and what it should have been. For values outside only."""
    what, ordered, measured, *_rest = comparison_row(one)
    return _(
        "{what}: {measured} instead of {ordered}, outside by {amount}.",
        what=what,
        measured=measured,
        ordered=ordered,
        amount=_amount(one.off_by - (one.allowed or 0.0), one.unit),
    )
