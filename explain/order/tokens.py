"""Which number of a prescription line is the sphere, which the cylinder and which the axis."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct, field

from explain.order.faults import UnclearError
from explain.order.numbers import DIGITS, TypedNumber, a_or_an, cut

SPHERE = ("sph", "sphere", "dsph", "sf", "esf", "esfera", "sp", "s", "ds")
CYLINDER = ("cyl", "cylinder", "dcyl", "zyl", "zylinder", "cil", "cilindro", "c", "dc")
AXIS = ("x", "ax", "axis", "axe", "ach", "achse", "a", "\u00e0", "eje")
UNITS = ("d", "dpt", "dptr", "dioptre", "dioptres", "diopter", "diopters", "deg", "degree", "degrees", "grad", "\u00b0")
PLANO = ("pl", "pl.", "plan", "plano", "plan.", "plane", "planar", "neutral", "infinity", "inf", "\u221e")
NOTHING = ("-", "--", "nil", "none", "n/a")
NO_CYLINDER = (*NOTHING, "ds", "sph", "sphere", "no")

TOKEN = re.compile(rf"""
    (?P<both>\+\s*/\s*-|\u00b1)
  | (?P<number>[+-]?\s*{DIGITS})
  | (?P<sign>[+-])
  | (?P<word>n/a|[^\W\d_]+|\u00b0|\u221e)
  | (?P<at>@)
  | (?P<gap>[\s/(),;:=|\[\]]+|\.(?=\s|$|[^\w]))
  | (?P<other>.)
