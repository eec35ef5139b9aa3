"""Record: what the last build made from what, so that the next one makes only what changed.

One file in private/: a first line for the build as a whole, then a line for each order. While a build runs, what it has
done is added to a second file; a build that was killed loses nothing of it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from msgspec import Struct, field
from msgspec.structs import asdict

from explain.order.faults import Doubt
from explain.site.engine.sweep import RECORD
from explain.site.publish import write_whole

VERSION = 1
ADDED = ".build-record.added"


class Made(NamedTuple):
    """What an order was made from and what came of it.

    look, digest: of its file, as sweep.signature gives it and of its bytes. traces: files it names, each with look and
    digest. kit: digest of the program and the shop's files that went in. relation: how it stands to other orders.
    stands: what is at its address: "page", "away" or the number of the order that it leads to. due: the day its page is
    put away. published: looks of its page and of its private folder. replaces: its file speaks of a remake.
    answers: names of the answers its page leads on to. row: what the desk shows of it.
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
    answers: tuple[str, ...] = ()

    def line(self) -> str:
        """As one line of the record."""
        values: list[Any] = list(self)
        values[_DOUBTS] = [list(asdict(doubt).values()) for doubt in self.doubts]
        return json.dumps(values, ensure_ascii=False, separators=(",", ":"))


_DOUBTS = Made._fields.index("doubts")
_TRACES = Made._fields.index("traces")


def _made(values: list[Any]) -> Made:
    """One line of the record, read; TypeError or LookupError for one that is another kind of line."""
    if values[_DOUBTS]:
        values[_DOUBTS] = tuple(Doubt(*doubt) for doubt in values[_DOUBTS])
    if values[_TRACES]:
        values[_TRACES] = tuple((str(a), str(b), str(c)) for a, b, c in values[_TRACES])
    return Made(*values)


class Record(Struct):
    """The lines of the last build by the path of the order; kits: digests of each part of what went in, by folder.

    answers, titles: digests of what the answers for everyone were made from, and of how pages name them; empty where
    they had faults. linked: names of those that pages may lead on to. at_ns: when that build looked at the files.
    program: how it looked, and a digest of each part of it.
    """

    made: dict[str, Made] = field(default_factory=dict)
    lines: dict[str, str] = field(default_factory=dict)
    kits: dict[str, dict[str, str]] = field(default_factory=dict)
    answers: str = ""
    titles: str = ""
    linked: tuple[str, ...] = ()
    at_ns: int = 0
    program: dict[str, Any] = field(default_factory=dict)

    def take(self, made: Made) -> None:
        """Know what was made of an order now."""
        self.made[made.path] = made
        self.lines[made.path] = made.line()

    def forget(self, paths: Iterable[Path]) -> None:
        """Know no more what was made of these orders and of the answers."""
        self.answers = self.titles = ""
        for path in paths:
            self.made.pop(str(path), None)
            self.lines.pop(str(path), None)


def read_record(out: Path) -> Record:
    """What the last build recorded; nothing where there is no record, or it cannot be read: all is then made anew."""
    record = Record()
    try:
        head, *lines = (out / "private" / RECORD).read_text(encoding="utf-8").splitlines()
        told = json.loads(head)
        if told["version"] == VERSION:
            digests = (told["kits"], told["answers"], told["titles"])
            record = Record({}, {}, *digests, tuple(told["linked"]), int(told["at_ns"]), told["program"])
            all_made = map(_made, json.loads(f"[{','.join(lines)}]"))  # at once: a third of the time of one by one
            for made, line in zip(all_made, lines, strict=True):
                record.made[made.path] = made
                record.lines[made.path] = line
    except (OSError, ValueError, LookupError, TypeError):
        record = Record()
    for made in _added(out):
        record.take(made)
    return record


def add_to_record(out: Path, line: str) -> None:
    """Note at once what was made, for the build after one that is killed."""
    with (out / "private" / ADDED).open("a", encoding="utf-8", newline="\n") as file:
        file.write(f"{line}\n")


def write_record(out: Path, record: Record, head: Mapping[str, Any]) -> None:
    """Write the record of a build that is done."""
    of_all = {name: getattr(record, name) for name in ("kits", "answers", "titles", "linked", "at_ns", "program")}
    told = {"version": VERSION, **of_all, **head}
    lines = (json.dumps(told, ensure_ascii=False, sort_keys=True), *record.lines.values())
    write_whole(out / "private" / RECORD, "".join(f"{line}\n" for line in lines))
    (out / "private" / ADDED).unlink(missing_ok=True)


def _added(out: Path) -> Iterator[Made]:
    """What a killed build had noted; its last line may be half a line."""
    try:
        lines = (out / "private" / ADDED).read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return
    for line in lines:
        try:
            yield _made(json.loads(line))
        except (ValueError, LookupError, TypeError):
            return
