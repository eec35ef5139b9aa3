"""What stands beside the powers in a line and is cut out of it first: pupils, heights, addition."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from msgspec import Struct

from explain.order.numbers import DIGITS

NUMBER = rf"(?<![\d.]){DIGITS}(?:\s*mm)?"
RIGHT_EYE = r"(?:right|rechts|re|od|rt|r|droite?|d)(?: eye)?\s*[:=]?\s*"
LEFT_EYE = r"(?:left|links|le|os|og|oi|lt|li|l|gauche|g)(?: eye)?\s*[:=]?\s*"
_DASH = r"|-(?=\s*\d)"
IS = rf"[\s.]*(?:\((?:[a-z /]{{1,20}})\))?\s*(?:[:=|]|is\b|of\b{_DASH})?\s*"
PD_WORDS = (
    r"p\.\s?d\.?|pd|ipd|dpd|pupil(?:lary|ar|s)? ?distances?|pupillendistanz|augenabstand|pupillenabstand"
    r"|\u00e9carts? (?:inter)?-?pupillaires?|ecarts? (?:inter)?-?pupillaires?"
    r"|e\.?p\.?|dip|distancia (?:inter)?pupilar|mpd"
)
FAR_WORDS = r"(?:binocular|bino|monocular|mono|distance|dist\.?|far|dv|ferne?)"
NEAR_WORDS = r"(?:near|reading|nah|nv|close)"
HEIGHT_WORDS = (
    r"(?:(?:seg(?:ment)?|fitting|fit|oc|optical cent(?:re|er))\.?\s*)?(?:heights?|hts?)\b\.?"
    r"|s\.?h\.?|f\.?h\.?|einschleifh\u00f6hen?"
    r"|h\u00f6hen?|hauteurs?|altura"
)
ADD_WORDS = (
    r"(?:(?:near|reading|nah|lese)[\s-]*)?(?:adds?|addition|additions|nahzusatz|zusatz|zus|adici[o\u00f3]n|ad)\b\.?"
)
LETTERS_END = r"(?![^\W\d_])"
BOTH_NUMBERS = rf"{RIGHT_EYE}(?P<right>{NUMBER})[\s,;/&|]*(?:and\s+)?{LEFT_EYE}(?P<left>{NUMBER})"
MM = r"\s*(?:mm)?"
TWO_FIGURES = r"\d\d(?:\.\d+)?"
SECOND = rf"\s*(?:[/|&;,]|-(?=\d\d(?![\d.]*\s*x))|and\b)\s*(?P<second>{TWO_FIGURES}){MM}(?![\d.])"
PAIR_OF_MM = rf"(?P<first>(?<![\d.]){TWO_FIGURES}){MM}(?:{SECOND})?"
FAR_NEAR = (
    rf"(?P<far>{TWO_FIGURES}){MM}\s*\(?{FAR_WORDS}\)?[\s,;/&]*(?:and\s+)?"
    rf"(?P<near>{TWO_FIGURES}){MM}\s*\(?{NEAR_WORDS}\)?"
)
SIGNED = rf"[+-]?\s*{DIGITS}"


class Cutting(Struct, frozen=True):
    """A piece of a line. what: pd, near-pd, heights, vertex or add. text: as the reader of that value takes it.

    side: the eye it belongs to; empty for both or the pair.
    """

    what: str
    text: str
    side: str = ""


class _Form(Struct, frozen=True):
    what: str
    pattern: re.Pattern[str]
    one_eye_below: float = 0.0


def _compiled(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w.])(?:{pattern})")


_NEAR_PD = rf"(?:n\.?p\.?d\.?|{NEAR_WORDS}[\s-]*(?:{PD_WORDS})|(?:{PD_WORDS})[\s-]*\(?{NEAR_WORDS}\)?){LETTERS_END}{IS}"
_PD = rf"(?:{FAR_WORDS}[\s-]*)?(?:{PD_WORDS}){LETTERS_END}(?:\s*{FAR_WORDS}\b)?{IS}"
_PD_BEHIND = (
    rf"(?<!x )(?<![+-])(?P<first>[4-8]\d(?:\.\d+)?){MM}\s*(?:{PD_WORDS}){LETTERS_END}"
    r"(?!\s*(?:base|b[udio]\b|in\b|out\b|up\b|down\b))"
)
_HEIGHT = rf"(?:{HEIGHT_WORDS}){LETTERS_END}{IS}"
_VERTEX = (
    rf"(?:bvd|b\.v\.d\.?|back vertex(?: distance)?|vertex(?: distance)?|hsa){LETTERS_END}{IS}"
    rf"(?P<first>\d\d?(?:\.\d+)?){MM}"
)
_ADD = rf"(?:{ADD_WORDS}){IS.replace(_DASH, '')}"
_ADDS_NAMED = rf"(?P<adds>{RIGHT_EYE}{SIGNED}[\s,;/&|]*(?:and\s+)?{LEFT_EYE}{SIGNED})"
_ONE_ADD = rf"(?P<add>{SIGNED})(?:\s*(?:dpt|d)\b\.?)?(?P<all>\s*\(?(?:both(?: eyes)?|each(?: eye)?|ou|odg)\b\)?)?"
_ADD_BEHIND = rf"(?<![\w.])(?P<add>\+\s*{DIGITS})\s*(?:d\s*)?(?:{ADD_WORDS})(?!\s*[:=+\d])"
_NO_ADD = r"(?:-+(?!\s*[\d.])|none\b|nil\b|no\b|n/a\b|0\b(?!\.))"
FORMS = (
    _Form("near-pd", _compiled(f"{_NEAR_PD}{BOTH_NUMBERS}")),
    _Form("near-pd", _compiled(f"{_NEAR_PD}{PAIR_OF_MM}"), 42.01),
    _Form("pd", _compiled(f"{_PD}{BOTH_NUMBERS}")),
    _Form("pd", _compiled(f"{_PD}{FAR_NEAR}")),
    _Form("pd", _compiled(f"{_PD}{PAIR_OF_MM}"), 42.01),
    _Form("pd", _compiled(_PD_BEHIND)),
    _Form("heights", _compiled(f"{_HEIGHT}{BOTH_NUMBERS}")),
    _Form("heights", _compiled(f"{_HEIGHT}{PAIR_OF_MM}"), 100),
    _Form("vertex", _compiled(_VERTEX)),
    _Form("add", _compiled(f"{_ADD}{_ADDS_NAMED}")),
    _Form("add", _compiled(rf"{_ADD}(?P<adds>\+?\s*{DIGITS}\s*/\s*\+?\s*\d\.\d+)")),
    _Form("add", _compiled(f"{_ADD}{_ONE_ADD}"), 100),
    _Form("add", re.compile(_ADD_BEHIND), 100),
    _Form("no add", _compiled(f"{_ADD}{_NO_ADD}")),
    _Form("add", _compiled(rf"(?:{ADD_WORDS})\s*[:=]\s*(?P<add>[^\W\d][^,;|]*)"), 100),
)


def cut_out(line: str, eye_before: Callable[[str, int], str]) -> tuple[str, list[Cutting]]:
    """A plain line without what stands beside the powers, and those pieces.

    eye_before(line, place): the eye named before a place of the line; empty for none.
    """
    pieces: list[Cutting] = []
    for form in FORMS:
        while found := form.pattern.search(line):
            side = eye_before(line, found.start())
            pieces.extend(_pieces(form, found, side))
            line = f"{line[: found.start()]} , {line[found.end() :]}"
    return line, pieces


def _pieces(form: _Form, found: re.Match[str], side: str) -> Iterator[Cutting]:
    parts = found.groupdict()
    if form.what == "no add":
        return
    if parts.get("right"):
        yield Cutting(form.what, f"{_mm(parts['right'])} / {_mm(parts['left'])}")
    elif parts.get("far"):
        yield Cutting("pd", parts["far"])
        yield Cutting("near-pd", parts["near"])
    elif parts.get("adds"):
        yield Cutting("add", parts["adds"])
    elif parts.get("add"):
        yield Cutting("add", parts["add"].strip(), "" if parts.get("all") else side)
    elif parts.get("second"):
        yield Cutting(form.what, f"{parts['first']} / {parts['second']}")
    else:
        first = parts["first"]
        yield Cutting(form.what, first, side if float(first) < form.one_eye_below else "")


def _mm(text: str) -> str:
    return text.replace("mm", "").strip()
