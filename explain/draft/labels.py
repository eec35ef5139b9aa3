"""Where a line names an eye: R, OD, right eye, rechts, OG and the like, told apart from ordinary words."""

from __future__ import annotations

import re

from msgspec import Struct

from explain.draft.usual_words import usual_words
from explain.order.numbers import DECIMAL_COMMA, SIGNS

FULL_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)}
MIDDLE_POINT = re.compile("(?<=\\d)\u00b7(?=\\d)")
BULLET = re.compile(r"(?:^|(?<=\s))(?:\*+|[12][.)])\s+(?=[A-Za-z(])")
LIST_POINT = re.compile("(?:(?<=\\s)|^)[\u00b7\u2022\u2027\u25cf\u25aa\u2023](?=\\s)")

BOTH = (
    r"(?:both|each) (?:eyes?|lens(?:es)?)|both|r\s?[/+&]\s?l|r and l|right and left|right & left|right/left"
    r"|o\.\s?u\.|ou|odg|odog"
    r"|od\s?[/+&]\s?o[sgi]|od and os|beide(?: augen| gl\u00e4ser)?|bds\.?|les deux(?: yeux)?|ambos(?: ojos)?|ao"
)
SURE_RIGHT = (
    r"right (?:eye|lens)|rechtes (?:auge|glas)|(?:oeil|\u0153il|verre) droit|ojo derecho"
    r"|o\.\s?d\.?|od|r\.\s?e\.|oculus dexter"
)
SURE_LEFT = (
    r"left (?:eye|lens)|linkes (?:auge|glas)|(?:oeil|\u0153il|verre) gauche|ojo izquierdo"
    r"|o\.\s?[sgi]\.?|os|og|l\.\s?e\."
    r"|oculus sinister"
)
SHORT_RIGHT = r"right|rt\.?|rechts|re|ra|droite?|derech[oa]|dx|r"
SHORT_LEFT = r"left|lt\.?|links|le|la|li|gauche|izquierd[oa]|oi|sx|l"
LONELY_RIGHT, LONELY_LEFT = r"d", r"[gi]"
LABEL = re.compile(
    rf"(?<![\w.])(?:(?P<both>{BOTH})|(?P<sure_right>{SURE_RIGHT})|(?P<sure_left>{SURE_LEFT})|(?P<short_right>{SHORT_RIGHT})"
    rf"|(?P<short_left>{SHORT_LEFT})|(?P<lonely_right>{LONELY_RIGHT})|(?P<lonely_left>{LONELY_LEFT}))(?![^\W\d_])"
)
WORDS = (
    r"(?:pl\b|plan|\.?inf\b|\u221e|infinity|neutral|bal|none\b|nil\b|not ordered|no lens|sph|cyl|zyl|ds\b|pris|add\b"
    r"|ax(?:is|e)?\b|ach(?:se)?\b|eje\b|s\.|sf\b|esf|cil\b|base\b|b[udio]\b|sp?\s*[:=+-])"
)
SIGNED = r"(?:\+\s*/\s*-|\u00b1|[+-]+\s*\.?\d|\d*\.\d|[+-]\s*[/|])"
GAP = r"[\s.)\]]*(?:[:=|]|is\b)?\s*[(|]?\s*"
VALUE_FOLLOWS = re.compile(rf"{GAP}(?:-\s+)?(?:{SIGNED}|\d|{WORDS}|@)")
SURE_VALUE_FOLLOWS = re.compile(rf"{GAP}(?:-\s+)?(?:{SIGNED}|{WORDS})")
COLON_FOLLOWS = re.compile(r"\s*[:=]\s*\S")
BETWEEN = re.compile(r"[\s(/,\-]*")
IS_A_WORD = ("le", "la", "re", "li", "ra", "ou", "oi", "both", "right", "left", "ao", "os", "d", "g", "i")


class EyeLabel(Struct, frozen=True):
    """A name of an eye in a line. side: right, left or both; start and end: where it stands, from 0."""

    side: str
    start: int
    end: int


def plain_line(line: str) -> str:
    """A line in small letters with plain signs, figures and decimal points; table cells parted by a bar.

    >>> plain_line("Ｒ：\u2212２，００")
    'r:-2.00'
    """
    line = BULLET.sub(" ", line.translate(FULL_WIDTH)).replace("\t", " | ").translate(SIGNS).lower()
    line = MIDDLE_POINT.sub(".", LIST_POINT.sub(";", line))
    return usual_words(DECIMAL_COMMA.sub(r"\1.", " ".join(line.split())))


def eye_labels(line: str) -> list[EyeLabel]:
    """The names of eyes in a plain line, neighbours that name the same eye (Right OD:) as one.

    >>> [label.side for label in eye_labels("re -2.00 ds / le -1.75 ds")]
    ['right', 'left']
    >>> eye_labels("the left one broke on the right side")
    []
    """
    labels: list[EyeLabel] = []
    for found in reversed(list(LABEL.finditer(line))):
        side = str(found.lastgroup).rpartition("_")[2]
        after = labels[-1] if labels else None
        if after and after.side == side and BETWEEN.fullmatch(line, found.end(), after.start):
            labels[-1] = EyeLabel(side, found.start(), after.end)
        elif _names_an_eye(line, found):
            labels.append(EyeLabel(side, found.start(), found.end()))
    return labels[::-1]


def bare_side(text: str) -> str:
    """The side that a text names and nothing else; empty for anything else.

    >>> bare_side("(OD)".lower())
    'right'
    """
    found = LABEL.fullmatch(text.strip(" :=()|.-"))
    return str(found.lastgroup).rpartition("_")[2] if found else ""


def side_before(line: str, place: int, otherwise: str = "") -> str:
    """The eye whose name stands last before a place in a plain line; otherwise where there is none; both eyes: empty.

    >>> side_before("r pd 31, l pd 32", 11)
    'left'
    """
    names = [
        (found.start(), str(found.lastgroup).rpartition("_")[2])
        for found in LABEL.finditer(line, 0, place)
        if not line[found.end() : place].strip(" :=()|,.-")
    ]
    names += [(label.start, label.side) for label in eye_labels(line) if label.start < place]
    side = max(names)[1] if names else otherwise
    return "" if side == "both" else side


def _names_an_eye(line: str, found: re.Match[str]) -> bool:
    kind, word, starts = str(found.lastgroup), found.group(), not line[: found.start()].strip(" |(*-\u2022#>")
    if COLON_FOLLOWS.match(line, found.end()) and (starts or VALUE_FOLLOWS.match(line, found.end())):
        return word != "re" or bool(VALUE_FOLLOWS.match(line, found.end()))
    if kind.startswith("lonely"):
        return starts and bool(SURE_VALUE_FOLLOWS.match(line, found.end()))
    follows = (SURE_VALUE_FOLLOWS if word in IS_A_WORD else VALUE_FOLLOWS).match(line, found.end())
    if kind.startswith("sure") or kind == "both":
        return bool(follows) or (starts and _is_alone(line, found))
    return bool(follows) or (starts and _is_alone(line, found))


def _is_alone(line: str, found: re.Match[str]) -> bool:
    """True for a name with nothing behind it: the values stand on the lines below."""
    return not line[found.end() :].strip(" :=()|.-")
