"""Prism as people type it: an amount and where the base lies, in words, letters or degrees."""

from __future__ import annotations

import math
import re

from explain.order.faults import Remark, UnclearError
from explain.order.model import Prism
from explain.order.numbers import DIGITS, cut, tidy

STRONGEST_PRISM_DPT = 20.0
RARE_PRISM_DPT = 10.0

BASES = {
    **dict.fromkeys(("up", "bu", "b.u.", "oben", "haut", "sup"), "up"),
    **dict.fromkeys(("down", "dn", "bd", "b.d.", "unten", "bas", "inf"), "down"),
    **dict.fromkeys(("in", "bi", "b.i.", "innen", "int", "interne", "nasal"), "in"),
    **dict.fromkeys(("out", "bo", "b.o.", "aussen", "au\u00dfen", "ext", "externe", "temporal"), "out"),
}
OPPOSITE = {"up": "down", "down": "up", "in": "out", "out": "in"}
WORDS = "|".join(sorted((re.escape(word) for word in BASES), key=len, reverse=True))
BASE = rf"(?:(?:base|basis)\s*)?(?P<{{0}}>{WORDS})(?![a-z])"
UNIT = r"(?:\u03b4|pd|prism dioptres?|prism diopters?|p\.d\.)?"
AMOUNT_FIRST = re.compile(rf"(?P<sign>[+-]?)\s*(?P<amount>{DIGITS})\s*{UNIT}\s*(?:@\s*)?{BASE.format('base')}")
BASE_FIRST = re.compile(rf"{BASE.format('base')}\s*(?P<sign>[+-]?)\s*(?P<amount>{DIGITS})\s*{UNIT}")
AT_ANGLE = re.compile(
    rf"(?P<sign>[+-]?)\s*(?P<amount>{DIGITS})\s*{UNIT}\s*(?:base|basis|@)\s*(?P<angle>{DIGITS})\s*(?:\u00b0|deg|degrees)?"
)
JOINT = re.compile(r"\s*(?:&|\+|/|,|;|and|und|et)?\s*")
EYE_NAME = re.compile(r"(?P<side>right|left|r|l|od|os|re|le|og)(?:\s+(?:eye|lens))?\s*[:=]?\s+")
RIGHT_NAMES = ("right", "r", "od", "re")
NOT_AN_AXIS = r"(?<![0-9.x])(?<!x )(?<!axis )"
IN_LINE = re.compile(
    r"\bpris(?:m[ae]?|ms)\b|\bbase\b|\bb[udio]\b"
    rf"|{NOT_AN_AXIS}[+-]?\s*{DIGITS}\s*{UNIT}\s*(?:{WORDS})(?![a-z])"
)

ALLOWED = "A prism is an amount over 0 up to 20, and where its base lies: up, down, in (to the nose) or out."
ADVICE = "Type both, for example:   prism: 2 up   or   prism: 2 in & 1 up"


def read_prisms(text: str, whose: str = "this eye", eye: str | None = None) -> tuple[Prism, ...]:
    """The prisms in a text, in the order they were typed. Raises UnclearError for anything that must not be guessed.

    A base given in degrees is an angle from 0 to 360 seen from the front (ISO 8429, the same scale as the axis),
    resolved into up or down and in or out. For that, eye must be "right" or "left" (or be named in the text).

    >>> read_prisms("2 UP & 1 IN")
    (Prism(amount_prism_dpt=2.0, base='up'), Prism(amount_prism_dpt=1.0, base='in'))
    """
    rest, eye = _without_eye(tidy(text), whose, eye)
    rest = re.sub(r"^pris(?:m[ae]?|ms)\b\s*:?\s*", "", rest)
    if rest in ("none", "0", "0.00", "-", "no"):
        return ()
    prisms: list[Prism] = []
    while rest:
        found = AT_ANGLE.match(rest) or AMOUNT_FIRST.match(rest) or BASE_FIRST.match(rest)
        if not found:
            raise UnclearError(*_what_is_missing(rest, text, whose), ADVICE)
        prisms.extend(_prisms_of(found, text, whose, eye))
        rest = rest[found.end() :]
        rest = rest[JOINT.match(rest).end() :] if rest.strip(" .;") else ""  # type: ignore[union-attr]
    if not prisms:
        raise UnclearError(f"{whose} has a prism without an amount", ALLOWED, ADVICE)
    _refuse_contradiction(prisms, whose)
    return tuple(prisms)


