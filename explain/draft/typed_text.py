"""A prescription as people type it, in one line or a whole letter, into what an order says. Nothing is guessed at."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import partial
from typing import TypeVar

from explain.draft.cuttings import Cutting
from explain.draft.eye_lines import add_value, eye_line, mixed_forms, plain
from explain.draft.letters import letter_of, lines_of
from explain.draft.pieces import FIELD, Pieces, about_a_lens, pieces_of
from explain.draft.taken import SIDES, Taken, Value
from explain.draft.usual_words import contact_lenses
from explain.order.additions import adds_differ, read_add, read_both_adds
from explain.order.distances import read_heights, read_pd
from explain.order.faults import Remark, UnclearError
from explain.order.keys import ORDER_KEYS
from explain.order.numbers import LONGEST_TEXT, TypedNumber, cut, plain_number
from explain.order.prisms import read_prisms
from explain.order.typed import TypedEye, read_eye

Read = TypeVar("Read")

NOT_ORDERED = ("none", "not ordered", "no lens", "nil")
SPACED_SIGN = re.compile(r"[+-]\s+\d")
NOT_THERE = re.compile(
    r"\b(?:cyl(?:inder)?|zyl(?:inder)?|cil)\b\.?\s*[:=]?\s*(?:ds|sph|nil|none|no|n/a|-+(?!\s*[\d.]))(?![^\W\d_])"
    r"|\b(?:ax(?:is|e)?|achse?|eje)\b\.?\s*[:=]?\s*(?:nil|none|no|n/a|-+(?!\s*[\d.]))(?![^\W\d_])"
    r"|(?<!\d)(?<!\d )(?<!\d\u00b0 )\b(?:ax(?:is|e)?|achse?|eje|cyl(?:inder)?|zyl(?:inder)?)\s*[:=]?\s*$"
)
ANY_SIGN = re.compile(r"[+-]\s*[.\d]")
TWO_POWERS = "Each eye has one power. Type R and L, or OD and OS, before the two eyes."


def read_text(text: str) -> Taken:
    """What a typed prescription says. What cannot be read becomes a question.

    Raises LetterError for far too much text, and nothing else.

    >>> read_text("OD -2,00 (-0,50 à 90°) OG plan Add +2,50 PD 63").values["prescription.right"]
    '-2.00 -0.50 x 90'
    """
    pieces = pieces_of(lines_of(letter_of(text)))
    reading = _Reading(pieces)
    for side in SIDES:
        reading.eye(side)
        reading.doubt_contact_lens(side, text)
    reading.additions()
    reading.millimetres()
    return reading.taken()


class _Reading:
    """Reads the pieces one after another and gathers values, questions and warnings."""

    def __init__(self, pieces: Pieces) -> None:
        self._pieces = pieces
        self._eyes: dict[str, TypedEye] = {}
        self._values: dict[str, Value] = {}
        self._questions: dict[str, Remark] = {}
        self._warnings: list[Remark] = []
        self._adds: dict[str, float] = {}

    def eye(self, side: str) -> None:
        """Read one eye, from all the words about it. A part of a lens that names no eye leaves both open."""
        path, whose = f"prescription.{side}", f"the {side} eye"
        words = self._try(path, partial(self._words, side, whose))
        if words is None:
            return
        if words.lower() in NOT_ORDERED:
            self._values[path] = "none"
            return
        read = self._try(path, partial(read_eye, words, whose, side))
        if read is None:
            return
        self._eyes[side] = read
        self._values[path] = eye_line(read)
        self._warnings += [*read.remarks, *_spaced_sign(words, whose)]
        if read.add_dpt:
            self._adds[side] = read.add_dpt

    def doubt_contact_lens(self, side: str, text: str) -> None:
        """Ask for an eye again where the text is about a contact lens."""
        path = f"prescription.{side}"
        remark = contact_lenses(text, side) if path in self._values else None
        if remark:
            del self._values[path]
            self._questions[path] = remark

    def additions(self) -> None:
        """Read the additions: one for both, one for each, or one that stands at a single eye."""
        for piece in [one for one in self._pieces.beside if one.what == "add"]:
            self._try("prescription.add", partial(self._add, piece))
        self._spread_lone_add()
        if len(self._adds) == 2 and self._adds["right"] != self._adds["left"]:
            self._warnings.append(adds_differ(f"{self._adds['right']:.2f}", f"{self._adds['left']:.2f}"))
        value = add_value(self._adds)
        if value is not None and "prescription.add" not in self._questions:
            self._values["prescription.add"] = value

    def millimetres(self) -> None:
        """Read the pupils, the heights and the distance from the eye."""
        for name in ("pd", "near-pd", "heights"):
            self._distance(name)
        vertex = next((piece.text for piece in self._pieces.beside if piece.what == "vertex"), "")
        key = ORDER_KEYS["lenses.vertex"]
        distance = self._try(key.path, lambda: plain_number(vertex, key)) if vertex else None
        if distance:
            self._values[key.path] = plain(distance)

    def _distance(self, name: str) -> None:
        path = f"prescription.{name}"
        text = self._try(path, partial(_one_text, self._pieces.beside, name))
        if text and self._try(path, lambda: read_heights(text, None) if name == "heights" else read_pd(text, name)):
            self._values[path] = text

    def taken(self) -> Taken:
        """All of it."""
        return Taken(self._values, self._questions, (*self._warnings, *self._looked_over()))

    def _words(self, side: str, whose: str) -> str:
        unplaced = [line for line in self._pieces.passed_over if about_a_lens(line)]
        if unplaced and (side, "far") in self._pieces.eyes:
            raise UnclearError(
                f"this does not say for which eye it is: {cut(unplaced[0])}",
                "A cylinder, an axis or a prism belongs to one lens.",
                f"Type it with the power it belongs to, as in:   {side}: -3.25 -0.75 x 172 prism 2 up",
            )
        far, near = (_joined(self._pieces.eyes.get((side, mode), []), whose) for mode in ("far", "near"))
        if (side, "far") not in self._pieces.eyes and (side, "near") not in self._pieces.eyes:
            raise _not_named(self._pieces, side)
        if far and near:
            return f"distance {far} near {near}"
        if near:
            self._warnings.append(_only_near(whose))
        return far or near

    def _add(self, piece: Cutting) -> bool:
        if any(letter in piece.text for letter in "/rlodeg") and not piece.side:
            right, left, remarks = read_both_adds(piece.text)
            found = {"right": right, "left": left}
        else:
            add, remarks = read_add(piece.text, f"the {piece.side} eye" if piece.side else "the pair")
            found = dict.fromkeys((piece.side,) if piece.side else SIDES, add)
        for side, add in found.items():
            if self._adds.get(side, add) != add:
                raise UnclearError(
                    f"the {side} eye has two additions: {self._adds[side]:g} and {add:g}",
                    "One addition belongs to one lens.",
                    "Look at the prescription, and type it as in:   add: 1.75",
                )
        self._adds |= {side: add for side, add in found.items() if add}
        self._warnings += [remark for remark in remarks if "differ" not in remark.message]
        return True

    def _spread_lone_add(self) -> None:
        if len(self._adds) != 1 or "prescription.add" in self._questions:
            return
        ((side, add),) = self._adds.items()
        other = "left" if side == "right" else "right"
        read = self._eyes.get(other)
        if self._values.get(f"prescription.{other}") != "none" and not (read and read.is_balance):
            self._adds[other] = add
            self._warnings.append(_lone_add(side, add))

    def _looked_over(self) -> list[Remark]:
        remarks = [*mixed_forms(self._eyes.values())]
        remarks += [_passed_over(line) for line in self._pieces.passed_over if self._eyes and not about_a_lens(line)]
        if self._pieces.of_another_pair:
            remarks.append(_another_pair(self._pieces.of_another_pair[0]))
        return remarks

    def _try(self, path: str, read: Callable[[], Read]) -> Read | None:
        try:
            return read()
        except UnclearError as unclear:
            self._questions[path] = unclear.remark
            return None


def _joined(told: Sequence[str], whose: str) -> str:
    """The words about one eye as one line: sphere, cylinder, axis and prism may stand in places of their own."""
    parts: dict[str, str] = {}
    told = [words for one in told if (words := NOT_THERE.sub(" ", one).strip(" ,;/"))]
    for words in dict.fromkeys(told) if len(set(told)) < len(told) and _all_fields(told) else told:
        name = _part_name(words, whose)
        if name in parts:
            raise UnclearError(
                f"{whose} is named twice: {cut(' and '.join(told))}",
                TWO_POWERS,
                "Look at the prescription, and type the power that is right.",
            )
        parts[name] = words if name != "prism" or words.startswith("pris") else f"prism {words}"
    line = " ".join(parts[name] for name in ("whole", "sph", "cyl", "axis", "prism") if name in parts)
    if len(line) > LONGEST_TEXT:
        raise UnclearError(f"{whose} has too many words: {cut(line)}", TWO_POWERS, "Type the power alone.")
    return line


def _all_fields(told: Sequence[str]) -> bool:
    return all(FIELD.match(words) for words in told)


def _part_name(words: str, whose: str) -> str:
    field = FIELD.match(words)
    if field and (field.lastgroup != "sph" or not re.search(r"cyl|zyl|cil", words)):
        return str(field.lastgroup)
    try:
        return "prism" if read_prisms(words, whose, "right") else "whole"
    except UnclearError:
        return "whole"


def _one_text(beside: Sequence[Cutting], name: str) -> str:
    """The one text for a distance, from values for both eyes or from one of each."""
    told = list(dict.fromkeys(piece for piece in beside if piece.what == name))
    sided = {piece.side: piece.text for piece in told if piece.side}
    whole = [piece.text for piece in told if not piece.side]
    if len(told) > 2 or len(whole) > 1 or (whole and sided) or (len(told) == 2 and len(sided) != 2):
        key = ORDER_KEYS[f"prescription.{name}"]
        raise UnclearError(
            f"{name} is given more than once: {cut(', '.join(piece.text for piece in told))}",
            key.allowed,
            f"Type the right one, for example:   {key.example}",
        )
    if len(sided) == 1:
        ((side, text),) = sided.items()
        key = ORDER_KEYS[f"prescription.{name}"]
        raise UnclearError(
            f"{name} is given for the {side} eye only: {cut(text)}",
            key.allowed,
            f"Type both, for example:   {key.example}",
        )
    return f"{sided['right']} / {sided['left']}" if sided else "".join(whole)


def _not_named(pieces: Pieces, side: str) -> UnclearError:
    if pieces.passed_over and not pieces.eyes:
        return UnclearError(
            f"there is a power, but not which eye it is for: {cut(pieces.passed_over[0])}",
            TWO_POWERS,
            f"Look at the prescription, and type it as in:   {side}: -3.25 -0.75 x 172",
        )
    return UnclearError(
        f"nothing is said about the {side} eye",
        "A lens that is not ordered is none; an eye that needs no power is plano.",
        f"Type its power, plano, balance or none, for example:   {side}: -3.25 -0.75 x 172",
    )


def _spaced_sign(words: str, whose: str) -> list[Remark]:
    """A first dash with a space behind it may part the name from the power, unless all signs are written so."""
    power = FIELD.sub("", words)
    first = re.match(r"-\s+([\d.]+)", power)
    signs = ANY_SIGN.findall(power)
    if not first or (len(signs) > 1 and len(signs) == len(SPACED_SIGN.findall(power))):
        return []
    number = TypedNumber("-", first[1])
    return [
        Remark(
            f"{whose} has a dash with a space behind it: {cut(words)}; read as minus {number.figures}",
            "A plus or minus sign stands right before its number.",
            f"If the dash is no minus sign, type the sign that is meant:   +{number.figures}",
            "sign",
        )
    ]


def _only_near(whose: str) -> Remark:
    return Remark(
        f"{whose} has a power for reading only",
        "The page explains it as the power of the lens; there is no addition.",
        "If the pair is for far as well, ask for the far power.",
        "near",
    )


def _lone_add(side: str, add: float) -> Remark:
    return Remark(
        f"the addition {add:+.2f} stands at the {side} eye only; read for both",
        "Additions are nearly always the same for both eyes.",
        "Look at the prescription again; if it is right, leave it.",
        "add",
    )


def _passed_over(line: str) -> Remark:
    return Remark(
        f"this was passed over: {cut(line, 60)}",
        "It holds a number with a sign, and it is not clear what for.",
        "Look whether it belongs to the prescription.",
        "passed",
    )


def _another_pair(line: str) -> Remark:
    return Remark(
        f"a power for another pair was passed over: {cut(line, 60)}",
        "It stands under words such as old, previous or computer.",
        "If it is the old pair, type it under previous.",
        "passed",
    )
