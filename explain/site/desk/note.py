"""Note: what the desk keeps of an order whose page was made, so that it need not be worked out again."""

from __future__ import annotations

import hashlib
from pathlib import Path

import msgspec
from msgspec import Struct, field
from msgspec.structs import replace

from explain.site.earlier import Text

NOTE_NAME = "desk.json"


class Note(Struct, frozen=True):
    """file: digest of the one that the page was made from. warnings, row: its warnings and its row on the desk then.

    answers: names of those that its page leads on to. texts: those that the next build may use again. check: digest of
    all that, where it lies in private/: what was changed there by hand is not believed.
    """

    file: str = ""
    warnings: tuple[str, ...] = ()
    row: str = ""
    answers: tuple[str, ...] = ()
    texts: dict[str, Text] = field(default_factory=dict)
    check: str = ""


def note_text(note: Note) -> str:
    """The note as it is kept."""
    checked = replace(note, check=_check(note))
    return msgspec.json.format(msgspec.json.encode(checked), indent=1).decode("utf-8") + "\n"


def read_note(private: Path, number: str) -> Note:
    """What the last build noted of an order; nothing where it noted none, or its note is damaged or was changed."""
    try:
        found = msgspec.json.decode((private / number / NOTE_NAME).read_bytes(), type=Note)
    except (OSError, ValueError, msgspec.MsgspecError):
        return Note()
    note = replace(found, check="")
    return note if found.check == _check(note) else Note()


def _check(note: Note) -> str:
    return hashlib.blake2b(msgspec.json.encode(note), digest_size=16).hexdigest()
