"""How the pair was checked against the standard, in words and one table."""

from __future__ import annotations

from explain.facts import data_file
from explain.language import _, in_context, later, plural
from explain.optics.tolerance import axis_error_left_over
from explain.order.model import Checked
from explain.story.blocks import Block, Bullets, Note, Paragraph, Section, Table
from explain.story.figures import difference_text, table_row
from explain.story.pair import Pair
from explain.story.sides import the_lens, the_lens_first
from explain.story.verify import Comparison, comparisons, outside
from explain.story.wording import Place, dioptres, listed, plain, sentence_case

_MOST_POINTS = 7
NOTHING_MEASURED = later("No figures of this pair are on record: not the power, the thickness or the weight.")
UNNOTICED_DPT = 0.20
"""Blur that most people do not notice (Duane's, chapter on lens design: duane_51b in data/sources.yaml)."""


def checked_section(pair: Pair, place: Place) -> Section | None:
    """Part 6 of the page; absent where nothing was recorded."""
    measured = _measured(pair, place)
    looked_at = inspection_blocks(pair, place)
    if not measured and not looked_at:
        return None
    unmeasured = not_measured_text(pair) if measured else _(NOTHING_MEASURED)
    blocks: list[Block] = [
        *measured,
        *looked_at,
        Paragraph(" ".join((_("Any optician can repeat this check."), _time_text(pair)))),
        Note(unmeasured, label=_("What we did not measure")),
    ]
    return Section("checked", _("How we checked them"), _("How we checked"), tuple(blocks))


def _measured(pair: Pair, place: Place) -> list[Block]:
    """The measured figures beside the ordered ones; empty where no figure was recorded."""
    checked, found = pair.order.checked, comparisons(pair)
    if checked is None or not found:
        return []
    when = place.day(checked.on) if checked.on else ""
    standard = data_file("tolerances")[pair.shop.standard]["standard"]
    return [
        Paragraph(f"{_how_text(pair, when)} {_compared_text(standard)}"),
        Table(
            _("Ordered and measured"),
            (_("What"), _("Ordered"), _("Measured"), _("Result")),
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
            lead=_("{who} looked at these on {day}.", who=sentence_case(one.by), day=place.day(one.on)),
        )
        for one in pair.order.inspected
    ]


def _time_text(pair: Pair) -> str:
    """How long the check takes elsewhere: only a measurement needs an instrument."""
    if pair.order.checked is None:
        return _("You may ask for it anywhere.")
    return _("It takes a few minutes, and you may ask for it anywhere.")


def _how_text(pair: Pair, when: str) -> str:
    """Say what we measured with, and on which day if known: a lensmeter only where it was used."""
    if all(getattr(pair.order.checked, eye.side) is None for eye in pair.eyes):
        return _("We measured where the lens centers lie on {day}.", day=when) if when else _where_text()
    put = (
        _("We put the finished pair on a lensmeter on {day}.", day=when)
        if when
        else _("We put the finished pair on a lensmeter.")
    )
    return " ".join((put, _("It shows what a lens really does to light.")))


def _where_text() -> str:
    return _("We measured where the lens centers lie.")


def _compared_text(standard: str) -> str:
    return _("We compared each figure with what the {standard} standard allows.", standard=standard)


def _standard_note(pair: Pair) -> str:
    family = data_file("tolerances")[pair.shop.standard]
    texts = [
        _(
            "In brackets: how far a figure may differ by {standard}, in rows of {edition} and older.",
            standard=family["standard"],
            edition=family.get("rows_from_edition"),
        ),
        _("It is voluntary; some states have rules of their own."),
        _("Powers are in diopters, the axis in degrees."),
    ]
    found = comparisons(pair)
    if any(one.quantity == "pd" and one.allowed is None for one in found):
        texts.append(
            _("Distances have no limit of their own: what counts is the unwanted prism, worked out from them.")
        )
    if any(one.unit == "prism_dpt" for one in found):
        texts.append(_("Prism is in prism diopters: 1 moves the view 1 cm at 1 meter."))
    if any(not one.firm for one in found):
        texts.append(_("Some limits are quoted from memory and only serve as a warning to us."))
    return " ".join(texts)


