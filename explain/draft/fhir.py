"""A prescription from a health record: HL7 FHIR VisionPrescription as JSON, editions R4 to R5 and the older form.

Source: the definition of the resource in the standard (2021, between R4 and R5), its code lists, the element tables of
R4B and R5, and the published examples. The patient, the prescriber and every number of the record are never looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import partial
from typing import Any

from explain.draft.gathered import Gathered
from explain.draft.json_tree import resources_of, tree_of
from explain.draft.taken import SIDES, DraftError, Taken
from explain.order.faults import UnclearError
from explain.order.numbers import cut

RESOURCE = "VisionPrescription"
NOT_TO_FILL = ("cancelled", "entered-in-error")
BASES = ("up", "down", "in", "out")
FARTHEST = Decimal(1000)
MOST_PRISMS = 4
LOOK = "Look at the prescription itself, or ask who wrote it."
NOTHING_ELSE = "The record says nothing about pupils, heights or frame: measure those."
OLDER = "The record is in an older edition of the standard; its numbers mean the same."


def read_record(text: str, name: str) -> Taken:
    """What a record says about the lenses. Raises DraftError where it holds no prescription to fill."""
    found = list(resources_of(tree_of(text, name), RESOURCE))
    if not found:
        raise DraftError(
            f"{name}: there is no prescription in this record.\n"
            f"What is read is the resource {RESOURCE} (HL7 FHIR, R4 to R5), alone or in a bundle.\n"
            "Export the prescription, or paste it as words."
        )
    if len(found) > 1:
        days = ", ".join(_day(resource) or "no date" for resource in found[:5])
        raise DraftError(
            f"{name}: there are {len(found)} prescriptions in this record ({days}).\n"
            "A draft is made from one.\nExport the one that is to be filled."
        )
    return _Prescription(found[0], name).taken()


class _Prescription:
    """One resource, read lens by lens."""

    def __init__(self, resource: dict[str, Any], name: str) -> None:
        self._resource = resource
        self._gathered = Gathered()
        self._status = resource.get("status")
        if self._status in NOT_TO_FILL:
            raise DraftError(
                f"{name}: this prescription is marked {self._status}.\n"
                "Only an active prescription is filled.\nAsk for the one that counts."
            )

    def taken(self) -> Taken:
        """Both lenses; what keeps the whole record from being filled stands at both."""
        gathered, lenses = self._gathered, self._lenses()
        for side in SIDES:
            mine = [lens for lens in lenses if _side(lens) == side]
            gathered.eye(side, partial(self._line, side, mine, lenses))
            if f"prescription.{side}" in gathered.values and mine[0].get("add") is not None:
                self._add(side, mine[0])
        day = _day(self._resource)
        gathered.notes.insert(0, f"Prescribed on {day}." if day else "The record has no date.")
        gathered.notes.append(NOTHING_ELSE)
        return gathered.taken()

    def _lenses(self) -> list[dict[str, Any]]:
        listed = self._resource.get("lensSpecification")
        if listed is None and "dispense" in self._resource:
            listed = self._resource["dispense"]
            self._gathered.notes.append(OLDER)
        lenses = [lens for lens in listed if isinstance(lens, dict)] if isinstance(listed, list) else []
        contacts = [lens for lens in lenses if _product(lens) == "contact"]
        if contacts:
            self._gathered.notes.append("There are contact lenses in it too; they were left out.")
        return [lens for lens in lenses if _product(lens) != "contact"]

    def _line(self, side: str, mine: Sequence[dict[str, Any]], lenses: Sequence[dict[str, Any]]) -> str:
        _refuse_what_changes_the_meaning(self._resource)
        _refuse_unknown_eye(lenses)
        if len(mine) > 1:
            raise UnclearError(
                f"the record has {len(mine)} lenses for the {side} eye",
                "Two pairs, such as far and near, may stand in one record.",
                f"Look which pair is meant, and type its power:   {side}: -3.25 -0.75 x 172",
            )
        if not mine:
            raise UnclearError(
                f"the record has no lens for the {side} eye",
                "One eye may be left out; that is no mistake of the record.",
                f"Type none if no lens is ordered:   {side}: none",
            )
        line = _eye_of(mine[0], side, self._gathered.notes)
        if self._status != "active":
            raise UnclearError(
                f"the record is not active: its status is {cut(str(self._status))}",
                "Only an active prescription is filled.",
                f"If the prescriber confirms it, type:   {side}: {line}",
            )
        return line

    def _add(self, side: str, lens: dict[str, Any]) -> None:
        add = self._gathered.attempt("prescription.add", lambda: _number(lens, "add", side))
        if add is not None:
            self._gathered.add(side, f"{add:f}")


def _eye_of(lens: dict[str, Any], side: str, notes: list[str]) -> str:
    """The line of one lens, with the digits of the record."""
    _refuse_what_changes_the_meaning(lens)
    _need_glasses(lens, side)
    sphere, cylinder = _number(lens, "sphere", side), _number(lens, "cylinder", side)
    axis = _axis(lens, side, notes)
    _note(lens, side, notes)
    if sphere is None:
        power = "; it has the power of a contact lens instead" if lens.get("power") is not None else ""
        raise UnclearError(
            f"the record gives no sphere for the {side} eye{power}",
            "A sphere that is left out is not the same as 0.",
            LOOK,
        )
    parts = [f"{sphere:+f}"]
    if cylinder:
        parts.append(f"{cylinder:+f}" if axis is None else f"{cylinder:+f} x {axis:f}")
    elif axis is not None:
        notes.append(f"The {side} eye has an axis and no cylinder; the axis was left out.")
    return " ".join([*parts, *_prisms(lens, side)])


def _axis(lens: dict[str, Any], side: str, notes: list[str]) -> Decimal | None:
    """The axis from over 0 to 180. The standard allows -180 to 180; half a turn changes nothing."""
    axis = _number(lens, "axis", side)
    if axis is None or not -180 <= axis <= 0:
        return axis
    turned = axis + 180 if axis + 180 > 0 else axis + 360
    if _number(lens, "cylinder", side):
        notes.append(f"The axis of the {side} eye is {axis:f} in the record; that is the same as {turned:f}.")
    return turned


def _prisms(lens: dict[str, Any], side: str) -> list[str]:
    listed = lens.get("prism")
    if listed is None:
        return []
    if isinstance(listed, Decimal):
        listed = [{"amount": listed, "base": lens.get("base")}]
    unclear = UnclearError(
        f"the record has a prism for the {side} eye without a clear amount and direction",
        "A prism has an amount over 0, and its base up, down, in or out.",
        LOOK,
    )
    if not isinstance(listed, list) or len(listed) > MOST_PRISMS:
        raise unclear
    words = []
    for one in listed:
        amount, base = (one.get("amount"), one.get("base")) if isinstance(one, dict) else (None, None)
        if not isinstance(amount, Decimal) or base not in BASES or not 0 <= amount < FARTHEST:
            raise unclear
        words += [f"{amount:f} {base}"] if amount else []
    return [f"prism {' & '.join(words)}"] if words else []


def _number(lens: dict[str, Any], name: str, side: str) -> Decimal | None:
    value = lens.get(name)
    if value is None:
        return None
    if isinstance(value, Decimal) and abs(value) < FARTHEST and value.as_tuple().exponent > -7:  # type: ignore[operator]
        return value or abs(value)
    raise UnclearError(
        f"the record gives no plain number as {name} of the {side} eye", "A power is a plain number.", LOOK
    )


def _need_glasses(lens: dict[str, Any], side: str) -> None:
    if _product(lens) != "lens":
        raise UnclearError(
            f"the record does not say that the lens of the {side} eye is for glasses",
            "A lens is marked lens or contact; the two differ in power.",
            LOOK,
        )


def _refuse_unknown_eye(lenses: Sequence[dict[str, Any]]) -> None:
    strange = [lens for lens in lenses if _side(lens) not in SIDES]
    if strange:
        raise UnclearError(
            f"the record has a lens for an eye that is neither right nor left: {cut(str(_side(strange[0])))}",
            "The standard writes right or left.",
            LOOK,
        )


def _refuse_what_changes_the_meaning(part: dict[str, Any]) -> None:
    """A modifier extension changes what the rest means; the standard forbids to go on without knowing it."""
    if part.get("modifierExtension") or part.get("implicitRules"):
        raise UnclearError(
            "the record holds an addition that changes its meaning, and we do not know it",
            "The standard forbids to go on without knowing it (modifierExtension, implicitRules).",
            LOOK,
        )


def _side(lens: dict[str, Any]) -> Any:
    """The eye, as a code or, in drafts before R4, as a coded object."""
    eye = lens.get("eye")
    return _code(eye) if isinstance(eye, dict) else eye


def _product(lens: dict[str, Any]) -> Any:
    return _code(lens.get("product"))


def _code(coded: Any) -> Any:
    """The code of a coded value. The address of its list is not looked at: the same list had several."""
    if not isinstance(coded, dict):
        return None
    codings = coded.get("coding")
    if not isinstance(codings, list):
        return coded.get("code")
    codes = [one.get("code") for one in codings if isinstance(one, dict)]
    known = [code for code in codes if code in ("lens", "contact", *SIDES)]
    return known[0] if len(set(known)) == 1 else (codes[0] if codes and not known else None)


def _note(lens: dict[str, Any], side: str, notes: list[str]) -> None:
    listed = lens.get("note")
    words = [one.get("text") for one in listed if isinstance(one, dict)] if isinstance(listed, list) else [listed]
    said = [text for text in words[:3] if isinstance(text, str) and text.strip()]
    notes += [f"The record says about the {side} lens: {cut(text, 100)}. It was not copied." for text in said]


def _day(resource: dict[str, Any]) -> str:
    day = resource.get("dateWritten")
    return cut(day[:10])[1:-1] if isinstance(day, str) else ""
