"""The few kinds of block a page is made of. Stories fill them; templates place them."""

from __future__ import annotations

from functools import lru_cache
from typing import ClassVar

from msgspec import Struct

from explain.story.drawings import Drawing


class Paragraph(Struct, frozen=True):
    """Up to three sentences. `lead`, if any, is set in bold before the text."""

    text: str
    lead: str = ""
    kind: ClassVar[str] = "paragraph"


class Heading(Struct, frozen=True):
    """A smaller heading inside a section."""

    text: str
    kind: ClassVar[str] = "heading"


class Bullets(Struct, frozen=True):
    """A list without order, up to seven points."""

    items: tuple[str, ...]
    lead: str = ""
    kind: ClassVar[str] = "bullets"


class Steps(Struct, frozen=True):
    """Things to do, in order. Each is (what to do, why or how)."""

    items: tuple[tuple[str, str], ...]
    kind: ClassVar[str] = "steps"


class Sketch(Struct, frozen=True):
    """A line drawing of templates/drawings/NAME.svg. shows: what it shows, for whoever does not see it."""

    name: str
    caption: str
    shows: str


class PicturedStep(Struct, frozen=True):
    """What to do, in under 12 words; how, or what to see; and drawings of it, if any."""

    what: str
    how: str
    sketches: tuple[Sketch, ...] = ()


class Pictured(Struct, frozen=True):
    """Things to do, in order, each with its drawings."""

    items: tuple[PicturedStep, ...]
    kind: ClassVar[str] = "pictured"


class Checks(Struct, frozen=True):
    """Things to check, each with a box to tick on the screen or on paper."""

    items: tuple[PicturedStep, ...]
    kind: ClassVar[str] = "checks"


class Table(Struct, frozen=True):
    """A table: every row begins with its own heading. Shown as cards where it does not fit.

    is_folded: on a screen it opens at a tap on its caption; on paper it stands open.
    """

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    total: tuple[str, ...] | None = None
    is_folded: bool = False
    kind: ClassVar[str] = "table"

    @property
    def width(self) -> str:
        """How much room it needs: "slim" fits any phone, "even" most, "broad" becomes cards on a phone."""
        if len(self.columns) > 2 and any(len(cell) > _SENTENCE_LETTERS for row in self.rows for cell in row):
            return "broad"
        columns = zip(self.columns, *self.rows, strict=True)
        letters = sum(max(_least_letters(cell) for cell in column) + 2 for column in columns)
        return "slim" if letters <= 26 else "even" if letters <= 43 else "broad"


_SENTENCE_LETTERS = 60
"""A longer cell is read as a sentence, and more than two columns of those do not fit a phone."""


@lru_cache(maxsize=4096)
def _least_letters(cell: str) -> int:
    """Letters a cell needs on one line: its longest word, or all of it when short."""
    longest = max(map(len, cell.split()), default=0)
    return max(longest, min(len(cell), 9))


class Stage(Struct, frozen=True):
    """A stretch of a diary: what to do in it, and its rows. Each row begins with the day; an empty cell is a box."""

    what: str
    rows: tuple[tuple[str, ...], ...]


class Diary(Struct, frozen=True):
    """Days to tick, in stages. It stays a table on a phone, and on one sheet of paper.

    calendar: words of the link to the calendar file beside the page; "" where there is none.
    """

    caption: str
    columns: tuple[str, ...]
    stages: tuple[Stage, ...]
    note: str = ""
    calendar: str = ""
    kind: ClassVar[str] = "diary"


class Figure(Struct, frozen=True):
    """A chart: its finding, its measure, what it shows in words, and its numbers as a table."""

    finding: str
    measure: str
    drawing: Drawing
    table: Table
    note: str = ""
    kind: ClassVar[str] = "figure"


class Caution(Struct, frozen=True):
    """Something that could hurt. watch, why, now, who: what to watch for, why, what to do now, whom to ask."""

    watch: str
    why: str
    now: str
    who: str = ""
    kind: ClassVar[str] = "caution"


class Note(Struct, frozen=True):
    """A calm aside: an assumption, a limit of what the page can know, or where a figure comes from."""

    text: str
    label: str = ""
    kind: ClassVar[str] = "note"


class Choice(Struct, frozen=True):
    """One option in five parts, with equal room for and against. `figures` has a row for leaving it off."""

    name: str
    what: str
    reasons_for: tuple[str, ...]
    reasons_against: tuple[str, ...]
    not_worth: str
    for_your_pair: tuple[str, ...]
    figures: Table
    evidence: str = ""
    kind: ClassVar[str] = "choice"


class Prose(Struct, frozen=True):
    """Longer words kept in templates/words/NAME.md. level: that of its own headings (4 under a Heading)."""

    name: str
    level: int = 3
    kind: ClassVar[str] = "prose"


class Receipt(Struct, frozen=True):
    """A bill that prints alone on one sheet. `facts` are (what, value); `sender` the shop's name and address."""

    title: str
    sender: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    lines: Table
    kind: ClassVar[str] = "receipt"


Block = (
    Receipt
    | Paragraph
    | Heading
    | Bullets
    | Steps
    | Pictured
    | Checks
    | Table
    | Diary
    | Figure
    | Caution
    | Note
    | Choice
    | Prose
)


class Section(Struct, frozen=True):
    """One part of the page. `short` is its name in the contents list."""

    id: str
    heading: str
    short: str
    blocks: tuple[Block, ...]