def read_prism_parts(amount: str, base: str, whose: str, eye: str | None = None) -> tuple[Prism, ...]:
    """One prism written as a group with amount and base."""
    read_base(base, whose)
    return read_prisms(f"{amount} base {base}", whose, eye)


def read_base(text: str, whose: str = "this eye") -> str:
    """Where a base lies: up, down, in or out; or degrees, given back as typed. Raises UnclearError.

    >>> read_base("BI")
    'in'
    """
    word = re.sub(r"^(?:base|basis)\s+", "", tidy(text))
    if word in BASES:
        return BASES[word]
    if re.fullmatch(rf"{DIGITS}\s*\u00b0?", word):
        return word
    raise UnclearError(
        f"{whose} has a prism with its base at {cut(text)}",
        "A base lies up, down, in (to the nose) or out.",
        "Type one of the four, for example:   base: up",
    )


def prism_remarks(prisms: tuple[Prism, ...], whose: str) -> tuple[Remark, ...]:
    """What to look at: a prism stronger than one lens usually holds."""
    strong = [prism for prism in prisms if prism.amount_prism_dpt > RARE_PRISM_DPT]
    return tuple(
        Remark(
            f"{whose} has a prism of {prism.amount_prism_dpt:g} base {prism.base}, which is a lot for one lens",
            f"Prisms over {RARE_PRISM_DPT:g} are read, but are often shared between the two lenses.",
            "Look at the prescription again; if it is right, leave it.",
            "strong",
        )
        for prism in strong
    )


def _without_eye(text: str, whose: str, eye: str | None) -> tuple[str, str | None]:
    named = EYE_NAME.match(text)
    if not named:
        return text, eye
    side = "right" if named["side"] in RIGHT_NAMES else "left"
    if eye and side != eye:
        raise UnclearError(
            f"{whose} has a prism that names the {side} eye",
            "A prism stands at the eye it is for.",
            f"Move it to the {side} eye, or take the name out.",
        )
    return text[named.end() :], side


def _what_is_missing(rest: str, text: str, whose: str) -> tuple[str, str]:
    if re.match(rf"[+-]?\s*{DIGITS}\s*{UNIT}\s*(?:base|basis)?\s*$", rest):
        return f"{whose} has a prism of {cut(text)} and does not say where its base lies", ALLOWED
    if re.match(rf"(?:base|basis)?\s*(?:{WORDS})$", rest):
        return f"{whose} has a prism without an amount: {cut(text)}", ALLOWED
    return f"{whose} has a prism that cannot be read: {cut(text)}", ALLOWED


def _prisms_of(found: re.Match[str], text: str, whose: str, eye: str | None) -> list[Prism]:
    if found["sign"]:
        raise UnclearError(
            f"{whose} has a prism with a sign: {cut(text)}",
            f"{ALLOWED} It has no plus or minus.",
            "Take the sign out; if it meant the other direction, type that direction.",
        )
    amount = float(found["amount"])
    if not 0 < amount <= STRONGEST_PRISM_DPT:
        raise UnclearError(f"{whose} has a prism of {found['amount']}", ALLOWED, ADVICE)
    parts = found.groupdict()
    if "angle" in parts:
        return _resolved(amount, float(parts["angle"]), whose, eye)
    return [Prism(amount, BASES[parts["base"]])]


def _resolved(amount: float, angle_deg: float, whose: str, eye: str | None) -> list[Prism]:
    if angle_deg > 360:
        raise UnclearError(
            f"{whose} has a prism with its base at {angle_deg:g} degrees", "A base in degrees is from 0 to 360.", ADVICE
        )
    across = amount * math.cos(math.radians(angle_deg))
    upward = amount * math.sin(math.radians(angle_deg))
    prisms = []
    if abs(upward) > 1e-9:
        prisms.append(Prism(abs(upward), "up" if upward > 0 else "down"))
    if abs(across) > 1e-9:
        if eye is None:
            raise UnclearError(
                f"{whose} has a prism with its base at {angle_deg:g} degrees, and which eye is not clear",
                "In or out depends on the eye.",
                ADVICE,
            )
        prisms.append(Prism(abs(across), "in" if (across > 0) == (eye == "right") else "out"))
    return prisms


def _refuse_contradiction(prisms: list[Prism], whose: str) -> None:
    bases = [prism.base for prism in prisms]
    for base in bases:
        if bases.count(base) > 1 or OPPOSITE[base] in bases:
            raise UnclearError(
                f"{whose} has two prisms on the same line, up-down or in-out",
                "One lens has at most one prism up or down, and one in or out.",
                ADVICE,
            )
