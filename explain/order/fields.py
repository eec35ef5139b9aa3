"""One group of a file, read through the table of keys: unknown names, missing names, values of a stated kind."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from datetime import date
from typing import TypeVar

from explain.order.faults import Findings, Remark, UnclearError
from explain.order.keys import Key, KeyTable, in_words, nearest
from explain.order.nodes import Entry, Group, Node, Series, Text
from explain.order.numbers import cut, plain_number

Value = TypeVar("Value")

LONGEST_NAME = 60
LONGEST_VALUE = 200
ISO_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
NUMBER_NAME = re.compile(r"[0-9.,+-]+")


class Section:
    """One group of the file. path is its dotted place in the table of keys; empty for the whole file.

    may_miss: names that are required in the end, and may still be missing for the purpose at hand.
    """

    def __init__(
        self,
        group: Group,
        path: str,
        line: int,
        findings: Findings,
        keys: KeyTable,
        may_miss: frozenset[str] = frozenset(),
    ) -> None:
        self.group = group
        self.path = path
        self.line = line
        self.findings = findings
        self.keys = keys
        self.may_miss = may_miss
        self._meant: set[str | None] = set()
        self._refuse_unknown_names()
        self._ask_for_missing_names()

    def key(self, name: str) -> Key:
        """The table's entry for a name in this group."""
        return self.keys[self.path_of(name)]

    def path_of(self, name: str) -> str:
        """The dotted place of a name in this group."""
        return f"{self.path}.{name}" if self.path else name

    def entry(self, name: str) -> Entry | None:
        """The name and its value, when it is written."""
        return self.group.entries.get(name)

    def has(self, name: str) -> bool:
        """True when the name is written, whatever stands behind it."""
        return name in self.group.entries

    def fault(self, name: str, remark: Remark, line: int | None = None) -> None:
        """Note a fault at a name of this group; at the group itself when the name is not written."""
        self.findings.fault(self.path_of(name), line or self.line_of(name), remark)

    def doubt(self, name: str, remark: Remark) -> None:
        """Note a doubt at a name of this group."""
        self.findings.doubt(self.path_of(name), self.line_of(name), remark)

    def line_of(self, name: str) -> int:
        """The line of a name; of the group when the name is not written."""
        entry = self.entry(name)
        return entry.line if entry else self.line

    def child(self, name: str) -> Section | None:
        """The group under a name. A value that is no group is a fault."""
        entry = self.entry(name)
        if entry is None:
            return None
        if not isinstance(entry.value, Group):
            self.wrong_kind(name, "needs a group of names and values")
            return None
        return Section(entry.value, self.path_of(name), entry.line, self.findings, self.keys)

    def text(self, name: str, longest: int = LONGEST_NAME) -> str | None:
        """The words under a name: on one line, without control characters, up to longest letters."""
        raw = self.raw_text(name, max(LONGEST_VALUE, 2 * longest))
        return None if raw is None else self.clean(name, raw, longest)

    def raw_text(self, name: str, longest: int = LONGEST_VALUE) -> str | None:
        """The text under a name, as typed. A group, a list, nothing, or far too much is a fault."""
        entry = self.entry(name)
        if entry is None:
            return None
        if not isinstance(entry.value, Text):
            self.wrong_kind(name, "needs one value, and there are several")
            return None
        if not entry.value.text.strip():
            self.fault(
                name,
                Remark(
                    f'nothing is written after "{name}"',
                    self.key(name).allowed,
                    f"Write it, for example:   {self.key(name).example}",
                ),
            )
            return None
        if len(entry.value.text) > longest:
            self.fault(
                name,
                Remark(
                    f'"{name}" is too long: {len(entry.value.text)} letters',
                    self.key(name).allowed,
                    f"Shorten it, for example:   {self.key(name).example}",
                ),
            )
            return None
        return entry.value.text.strip()

    def clean(self, name: str, raw: str, longest: int = LONGEST_NAME, line: int | None = None) -> str | None:
        """Text in one line, isolated. Too long, or with characters that cannot be shown, is a fault."""
        words = " ".join(raw.split())
        if len(words) > longest:
            self.fault(
                name,
                Remark(
                    f'"{name}" is too long: {len(words)} letters',
                    f"At most {longest} letters fit.",
                    f"Shorten it, for example:   {self.key(name).example}",
                ),
                line,
            )
            return None
        if not _is_plain(words) and any(hidden(character) for character in words):
            self.fault(
                name,
                Remark(
                    f'"{name}" has an invisible character in it',
                    "Only letters, figures, signs and spaces can be read.",
                    "Type it again instead of copying it.",
                ),
                line,
            )
            return None
        return isolated(words)

    def number(self, name: str) -> float | None:
        """The number under a name, inside the range of the table."""
        raw = self.raw_text(name)
        if raw is None:
            return None
        key = self.key(name)
        return self.attempt(name, lambda: plain_number(raw, key))

    def choice(self, name: str) -> str | None:
        """The choice under a name, one of those in the table."""
        raw = self.raw_text(name)
        return None if raw is None else self.chosen(name, raw, self.line_of(name))

    def chosen(self, name: str, raw: str, line: int) -> str | None:
        """A text that must be one of the table's choices for a name."""
        key = self.key(name)
        words = " ".join(raw.lower().split())
        if words in key.choices:
            return words
        near = nearest(raw, key.choices)
        advice = f"Perhaps you meant:   {near}" if near else f"Type one of these, for example:   {key.example}"
        self.fault(name, Remark(f"{name.removesuffix('s')} cannot be {cut(raw)}", key.allowed, advice), line)
        return None

    def choices(self, name: str) -> tuple[str, ...]:
        """The choices listed under a name; each may stand once."""
        found: list[str] = []
        for node in self.items(name):
            choice = self.chosen(name, node.text, node.line)
            if choice in found:
                self.fault(
                    name,
                    Remark(f"{choice} is listed twice", "Each may stand once.", "Take one of the two out."),
                    node.line,
                )
            elif choice:
                found.append(choice)
        return tuple(found)

    def items(self, name: str) -> tuple[Text, ...]:
        """The texts listed under a name; one text alone counts as a list of one."""
        entry = self.entry(name)
        if entry is None:
            return ()
        nodes: tuple[Node, ...] = entry.value.items if isinstance(entry.value, Series) else (entry.value,)
        if all(isinstance(node, Text) and node.text.strip() for node in nodes):
            return tuple(node for node in nodes if isinstance(node, Text))
        self.wrong_kind(name, "needs a list of words")
        return ()

    def day(self, name: str) -> date | None:
        """The date under a name."""
        raw = self.raw_text(name)
        if raw is None:
            return None
        return self.attempt(name, lambda: read_date(raw, self.key(name).example))

    def attempt(self, name: str, read: Callable[[], Value], line: int | None = None) -> Value | None:
        """What read() gives; text that must not be guessed at becomes a fault at the name, or at the line given."""
        try:
            return read()
        except UnclearError as unclear:
            self.fault(name, unclear.remark, line)
            return None

    def wrong_kind(self, name: str, needs: str) -> None:
        """Note that a value is a group or a list where something else belongs, or the other way round."""
        key = self.key(name)
        self.fault(name, Remark(f'"{name}" {needs}', key.allowed, f"Write it, for example:   {key.example}"))

    def ask_for(self, name: str, why: str = "") -> None:
        """Note that a name is missing, unless it is written or a misspelling of it is. why: what makes it needed."""
        if self.has(name) or name in self._meant:
            return
        key = self.key(name)
        place = f' under "{self.title}"' if self.path else ""
        reason = f"; {why}" if why else ""
        message = f'"{name}" is missing{place}: {key.meaning}{reason}'
        remark = Remark(message, key.allowed, f"Add it, for example:   {key.example}")
        self.findings.fault(key.path, self.line, remark)

    @property
    def title(self) -> str:
        """What the group is called in messages: the last word of its path; empty for the whole file."""
        return self.path.removesuffix(".*").removesuffix("[]").rpartition(".")[2]

    def _refuse_unknown_names(self) -> None:
        known = self.keys.names_under(self.path)
        for entry in self.group.entries.values():
            if entry.name not in known:
                self.findings.fault(self.path_of(entry.name), entry.line, self._unknown(entry, known))

    def _unknown(self, entry: Entry, known: Sequence[str]) -> Remark:
        place = f'under "{self.title}"' if self.path else f"in the {self.keys.file} file"
        allowed = f"Here you can write: {', '.join(known)}."
        if self.group.inline and NUMBER_NAME.fullmatch(entry.name):
            return Remark(
                f"{cut(entry.name)} stands alone after a comma",
                "Between { and } a comma ends a value, so a number cannot have a comma in it.",
                "Use a point for decimals and nothing for thousands, for example:   -1.25 or 1250.00",
            )
        near = nearest(entry.name, known)
        self._meant.add(near)
        homes = in_words(dict.fromkeys(self.keys.groups_with(entry.name)) or [""])
        advice = "Check the spelling, or take the line out."
        if near:
            advice = f"Perhaps you meant:   {near}"
        elif homes:
            advice = f"{entry.name} belongs under {homes}; move it there."
        return Remark(f"{cut(entry.name)} is not a name that can stand {place}", allowed, advice)

    def _ask_for_missing_names(self) -> None:
        for name in self.keys.required_under(self.path):
            if name not in self.may_miss:
                self.ask_for(name)


