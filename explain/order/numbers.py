"""Numbers as people type them: signs from word processors, decimal commas, decimal points left out."""

from __future__ import annotations

import re

from msgspec import Struct

from explain.order.faults import Remark, UnclearError
from explain.order.keys import Key

STRONGEST_SPHERE_DPT = 30.0
STRONGEST_CYLINDER_DPT = 10.0
STRONGEST_ADD_DPT = 6.0
WEAKEST_ADD_DPT = 0.25
RARE_SPHERE_DPT = 20.0
LONGEST_TEXT = 200

SIGNS = str.maketrans({
    **dict.fromkeys("\u2212\u2013\u2014\u2012\u2010\u2011\uff0d\ufe63", "-"), "\uff0b": "+",
    **dict.fromkeys("\u00d7\u2715\u2716*", "x"), **dict.fromkeys("\u00ba\u02da", "\u00b0"),
    **dict.fromkeys("\u00a0\u202f\u2009\u2007\t\n\r", " "), **dict.fromkeys("\u0394\u2206\u25b3", "\u03b4"),
})  # fmt: skip
DECIMAL_COMMA = re.compile(r"(?<![0-9.])([0-9]*),(?=[0-9])")
DIGITS = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)"
SIGNED_NUMBER = re.compile(rf"([+-]?)\s*({DIGITS})\s*(mm|d|dpt|ds|dc|\u00b0|deg|degrees|cm)?\.?")


class Unit(Struct, frozen=True):
    """What a number counts, and how its unit may be typed after it; it may always be left out."""

    name: str
    words: tuple[str, ...]


MM = Unit("mm", ("mm",))
DPT = Unit("dioptres", ("d", "dpt", "ds", "dc"))
DEG = Unit("degrees", ("\u00b0", "deg", "degrees"))
UNITS = {"mm": MM, "dioptres": DPT, "degrees": DEG, "": Unit("", ())}


class TypedNumber(Struct, frozen=True):
    """A number as it was typed: its sign ("+", "-" or none) and its figures."""

    sign: str
    figures: str

    @property
    def value(self) -> float:
        """What the figures say, with the sign; never minus nought."""
        return float(f"{self.sign}{self.figures}") + 0.0

    def __str__(self) -> str:
        """The number as typed, without the spaces."""
        return f"{self.sign}{self.figures}"


def tidy(text: str) -> str:
    """The same text in small letters, with plain signs, single spaces and decimal points.

    Raises UnclearError for a text far longer than any prescription.

    >>> tidy("–2,00 DS")
    '-2.00 ds'
    """
    if len(text) > LONGEST_TEXT:
        raise UnclearError(f"this is too long to read: {cut(text)}", f"At most {LONGEST_TEXT} letters.", "Shorten it.")
    plain = " ".join(text.translate(SIGNS).lower().split())
    return DECIMAL_COMMA.sub(r"\1.", plain)


def typed_number(text: str, unit: Unit) -> TypedNumber | None:
    """One number alone, with or without its unit; None for anything else. Raises UnclearError for another unit.

    >>> typed_number("30 mm", MM)
    TypedNumber(sign='', figures='30')
    """
    found = SIGNED_NUMBER.fullmatch(tidy(text)) if len(text) <= LONGEST_TEXT else None
    if found and found[3] and found[3] not in unit.words:
        allowed = f"It is a number of {unit.name}; the unit may be left out." if unit.name else "It has no unit."
        advice = "Look whether it stands behind the right name, and type the number without its unit."
        raise UnclearError(f"{cut(text)} has the wrong unit behind it: {found[3]}", allowed, advice)
    return TypedNumber(found[1], found[2]) if found else None


def plain_number(raw: str, key: Key) -> float:
    """A number inside the range of its key. Raises UnclearError."""
    number = typed_number(raw, UNITS[key.unit])
    if number is None:
        advice = f"Type it in figures, for example:   {key.example}"
        raise UnclearError(f"{key.name} is not a number: {cut(raw)}", key.allowed, advice)
    lowest = number.value if key.lowest is None else key.lowest
    highest = number.value if key.highest is None else key.highest
    if not lowest <= number.value <= highest:
        raise UnclearError(
            f"{key.name} cannot be {number}", key.allowed, f"Check it, and type it as in:   {key.example}"
        )
    return number.value


