"""Record: what the last build made from what, so that the next one makes only what changed.

One file in private/: a first line for the build as a whole, then a line for each order. While a build runs, what it has
done is added to a second file; a build that was killed loses nothing of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import msgspec
from msgspec import Struct, field

from explain.order.faults import Doubt
from explain.site.engine.sweep import RECORD
from explain.site.publish import write_whole

VERSION = 2
ADDED = ".build-record.added"


class Made(Struct, frozen=True, array_like=True):
    """What an order was made from and what came of it.

    look, digest: of its file, as sweep.signature_of gives it and of its bytes; no look where that could deceive.
    traces: files it names, each with look and digest. kit: digest of the program and the shop's files that went in.
    relation: how it stands to other orders. stands: what is at its address: "page", "away" or the number of the order
    that it leads to. due: the day its page is put away. published: looks of its page and of its private folder.
    replaces: its file speaks of a remake.
    """

    path: str
    look: str
    digest: str
    kit: str
    relation: str
    number: str
    first_name: str
    address: str
    stands: str
    due: str
    why: str
    published: str
    ordered_on: str
    is_priced: bool
    replaces: bool
    traces: tuple[tuple[str, str, str], ...] = ()
    doubts: tuple[Doubt, ...] = ()

    def line(self) -> bytes:
        """As one line of the record."""
        return msgspec.json.encode(self)


class Record(Struct):
    """The lines of the last build by the path of the order; kits: digests of each part of what went in, by folder.

    answers, titles: digests of what the answers for everyone were made from, and of how pages name them; empty where
    they had faults. linked: names of those that pages may lead on to. answered: how their pages looked
    when they were left. at_ns: when that build looked at the files.
    program: how it looked, and a digest of each part of it.
    """

    made: dict[str, Made] = field(default_factory=dict)
    lines: dict[str, bytes] = field(default_factory=dict)
    kits: dict[str, dict[str, str]] = field(default_factory=dict)
    answers: str = ""
    titles: str = ""
    linked: tuple[str, ...] = ()
    answered: str = ""
    at_ns: int = 0
    program: dict[str, Any] = field(default_factory=dict)

    def take(self, made: Made) -> None:
        """Know what was made of an order now."""
        self.made[made.path] = made
        self.lines[made.path] = made.line()

    def forget(self, paths: Iterable[str]) -> None:
        """Know no more what was made of these orders."""
        for path in paths:
            self.made.pop(path, None)
            self.lines.pop(path, None)


class _Head(Struct):
    """The first line of the record, as far as a build reads it."""

    version: int
    kits: dict[str, dict[str, str]]
    answers: str
    titles: str
    linked: tuple[str, ...]
    answered: str
    at_ns: int
    program: dict[str, Any]


def read_record(out: Path) -> Record:
    """What the last build recorded; nothing where there is no record, or it cannot be read: all is then made anew."""
    record = Record()
    try:
        first, _, rest = (out / "private" / RECORD).read_bytes().partition(b"\n")
        head = msgspec.json.decode(first, type=_Head)
        if head.version == VERSION:
            made = {one.path: one for one in msgspec.json.Decoder(Made).decode_lines(rest)}
            lines = dict(zip(made, rest.splitlines(), strict=True))
            of_all = {name: getattr(head, name) for name in _Head.__struct_fields__ if name != "version"}
            record = Record(made, lines, **of_all)
    except (OSError, ValueError, msgspec.MsgspecError):
        record = Record()
    for one in _added(out):
        record.take(one)
    return record


def add_to_record(out: Path, line: bytes) -> None:
    """Note at once what was made, for the build after one that is killed."""
    with (out / "private" / ADDED).open("ab") as file:
        file.write(line + b"\n")


def write_record(out: Path, record: Record, head: Mapping[str, Any]) -> None:
    """Write the record of a build that is done."""
    of_all = {name: getattr(record, name) for name in _Head.__struct_fields__ if name != "version"}
    told = msgspec.json.encode({"version": VERSION, **of_all, **head}, order="sorted")
    write_whole(out / "private" / RECORD, b"\n".join((told, *record.lines.values(), b"")))
    (out / "private" / ADDED).unlink(missing_ok=True)


def _added(out: Path) -> Iterator[Made]:
    """What a killed build had noted; its last line may be half a line."""
    try:
        lines = (out / "private" / ADDED).read_bytes().splitlines()
    except OSError:
        return
    for line in lines:
        try:
            yield msgspec.json.decode(line, type=Made)
        except (ValueError, msgspec.MsgspecError):
            return
