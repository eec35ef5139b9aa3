"""Findings about the check: a value outside its limit, a check that looks copied, an acceptance nobody needed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

from explain.facts import data_file
from explain.order.document import read_document
from explain.order.faults import Doubt, Fault, Finding, Findings, OrderError, Remark
from explain.story.figures import NAMES, UNITS, exact
from explain.story.pair import Pair
from explain.story.verify import Comparison, comparisons, outside
from explain.story.wording import degrees, plain, signed

Kind = TypeVar("Kind", bound=Finding)

ACCEPT = "accepted: {by: NAME, why: the reason, in words for the customer}"
TELLING_FIGURES = 4
"""From so many figures on, a check without the least difference looks copied (our own judgement)."""
SAME = 1e-9
SMALL_PRISM_DPT = 0.01
UNWANTED = ("prism sideways", "prism up and down")
FOLLOWING = (*UNWANTED, "other meridian", "height difference")
"""Figures worked out from other measured ones."""
AGAIN = {
    "sphere": "Measure again, with the lensmeter set to nought first",
    "cylinder": "Measure again, with the lensmeter set to nought first",
    "other meridian": "Measure again, with the lensmeter set to nought first",
    "axis": "Measure again, with both lenses level on the rest of the lensmeter",
    "add": "Measure far and near again, from the same side of the lens",
}
MARK_AGAIN = "Mark the centres or fitting crosses again, and measure"
KEYS = {"pd": "pd", "height": "heights", "height difference": "heights", "add": "add", "prism sideways": "pd"}


def outside_limit(pair: Pair, one: Comparison, kind: type[Kind]) -> Kind:
    """A measured value outside its limit, at its line: a fault, or a doubt where the limit is only recalled."""
    return _at_line(pair, kind, _key(one), _outside(pair, one, stops=kind is Fault))


def _outside(pair: Pair, one: Comparison, *, stops: bool) -> Remark:
    standard = data_file("tolerances")[pair.shop.standard]["standard"]
    off, over, allowed, unit = _off(one), _over(one), one.allowed or 0.0, UNITS[one.unit]
    message = f"{'not published: ' if stops else ''}{_named(one)} is {off} {unit} off, {over} more than allowed"
    figures = f"Ordered {_figure(one.ordered, one)}, measured {_figure(one.measured, one)}"
    limit = f"{_amount(allowed, one)} {unit} {'in all' if one.quantity in UNWANTED else 'either way'}"
    again = AGAIN.get(one.quantity, MARK_AGAIN)
    if stops:
        advice = f"{again}. If it stays so, make the lens again. If the customer keeps the pair, write   {ACCEPT}"
        return Remark(message, f"{figures}; {standard} allows {limit}.", advice)
    advice = f"{again}. The limit is one we know from memory, so it stops nothing: look it up, then decide."
    return Remark(message, f"{figures}; {standard}, as far as we remember it, allows {limit}.", advice)


def _off(one: Comparison) -> str:
    return _amount(one.off_by, one)


def _over(one: Comparison) -> str:
    return _amount(one.off_by - (one.allowed or 0.0), one)


def _amount(value: float, one: Comparison) -> str:
    """A value as typed; prism that was worked out is rounded, unless too little would be left to see."""
    worked_out = one.unit == "prism_dpt" and one.off_by - (one.allowed or 0.0) >= SMALL_PRISM_DPT
    return plain(value, 2) if worked_out else exact(value, one.unit)


def looks_copied(pair: Pair) -> Iterator[Doubt]:
    """A doubt about a check in which every figure is the ordered one, where there are enough of them to tell.

    A sphere or cylinder of nothing says little, and so do figures that follow from others. Lenses without power have
    no centre to measure, so their distances say nothing either.
    """
    found = [one for one in comparisons(pair) if one.quantity not in FOLLOWING]
    telling = [one for one in found if one.ordered]
    powered = any(one.unit == "dpt" for one in telling)
    if powered and len(telling) >= TELLING_FIGURES and all(one.off_by <= SAME for one in found):
        remark = Remark(
            f"all {len(found)} measured figures are exactly as ordered",
            "That can happen, but a finished pair nearly always differs a little somewhere.",
            "If they were measured, leave them. If they were copied from the order, measure the pair and type those.",
        )
        yield _at_line(pair, Doubt, "checked", remark)


def accepted_for_nothing(pair: Pair) -> Iterator[Doubt]:
    """A doubt about an acceptance where every measured value is inside its limit."""
    if pair.order.accepted and comparisons(pair) and not outside(pair):
        remark = Remark(
            "the pair is accepted, but every measured value is inside its limit",
            "An acceptance is for a value outside a limit; the page leaves this one out.",
            "Look at the measured values again, or take the lines with accepted out.",
        )
        yield _at_line(pair, Doubt, "accepted", remark)


def _named(one: Comparison) -> str:
    name = "pd" if one.quantity == "pd" else NAMES[one.quantity]
    return f"the {name} of the pair" if one.eye == "both" else f"the {one.eye} {name}"


def _figure(value: float, one: Comparison) -> str:
    if one.unit == "dpt":
        return signed(value, 3 if abs(100 * value - round(100 * value)) > SAME * 100 else 2)
    return degrees(value) if one.unit == "deg" else _amount(value, one)


def _key(one: Comparison) -> str:
    if one.quantity in ("sphere", "cylinder", "axis", "other meridian", "prism"):
        return f"checked.{one.eye}"
    return f"checked.{KEYS.get(one.quantity, 'heights')}"


def _at_line(pair: Pair, kind: type[Kind], key: str, remark: Remark) -> Kind:
    """The finding at the line of its key; the order is read once more for that, since an order keeps no lines."""
    try:
        findings = read_document(pair.order.path)[1]
    except OrderError:  # the file has gone or changed meanwhile
        findings = Findings(str(pair.order.path))
    line = findings.line_of(key) if findings.lines else 0
    excerpt = findings.excerpt(line)
    return kind(findings.file, line, key, remark.message, excerpt, remark.allowed, remark.advice)