""", re.VERBOSE)  # fmt: skip
GLUED = re.compile(r"(?<=[a-z])(?<!a)x(?=\s*[0-9])")

VALUE_KINDS = ("number", "nothing", "plano")
GAPS = ("", " ", "/", "(", ")", ",", ";", "|")
ALLOWED = (
    "An eye is a sphere, and if there is one a cylinder with its axis; a plus or minus sign stands before each power."
)
ADVICE = "Type it as in:   -3.25 -0.75 x 172   or, without a cylinder,   -2.00 DS"


class Roles(Struct):
    """The numbers of one line in their places. None: not written, or written as nothing."""

    sphere: TypedNumber | None = None
    cylinder: TypedNumber | None = None
    axis: TypedNumber | None = None
    letter_o: bool = False
    filled: set[str] = field(default_factory=set)
    says_sphere_only: bool = False


class _Value(Struct):
    number: TypedNumber | None
    label: str = ""


def roles_of(line: str, typed: str, whose: str) -> Roles:
    """Put the numbers of a tidied line in their places.

    Raises UnclearError for what cannot be placed with certainty.
    """
    values, roles = _labelled_values(line, typed, whose)
    for value in values:
        role = value.label or next((role for role in ("sphere", "cylinder", "axis") if role not in roles.filled), "")
        if not role or role in roles.filled:
            raise UnclearError(f"{whose} has a number too many: {cut(typed)}", ALLOWED, ADVICE)
        roles.filled.add(role)
        setattr(roles, role, value.number)
    _refuse_gaps(roles, typed, whose)
    return roles


def _labelled_values(line: str, typed: str, whose: str) -> tuple[list[_Value], Roles]:
    reading = _Reading(typed, whose)
    tokens = list(_tokens(GLUED.sub(" x ", line)))
    for (kind, text), (after, _) in pairwise((*tokens, ("", ""))):
        reading.take(kind, text, a_value_follows=after in VALUE_KINDS)
    return reading.values, reading.roles


class _Reading:
    """Walks along a line and gives each number the label that stands before or after it."""

    def __init__(self, typed: str, whose: str) -> None:
        self.values: list[_Value] = []
        self.roles = Roles()
        self._typed, self._whose = typed, whose
        self._waiting = ""
        self._labels_come_first: bool | None = None
        self._sphere_had_none = False  # as in -2.00 cyl -0.50: the first label belongs to the second number

    def take(self, kind: str, text: str, *, a_value_follows: bool) -> None:
        if kind in VALUE_KINDS:
            self._value(kind, text)
        elif kind == "label":
            self._label(_label(text), a_value_follows=a_value_follows)
        elif text == "o" and self.values and _degree_like(self.values[-1].number):
            self.roles.letter_o = True
        elif kind != "unit":
            raise _unclear(kind, text, self._typed, self._whose)

    def _value(self, kind: str, text: str) -> None:
        number = _number(text) if kind == "number" else None
        if kind == "plano" and not self.values:
            number = TypedNumber("", "0")
        self.values.append(_Value(number, self._waiting))
        self._waiting = ""

    def _label(self, label: str, *, a_value_follows: bool) -> None:
        if self._labels_come_first is None:
            self._sphere_had_none = label == "cylinder" and len(self.values) == 1 and a_value_follows
            self._labels_come_first = not self.values or self._sphere_had_none
        if label == "sphere" and self._sphere_had_none:
            raise UnclearError(f"{self._whose} has labels before and behind: {cut(self._typed)}", ALLOWED, ADVICE)
        self.roles.says_sphere_only |= label == "sphere"
        if a_value_follows and (self._labels_come_first or label == "axis"):
            self._waiting = label
        elif self.values and not self.values[-1].label:
            self.values[-1].label = label
        elif label != "sphere":
            raise UnclearError(
                f"{self._whose} has {a_or_an(label)} {label} without a number: {cut(self._typed)}", ALLOWED, ADVICE
            )


def _tokens(line: str) -> Iterator[tuple[str, str]]:
    """The pieces of a line, without the gaps: number, nothing, plano, label, unit, word, both, sign, at, other."""
    for found in TOKEN.finditer(line):
        kind, text = str(found.lastgroup), found.group().strip()
        if kind == "gap":
            continue
        if text == "-" and _stands_for_nothing(line, found.end()):
            kind = "nothing"
        if kind == "word":
            kind = _word_kind(text)
        yield kind, text


def _stands_for_nothing(line: str, end: int) -> bool:
    """True for a dash with a gap behind it, and no number behind the gap that it could be the sign of."""
    return line[end : end + 1] in GAPS and not re.match(rf"\s*[+-]?\s*{DIGITS}", line[end:])


def _word_kind(text: str) -> str:
    if text == "at":
        return "at"
    if text in PLANO:
        return "plano"
    if text in NOTHING:
        return "nothing"
    if text in UNITS:
        return "unit"
    return "label" if text in (*SPHERE, *CYLINDER, *AXIS) else "word"


def _label(text: str) -> str:
    if text in SPHERE:
        return "sphere"
    return "cylinder" if text in CYLINDER else "axis"


def _number(text: str) -> TypedNumber:
    sign = text[0] if text[0] in "+-" else ""
    return TypedNumber(sign, text.removeprefix(sign).strip())


def _degree_like(number: TypedNumber | None) -> bool:
    """True where a letter o can only be a degree sign: one more nought would pass 180."""
    return number is not None and not number.sign and number.figures.isdigit() and int(number.figures) * 10 > 180


def _unclear(kind: str, text: str, typed: str, whose: str) -> UnclearError:
    if kind == "both":
        return UnclearError(
            f"{whose} has plus and minus before one number: {cut(typed)}",
            ALLOWED,
            "Look at the prescription, and type one of the two signs.",
        )
    if kind == "sign":
        return UnclearError(
            f"{whose} has a sign too many: {cut(typed)}", "One plus or minus sign stands before each power.", ADVICE
        )
    if kind == "at":
        return UnclearError(
            f"{whose} has a cylinder at a direction (@), not with an axis: {cut(typed)}",
            "@ names the direction the power lies in, which is 90 degrees away from the axis.",
            "Look at the prescription, and type the axis behind an x, for example:   -1.00 -0.50 x 90",
        )
    if text == "or":
        return UnclearError(
            f"{whose} has two answers: {cut(typed)}",
            "One power is made.",
            "Ask which of the two was meant, and type that one.",
        )
    if set(text) == {"o"}:
        return UnclearError(
            f"{whose} has a letter O where a nought or a degree sign may be meant: {cut(typed)}",
            "Powers and axes are written in figures.",
            "Type it again with the figure 0 or without the letter.",
        )
    return UnclearError(f"{whose} has something that is not a power: {cut(typed)}", ALLOWED, ADVICE)


def _refuse_gaps(roles: Roles, typed: str, whose: str) -> None:
    if not any((roles.sphere, roles.cylinder, roles.axis)):
        raise UnclearError(
            f"{whose} has no power: {cut(typed)}",
            ALLOWED,
            "Type plano for no power, or the power, for example:   -2.00 DS",
        )
    if "sphere" not in roles.filled:
        raise UnclearError(
            f"{whose} has no sphere: {cut(typed)}",
            ALLOWED,
            "Type the sphere first; where there is none, type plano, for example:   plano -0.50 x 90",
        )
    no_cylinder = "cylinder" not in roles.filled and not roles.says_sphere_only
    if roles.axis is not None and no_cylinder:
        raise UnclearError(
            f"{whose} has an axis but no cylinder: {cut(typed)}",
            "Sphere, cylinder and axis are written in this order.",
            "Type the number that is missing, or take the axis out, for example:   -1.00 -0.50 x 90",
        )
