"""Usual words: other ways of writing the same in a plain line, brought to those that the readers know."""

from __future__ import annotations

import re

from explain.order.faults import Remark

USUAL = tuple(
    (re.compile(pattern), usual)
    for pattern, usual in (
        (r"\b(?:minus|menos|moins)\s+(?=\.?\d)", "-"),
        (r"\b(?:plus|m\u00e1s)\s+(?=\.?\d)", "+"),
        (r"(?<=sphere )\(sph?\.?\)|(?<=cylinder )\(cyl\.?\)|(?<=axis )\(ax\.?\)", ""),
        (r"\besf(?:era)?\b\.?|\bsph(?:\u00e4re|\u00e8re)\b", "sph"),
        (r"\bcil(?:indro)?\b\.?|\bcylindre\b", "cyl"),
        (r"\bneutro\b", "plano"),
        (r"(?<=\d)\s*dioptr(?:ien?|\u00edas?|ias?|ies?)\b", ""),
        (r"(?<=\d)\s*\u00b0?\s*tabo\b", ""),
        (r"(?<=\d)\s*\^(?=\s*b[iuod]\b)", " "),
        (r"\ba\s+(?=\d{1,3}\s*\u00b0)", "x "),
        (r"\bd\.?n\.?p\b\.?(?=\s*[:=]?\s*\d)", "pd"),
        (r"(\badd\w*\.?\s*[:=]?\s*\+?\d[\d.]*)\s*(?:bds\b\.?|beidseits\b)", r"\1"),
    )
)
SIZES_OF_A_CONTACT_LENS = re.compile(
    r"\bb\.?c\.?\s*[:=]?\s*[789][.,]\d|\bdia(?:m(?:eter)?)?\.?\s*[:=]?\s*1[345][.,]\d|(?<![\d.,])[789][.,]\d\d?[\s/|]+1[345][.,]\d\b"
)


def usual_words(line: str) -> str:
    """A plain line with the words that the readers know.

    >>> usual_words("right eye minus 2.25 dioptrien, ojo izquierdo neutro -0.50 a 90\u00b0")
    'right eye -2.25, ojo izquierdo plano -0.50 x 90\u00b0'
    """
    for pattern, usual in USUAL:
        line = pattern.sub(usual, line)
    return line


def contact_lenses(text: str, side: str) -> Remark | None:
    """What to ask where a text gives the sizes of a contact lens: its power is not that of a lens in a frame."""
    if not SIZES_OF_A_CONTACT_LENS.search(text.lower()):
        return None
    return Remark(
        "the sizes of a contact lens stand beside the power",
        "A contact lens sits on the eye, so its power is often not that of glasses.",
        f"Ask for the prescription for glasses, and type it as in:   {side}: -3.25 -0.75 x 172",
    )
