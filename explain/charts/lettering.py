"""Lettering: how wide words may come out, and where to break them.

The page sets its own system font, so widths are those of a wide one (DejaVu Sans, Bitstream Vera's widths); most
fonts of phones are narrower.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

from explain.charts.style import TEXT

_WIDTHS = {
    "ijl|.,:;/\\'!·’ fI\N{NO-BREAK SPACE}\N{THIN SPACE}\N{NARROW NO-BREAK SPACE}": 0.36,
    "-()[]t!r": 0.415,
    '"“”*_`°–sczLF?': 0.58,
    "kvxyPTY": 0.615,
    "aeohnubdgpqES$0123456789{}€£¢": 0.64,
    "KAVXZBRC": 0.70,
    "UNHDGOQ&": 0.79,
    "w#+<=>^~±×−": 0.84,
    "M%m½æW@—…œ": 1.03,
}
_BY_CHARACTER = {character: width for characters, width in _WIDTHS.items() for character in characters}
_BOLD_SHARE = 1.17
_TRIM = 12.0


def text_width(text: str, size: float = TEXT, *, bold: bool = False) -> float:
    """Width that a line of text may take, on the wide side [units]."""
    width = sum(map(_character_width, text)) * size
    return width * _BOLD_SHARE if bold else width


@lru_cache(maxsize=512)
def wrapped(text: str, room: float, *, bold: bool = False) -> tuple[str, ...]:
    """Break text into as few lines as go into `room` units, of about equal width; a word that is wider is cut.

    >>> wrapped("thin in the middle", 130)
    ('thin in the', 'middle')
    """
    pieces = [piece for word in text.split(" ") for piece in _pieces(word, room, bold=bold)] or [""]
    narrowest = widest(tuple(pieces), bold=bold)
    lines = _filled(pieces, room, bold=bold)
    while len(lines) > 1 and room - _TRIM >= narrowest:
        room -= _TRIM
        narrower = _filled(pieces, room, bold=bold)
        if len(narrower) > len(lines):
            break
        lines = narrower
    return lines


def widest(lines: tuple[str, ...], *, bold: bool = False) -> float:
    """Width of the widest line [units]."""
    return max(text_width(line, bold=bold) for line in lines)


@lru_cache(maxsize=1024)
def _character_width(character: str) -> float:
    """Width in shares of the type size; accents do not count, what is unknown counts as a full square."""
    if unicodedata.combining(character):
        return 0.0
    base = unicodedata.normalize("NFD", character)[0]
    return _BY_CHARACTER.get(base, 1.1)


def _filled(pieces: list[str], room: float, *, bold: bool) -> tuple[str, ...]:
    """Fill line after line."""
    lines = pieces[:1]
    for piece in pieces[1:]:
        longer = f"{lines[-1]} {piece}"
        if text_width(longer, bold=bold) <= room:
            lines[-1] = longer
        else:
            lines.append(piece)
    return tuple(lines)


def _pieces(word: str, room: float, *, bold: bool) -> list[str]:
    pieces, rest = [], word
    while text_width(rest, bold=bold) > room and len(rest) > 1:
        cut = max(1, next(n for n in range(1, len(rest) + 1) if text_width(rest[:n], bold=bold) > room) - 1)
        pieces.append(rest[:cut])
        rest = rest[cut:]
    return [*pieces, rest] if rest else pieces