def dioptres(number: TypedNumber, what: str, whose: str, strongest_dpt: float) -> tuple[float, tuple[Remark, ...]]:
    """The power a typed number stands for [D], and what to look at. Raises UnclearError when it could be two powers.

    what: "sphere", "cylinder" or "addition". A number without its decimal point, such as -75, is read as -0.75
    where the number as it stands is stronger than any lens, or has three figures.
    """
    remarks: list[Remark] = []
    value = number.value
    if _point_left_out(number, what, whose, strongest_dpt):
        value = value / 100
        remarks.append(_point_remark(number, value, what, whose))
    _refuse_too_strong(value, number, what, whose, strongest_dpt)
    if not remarks and not _on_a_step(value):
        remarks.append(_step_remark(number, value, what, whose))
    if what == "sphere" and abs(value) > RARE_SPHERE_DPT:
        remarks.append(
            Remark(
                f"{whose} has a sphere of {number}, which is rare",
                f"Spheres beyond {RARE_SPHERE_DPT:.0f} dioptres are read, but hardly ever ordered.",
                "Look at the prescription again; if it is right, leave it.",
                "strong",
            )
        )
    return value, tuple(remarks)


def _point_left_out(number: TypedNumber, what: str, whose: str, strongest_dpt: float) -> bool:
    if "." in number.figures or len(number.figures) == 1:
        return False
    if _could_be_both(number, what):
        raise UnclearError(
            f"{whose} has {a_or_an(what)} {what} of {number}: is that {number.value / 100:+.2f} or "
            f"{number.value:+.2f}?",
            f"{a_or_an(what).capitalize()} {what} is written with its decimal point.",
            f"Type one of the two:   {number.value / 100:+.2f}   or   {number.value:+.2f}",
        )
    left_out = len(number.figures) > 2 or abs(number.value) > strongest_dpt
    return left_out and _on_a_step(number.value / 100, cut_eighths=True)


def _could_be_both(number: TypedNumber, what: str) -> bool:
    starts_with_nought = number.figures.startswith("0") and len(number.figures) == 2 and number.figures != "00"
    return starts_with_nought or (what == "sphere" and number.figures == "25")


def _on_a_step(value_dpt: float, *, cut_eighths: bool = False) -> bool:
    eighths = value_dpt * 8
    if abs(eighths - round(eighths)) < 1e-9:
        return True
    return cut_eighths and abs(abs(eighths - round(eighths)) - 0.04) < 1e-6


def _point_remark(number: TypedNumber, value: float, what: str, whose: str) -> Remark:
    return Remark(
        f"{whose} has {a_or_an(what)} {what} of {number}; read as {value:+.2f}",
        f"The decimal point seems to be left out: {a_or_an(what)} {what} of {number} dioptres does not exist.",
        f"If that is right, type it with its point:   {value:+.2f}",
        "point",
    )


def _step_remark(number: TypedNumber, value: float, what: str, whose: str) -> Remark:
    cut_eighth = _on_a_step(value, cut_eighths=True)
    meant = round(value * 8) / 8
    advice = (
        f"If {meant:+.3f} was meant, type all three places. Otherwise leave it."
        if cut_eighth
        else "Look at the prescription again; if it says so, leave it."
    )
    return Remark(
        f"{whose} has {a_or_an(what)} {what} of {number}, which is not a step of 0.25",
        "Powers come in steps of 0.25, sometimes 0.125.",
        advice,
        "step",
    )


def _refuse_too_strong(value: float, number: TypedNumber, what: str, whose: str, strongest_dpt: float) -> None:
    if abs(value) > strongest_dpt:
        raise UnclearError(
            f"{whose} has {a_or_an(what)} {what} of {number}, which no lens has",
            f"{a_or_an(what).capitalize()} {what} goes up to {strongest_dpt:.2f} dioptres.",
            "Check the decimal point, and type it as in:   -1.25"
            if what != "addition"
            else "Check the decimal point, and type it as in:   2.25",
        )


def a_or_an(word: str) -> str:
    """The article a word takes."""
    return "an" if word[0] in "aeiou" else "a"


def cut(raw: str, longest: int = 40) -> str:
    """What was typed, in quotation marks and in one line, cut when it is long."""
    words = "".join(character if character.isprintable() else "?" for character in " ".join(raw.split()))
    return f'"{words if len(words) <= longest else words[: longest - 3] + "..."}"'
