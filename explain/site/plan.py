"""Plan: for each order of a build, whether what was made of it still holds, and else the task to make it anew."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from functools import cached_property
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from explain.site.address import page_address
from explain.site.engine import kits
from explain.site.engine.record import Made, Record
from explain.site.engine.sweep import signature_of
from explain.site.making import PAGE, Task
from explain.site.notices import MARK
from explain.site.remakes import Remakes
from explain.site.retired import is_put_away, read_retirement
from explain.site.standing import UNCLEAR
from explain.site.survey import are_traces_the_same, beside, contested, remakes_among, survey

UNCHANGED = ""


class Shelf(Struct, frozen=True):
    """One folder of orders: the secret of its addresses, what its pages are made from, and its remakes."""

    secret: bytes
    parts: dict[str, str]
    digest: str
    remakes: Remakes


class Plan:
    """What is known before anything is made. shelves: by folder."""

    def __init__(self, paths: Sequence[Path], out: Path, record: Record, today: date | None) -> None:
        self.paths, self.out, self._record, self._today = paths, out, record, today
        self._top = str(out)
        self.seen = survey(beside(paths), record)
        self.shelves: dict[Path, Shelf] = {}

    def add_shelf(self, folder: Path, secret: bytes, titles: str) -> None:
        """Take a folder of orders in. titles: digest of the answers that its pages lead on to."""
        parts = kits.folder_parts(folder, titles)
        there = [one for path, one in self.seen.items() if path.parent == folder]
        self.shelves[folder] = Shelf(secret, parts, kits.whole(parts), remakes_among(there))

    def look_again(self, paths: Iterable[Path], record: Record) -> None:
        """Take in what was made of these orders since."""
        for path in paths:
            seen, made = self.seen[path], record.made.get(str(path))
            self.seen[path] = replace(seen, made=made if made is not None and made.digest == seen.digest else None)

    @cached_property
    def contested(self) -> frozenset[Path]:
        """Files that seem to have a number in common with another one."""
        return frozenset(contested(self.seen[path] for path in self.paths))

    def why_anew(self, path: Path) -> str:
        """Why an order is to be made anew, in words; UNCHANGED where all it was made from is the same."""
        seen, shelf = self.seen[path], self.shelves[path.parent]
        made = seen.made
        if made is None:
            return "it changed, or is new" if seen.digest else "it cannot be read"
        if made.kit != shelf.digest:
            return self._what_changed(path.parent)
        if not are_traces_the_same(made):
            return "its trace file changed"
        if path in self.contested or made.relation != self.relation(path, made.number):
            return "it stands in another way to other orders"
        if made.published != self.look(made.address, made.number):
            return "its page, or what is kept of it, is not as it was left"
        is_due = made.stands != "away" and made.due and self._today and made.due <= self._today.isoformat()
        return "its time is over" if is_due else UNCHANGED

    def _what_changed(self, folder: Path) -> str:
        names = kits.changes(self._record.kits.get(str(folder), {}), self.shelves[folder].parts)
        return f"changed: {', '.join(names)}" if names else "it was last made from something else"

    def relation(self, path: Path, number: str) -> str:
        """How an order stands to others just now; empty where it has to do with none."""
        remakes = self.shelves[path.parent].remakes
        if not remakes.filed:
            return ""
        older = ",".join(remakes.older(number))
        newest, named = remakes.newest(number), remakes.is_named(number, path)
        if newest == number and not older and not named:
            return ""
        is_there = self.page(path.parent, newest).is_file()
        return f"{newest} {is_there} {older} {named} {self.seen[path].text != ''}"

    def task(self, path: Path, number: str) -> Task:
        """What to make of an order as things are just now."""
        shelf = self.shelves[path.parent]
        speaks = bool(self.seen[path].text)
        return Task(
            path=path,
            number=number,
            address=page_address(shelf.secret, number),
            retired=read_retirement(self.out / "private", number),
            led_to=self._led_to(path, number, shelf),
            older=tuple(self._older(path.parent, number, shelf)),
            remakes=shelf.remakes.for_order() if speaks else None,
        )

    def _led_to(self, path: Path, number: str, shelf: Shelf) -> tuple[str, str] | None:
        """The newer order whose published page takes the place of this one's; None where this order has its own.

        A page that leads on stays so while another file still speaks of it, even one that cannot be read just now.
        """
        newest = shelf.remakes.newest(number)
        if newest != number and self.page(path.parent, newest).is_file():
            return newest, page_address(shelf.secret, newest)
        page = self.page(path.parent, number)
        if not shelf.remakes.is_named(number, path):
            return None
        return (UNCLEAR, "") if page.is_file() and MARK in page.read_text(encoding="utf-8") else None

    def _older(self, folder: Path, number: str, shelf: Shelf) -> Iterator[tuple[str, str]]:
        """The published pages that an order replaces; one that was put away stays so."""
        for old in shelf.remakes.older(number):
            if self.page(folder, old).is_file() and not is_put_away(self.out / "private", old):
                yield old, page_address(shelf.secret, old)

    def page(self, folder: Path, number: str) -> Path:
        """Where the page of an order number is published."""
        return self.out / "upload" / page_address(self.shelves[folder].secret, number) / PAGE

    def look(self, address: str, number: str) -> str:
        """How a page and what is kept of its order look from outside."""
        page = signature_of(f"{self._top}/upload/{address}/{PAGE}")  # joined as text: there may be ten thousand
        return f"{page} {signature_of(f'{self._top}/private/{number}')}"


def replacing_first(paths: Sequence[Path], plan: Plan) -> Iterator[Path]:
    """The orders that speak of a remake, each before those it replaces: their pages are what the older lead on to."""
    speaking = [path for path in paths if path in plan.seen and plan.seen[path].text]
    return iter(sorted(speaking, key=lambda path: -len(_chain(path, plan))))


def _chain(path: Path, plan: Plan) -> list[str]:
    return list(plan.shelves[path.parent].remakes.older(plan.seen[path].number))


def made_of(path: Path, plan: Plan) -> Made | None:
    """What was made of an order, where that still holds."""
    return plan.seen[path].made if plan.why_anew(path) == UNCHANGED else None