def read_date(raw: str, example: str) -> date:
    """A date typed as year, month and day. Raises UnclearError for anything else, also for 10/02/2026.

    >>> read_date("2026-10-02", "date: 2026-10-02")
    datetime.date(2026, 10, 2)
    """
    found = ISO_DATE.fullmatch(raw)
    allowed = "A date is the year, the month (01 to 12) and the day, with dashes between them."
    advice = f"Type it as year-month-day, for example:   {example}"
    if not found:
        raise UnclearError(f"{cut(raw)} is not a date we can be sure of", allowed, advice)
    try:
        day = date(*(int(part) for part in found.groups()))
    except ValueError:
        raise UnclearError(f"there is no such day as {raw}", allowed, advice) from None
    if not 2000 <= day.year < 2100:
        raise UnclearError(f"the year {raw[:4]} cannot be right", "Years from 2000 to 2099 are read.", advice)
    return day


def isolated(words: str) -> str:
    """Words that turn round nothing beside them: marks enclose those with letters that run from right to left.

    A name in Hebrew or Arabic would draw a figure behind it to its other side. The marks, first strong isolate and
    pop directional isolate (UAX #9), hold in a page, a title, a drawing, a calendar and a message alike.

    >>> isolated("Odile"), isolated("\u05e9\u05e8\u05d4")
    ('Odile', '\u2068\u05e9\u05e8\u05d4\u2069')
    """
    if _is_plain(words) or not any(unicodedata.bidirectional(character) in ("R", "AL", "AN") for character in words):
        return words
    return f"\u2068{words}\u2069"


def bare(words: str) -> str:
    """Isolated words as they are typed, to be typed again."""
    return words.strip("\u2068\u2069")


def _is_plain(words: str) -> bool:
    """True for letters, figures and signs of ASCII alone, as nearly all words are: none is hidden, none turns round."""
    return words.isascii() and words.isprintable()


def hidden(character: str) -> bool:
    """True for characters that cannot be seen or that turn the writing direction round."""
    return unicodedata.category(character) in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp") and character not in "\u200c\u200d"
