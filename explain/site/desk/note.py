"""Note: what the desk keeps of an order whose page was made, so that it need not be worked out again."""

from __future__ import annotations

from pathlib import Path

import msgspec
from msgspec import Struct, field

from explain.site.earlier import Text

NOTE_NAME = "desk.json"


class Note(Struct, frozen=True):
    """file: digest of the one that the page was made from. warnings, row: its warnings and its row on the desk then.

    answers: names of those that its page leads on to. texts: those that the next build may use again.
    """

    file: str = ""
    warnings: tuple[str, ...] = ()
    row: str = ""
    answers: tuple[str, ...] = ()
    texts: dict[str, Text] = field(default_factory=dict)


def note_text(note: Note) -> str:
    """The note as it is kept."""
    return msgspec.json.format(msgspec.json.encode(note), indent=1).decode("utf-8") + "\n"


def read_note(private: Path, number: str) -> Note:
    """What the last build noted of an order; nothing where there was none, or its note cannot be read."""
    try:
        return msgspec.json.decode((private / number / NOTE_NAME).read_bytes(), type=Note)
    except (OSError, ValueError, msgspec.MsgspecError):
        return Note()
