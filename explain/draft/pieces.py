"""A letter taken apart: for each eye the words about it, and what stands beside them, line by line."""

from __future__ import annotations

import re
from collections.abc import Iterable

from msgspec import Struct, field

from explain.draft.cuttings import Cutting, cut_out
from explain.draft.labels import EyeLabel, eye_labels, plain_line, side_before
from explain.draft.tables import labelled
from explain.order.numbers import DIGITS
from explain.order.prisms import IN_LINE

MODES = {
    "far": r"new|updated|distance|dist\.?|far|dv|ferne?|loin|lejos|vision de loin|vl",
    "near": r"near|nv|nr|reading|n\u00e4he|nah|pr\u00e8s|cerca|vision de pr\u00e8s|vp",
    "between": r"intermediate|inter|int|vdu|computer|screen",
    "old": r"previous|old|current|last|alte?|ancienne?|present|existing",
}
MODE = re.compile("|".join(rf"(?P<{name}>(?<!\w)(?:{words})(?!\w))" for name, words in MODES.items()))
MODE_FILLERS = re.compile(
    r"\b(?:vision|prescription|rx|glasses|pair|specs|spectacles|lenses?|my|for|only|the|was|is|use|brille)\b"
)
FIELD = re.compile(
    r"(?:(?P<sph>sph(?:ere|\u00e4re|\u00e8re)?|sf|esf(?:era)?)|(?P<cyl>cyl(?:inder|indre)?|zyl(?:inder)?|cil(?:indro)?)|(?P<axis>ax(?:is|e)?|achse?|eje)"
    r"|(?P<prism>pris(?:m[ae]?|ms)))\b\.?\s*[:=]?\s*"
)
POWER_WORDS = re.compile(
    rf"[+-]?\s*{DIGITS}|\b(?:sph|sphere|cyl|cylinder|zyl|ax|axis|achse|x|ds|dc|d|dpt|pl|plano|base|in|out|up|down|bi|bo|bu|bd|prism|prisma|prisme|and|balance)\b"
    r"|[\s,;:/|()&.\u00b0\u03b4-]"
)
UNCLAIMED = re.compile(r"[+-]\s*\d*\.\d+")
PROSE = re.compile(r"(?<=[\d\w])[.!?;]\s+(?=[^\W\d])[^\d]*$")
EDGES = " \t,;/|&-"


class Pieces(Struct):
    """What a letter says. eyes: the words about each side, by far or near; beside: pupils, heights, additions.

    passed_over: lines with a power that no eye claims, or that are about another pair. shared: additions that stand
    on one line with both eyes, or on a line of their own.
    """

    eyes: dict[tuple[str, str], list[str]] = field(default_factory=dict)
    beside: list[Cutting] = field(default_factory=list)
    passed_over: list[str] = field(default_factory=list)
    of_another_pair: list[str] = field(default_factory=list)


def pieces_of(lines: Iterable[str]) -> Pieces:
    """The pieces of a letter's lines."""
    reading = _Reading()
    for line in labelled([plain_line(line) for line in lines]):
        reading.take(line)
    return reading.pieces


class _Reading:
    """Walks down the lines; remembers which eye is open, and whether the words are about far, near or an old pair."""

    def __init__(self) -> None:
        self.pieces = Pieces()
        self._mode = "far"
        self._open = ""
        self._in_block = False
        self._told = False
        self._alone = False

    def take(self, line: str) -> None:
        if not line.strip():
            self._in_block = self._in_block and not self._told
        labels = eye_labels(line)
        self._set_mode(line, labels)
        block_side = self._open if self._in_block and not labels else ""
        line, beside = cut_out(line, lambda text, place: side_before(text, place, block_side))
        if self._mode in ("far", "near"):
            self.pieces.beside += _shared(beside, {label.side for label in labels})
        labels = eye_labels(line)
        if labels:
            self._eyes(line, labels)
        elif self._continues(line):
            self._told = True
            self._add(self._open, line)
        elif UNCLAIMED.search(line) or (about_a_lens(line) and re.search(r"\d", line)):
            self.pieces.passed_over.append(line.strip(" |,"))

    def _set_mode(self, line: str, labels: list[EyeLabel]) -> None:
        before = line[: labels[0].start] if labels else line
        modes = list(MODE.finditer(before))
        rest = MODE_FILLERS.sub("", MODE.sub("", before)).strip(" :.,;-|()*#=")
        if modes and not rest:
            self._mode = str(modes[0].lastgroup)
            self._open = "" if not labels else self._open

    def _eyes(self, line: str, labels: list[EyeLabel]) -> None:
        before = line[: labels[0].start].strip(" |,;:.")
        named = FIELD.match(before)
        prefix = f"{before} " if named and named.end() >= len(before) else ""
        if not prefix and UNCLAIMED.search(before):
            self.pieces.passed_over.append(before)
        self._alone = len({label.side for label in labels}) == 1 and labels[0].side != "both"
        ends = [*(label.start for label in labels[1:]), len(line)]
        for label, end in zip(labels, ends, strict=True):
            words = _trimmed(line[label.end : end])
            self._open, self._in_block, self._told = label.side, not words, False
            self._add(label.side, f"{prefix}{words}" if words else "")

    def _continues(self, line: str) -> bool:
        """True for a line of powers and nothing else, below the one eye that it can only belong to.

        Below a name that stands alone it may be anything. Below a power it is a sphere, cylinder or axis of its own
        line; a prism there may be for both eyes, so it is not taken.
        """
        if not self._open or not _trimmed(line) or POWER_WORDS.sub("", line).strip():
            return False
        field = FIELD.match(line.strip())
        return self._in_block or (self._alone and field is not None and field.lastgroup != "prism")

    def _add(self, side: str, words: str) -> None:
        for one in ("right", "left") if side == "both" else (side,):
            if self._mode in ("far", "near"):
                told = self.pieces.eyes.setdefault((one, self._mode), [])
                if words:
                    told.append(_trimmed(words))
            elif words:
                self.pieces.of_another_pair.append(words)


def about_a_lens(line: str) -> bool:
    """True for a line that starts with sphere, cylinder or axis, or that speaks of prism."""
    return FIELD.match(line.strip(" |,;:.")) is not None or IN_LINE.search(line) is not None


def _trimmed(words: str) -> str:
    """Words without the punctuation round them; a dash that parts the name of the eye from its power is one of it."""
    words = re.sub(r"^\s*[:=]\s*-\s+(?=[\d.])", "-", words)
    words = re.sub(r"^[\s)]*is\s+", "", words)
    prose = PROSE.search(words)
    if prose and len(prose.group().split()) > 2 and not re.search(r"\bor\b|pris|base|bal|plan", prose.group()):
        words = words[: prose.start()]
    words = words.strip().lstrip(":=|) .").rstrip(f"{EDGES} (:=.").lstrip(",;|& ")
    words = re.sub(r"(?:\s+|^)(?:and|und|et|y)$", "", words).rstrip(f"{EDGES} .")
    return re.sub(r"^\.?\s*-\s+(?=[+-]\s*[\d.]|pl|\u221e|bal|sph)", "", words)


def _shared(beside: list[Cutting], sides: set[str]) -> list[Cutting]:
    """An addition or a height that stands once in a line that names both eyes is for both."""
    whats = [piece.what for piece in beside]
    if "both" not in sides and len(sides) < 2:
        return beside
    return [
        Cutting(piece.what, piece.text) if piece.what in ("add", "heights") and whats.count(piece.what) == 1 else piece
        for piece in beside
    ]