def _acceptance(pair: Pair) -> list[Block]:
    found = outside(pair)
    accepted = pair.order.accepted
    if not found or accepted is None:
        return []
    figures = plural(
        "{count} figure is outside the allowed difference.",
        "{count} figures are outside the allowed difference.",
        len(found),
    )
    blocks: list[Block] = [
        Paragraph(" ".join((figures, _("Accepted by {who}.", who=accepted.by))), lead=_("What differs.")),
        Bullets(tuple(difference_text(one) for one in found[:_MOST_POINTS])),
        Paragraph(accepted.why),
    ]
    turned = [one for one in found if one.quantity == "axis"]
    return blocks + [Paragraph(axis_error_text(pair, one)) for one in turned]


def axis_error_text(pair: Pair, one: Comparison) -> str:
    """Say what a turned axis leaves uncorrected, beside what most people do not notice."""
    made = next(eye.made for eye in pair.eyes if eye.side == one.eye)
    left = abs(axis_error_left_over(made, one.off_by).cylinder_dpt)
    return _(
        "The turn leaves {left} diopters of astigmatism in that eye. Most people do not notice a blur of {unnoticed} "
        "(a textbook figure). If that eye stays blurred, call us.",
        left=plain(left, 2),
        unnoticed=plain(UNNOTICED_DPT, 2),
    )


def _balance(pair: Pair) -> list[Block]:
    """What a balance lens showed: nothing was ordered, so nothing is compared."""
    sides = [eye.side for eye in pair.eyes if eye.ordered.is_balance]
    found = [(side, getattr(pair.order.checked, side)) for side in sides]
    return [Paragraph(_balance_text(side, power.sphere_dpt)) for side, power in found if power is not None]


def _balance_text(side: str, sphere_dpt: float) -> str:
    return _(
        "{lens} is a balance lens, so no power was ordered. It shows {power}.",
        lens=the_lens_first(side),
        power=dioptres(sphere_dpt),
    )


def not_measured_text(pair: Pair) -> str:
    """Say what the check did not cover."""
    texts = [
        _("We did not measure {things}.", things=listed(_missing(pair), "or")),
        _where_unmeasured_text(pair.order.checked),
        _("We did not measure what the layers let through.") if pair.order.lenses.add_ons else "",
    ]
    return " ".join(text for text in texts if text)


def _missing(pair: Pair) -> list[str]:
    """Name what was not measured, with its article where it has one: power, prism, thickness, weight."""
    missing = [_("the power of {lens}", lens=the_lens(side)) for side in _unmeasured(pair)]
    checked = pair.order.checked
    prisms = checked is not None and (checked.right_prisms or checked.left_prisms)
    if any(eye.ordered.prisms for eye in pair.eyes) and not prisms:
        missing.insert(0, _("the ordered prism"))
    if not checked_centres(pair):
        missing.append(in_context("not measured", "thickness"))
    return [*missing, in_context("not measured", "weight")]


def _where_unmeasured_text(checked: Checked | None) -> str:
    """Say which places of the lens centres the check left out; nothing where it left out none."""
    if checked is None:
        return ""
    high = checked.height_right_mm is None and checked.height_left_mm is None
    apart = checked.pd_right_mm is None and checked.pd_left_mm is None
    if high and apart:
        return _("We did not measure how high and how far apart the lens centers lie.")
    if high:
        return _("We did not measure how high the lens centers lie.")
    return _("We did not measure how far apart the lens centers lie.") if apart else ""


def _unmeasured(pair: Pair) -> list[str]:
    """Sides whose lens has no measured power."""
    return [eye.side for eye in pair.eyes if getattr(pair.order.checked, eye.side, None) is None]


def checked_centres(pair: Pair) -> bool:
    """True where the thickness in the middle was measured."""
    checked = pair.order.checked
    return checked is not None and checked.centre_right_mm is not None
