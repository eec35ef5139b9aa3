"""Plan: for each order of a build, whether what was made of it still holds, and else the task to make it anew."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from functools import cached_property
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from explain.site.address import page_address
from explain.site.desk.note import read_note
from explain.site.engine import kits
from explain.site.engine.record import Made, Record
from explain.site.engine.sweep import PAGE, Swept, kept_name, look_at_kept, look_at_page, page_name
from explain.site.making import Task
from explain.site.notices import MARK
from explain.site.remakes import Remakes
from explain.site.retired import is_put_away, read_retirement
from explain.site.standing import UNCLEAR
from explain.site.survey import (
    NO_LOOK,
    Seen,
    are_traces_the_same,
    beside,
    contested,
    folder_of,
    is_sure,
    remakes_among,
    survey,
)

UNCHANGED = ""
OTHER_ORDERS = "it stands in another way to other orders"


class Shelf(Struct, frozen=True):
    """One folder of orders: the secret of its addresses, what its pages are made from, and its remakes."""

    secret: bytes
    parts: dict[str, str]
    digest: str
    remakes: Remakes


class Plan:
    """What is known before anything is made. Orders and folders go by their path as text. shelves: by folder.

    everything: the orders of the build, and all that lie beside them. seen: those not known to be as they were.
    """

    def __init__(self, paths: Sequence[str], out: Path, record: Record, today: date | None, swept: Swept) -> None:
        self.paths, self.out, self._record, self._today = paths, out, record, today.isoformat() if today else ""
        self.published, self.at_ns = swept.published, swept.at_ns
        self._looks = swept.shop
        self.everything = beside(paths)
        self.seen = survey(self.everything, record, swept.shop)
        self.shelves: dict[str, Shelf] = {}

    def add_shelf(self, folder: str, secret: bytes, titles: str) -> None:
        """Take a folder of orders in. titles: digest of the answers that its pages lead on to."""
        parts = kits.folder_parts(Path(folder), titles)
        there = ((path, self.number(path)) for path in self.everything if folder_of(path) == folder)
        remakes = remakes_among((one for path, one in self.seen.items() if folder_of(path) == folder), there)
        self.shelves[folder] = Shelf(secret, parts, kits.whole(parts), remakes)

    def look_again(self, paths: Iterable[str], record: Record) -> None:
        """Take in what was made of these orders since."""
        for path in paths:
            seen, made = self.file(path), record.made.get(path)
            self.seen[path] = replace(seen, made=made if made is not None and made.digest == seen.digest else None)

    def take_looks(self) -> None:
        """Record the looks of the files that were read now, and none of those that may have changed unseen."""
        record = self._record
        looks = {path: seen.look if seen.made is not None else NO_LOOK for path, seen in self.seen.items()}
        elsewhere = record.made.keys() - set(self.everything)
        unsure = (path for path in elsewhere if not is_sure(record.made[path].look, record.at_ns))
        for path, look in (looks | dict.fromkeys(unsure, NO_LOOK)).items():
            made = record.made.get(path)
            if made is not None and made.look != look:
                record.take(replace(made, look=look))

    def file(self, path: str) -> Seen:
        """An order file as it lies there."""
        seen = self.seen.get(path)
        if seen is None:
            made = self._record.made[path]
            seen = Seen(path, made.look, made.digest, made.number, "", made)
        return seen

    def number(self, path: str) -> str:
        """The number that an order seems to have."""
        seen = self.seen.get(path)
        return self._record.made[path].number if seen is None else seen.number

    def made(self, path: str) -> Made | None:
        """What the last build made of an order file that is still the same; None where it made nothing of this one."""
        seen = self.seen.get(path)
        return self._record.made[path] if seen is None else seen.made

    def changed(self) -> dict[str, str]:
        """The orders that are to be made anew, and why."""
        anew = {path: self.why_anew(path) for path in self.paths if not self._is_settled(path)}
        led = self._led_on_by([path for path, why in anew.items() if why])
        anew.update({path: OTHER_ORDERS for path in led if path in anew and not anew[path]})
        return {path: why for path, why in anew.items() if why}

    def _led_on_by(self, paths: Iterable[str]) -> set[str]:
        """The files of the orders that these replace: making one of these writes where their pages stand."""
        found: set[str] = set()
        for path in paths:
            if path in self.seen and self.seen[path].text:
                remakes = self.shelves[folder_of(path)].remakes
                files = map(remakes.file_of, remakes.older(self.number(path)))
                found.update(str(file) for file in files if file is not None)
        return found

    def _is_settled(self, path: str) -> bool:
        """True for an order that a quick look tells to be as it was: nearly all of ten thousand are."""
        made = None if path in self.seen else self._record.made[path]
        if made is None or made.traces or made.relation or path in self.contested:
            return False
        shelf, looks = self.shelves[folder_of(path)], self.published.by_name
        return (
            made.kit == shelf.digest
            and not shelf.remakes.filed
            and self._is_on_time(made)
            and made.published == f"{looks.get(page_name(made.address))} {looks.get(kept_name(made.number))}"
        )

    @cached_property
    def contested(self) -> frozenset[str]:
        """Files that seem to have a number in common with another one."""
        return frozenset(contested({path: self.number(path) for path in self.paths}))

    def why_anew(self, path: str) -> str:
        """Why an order is to be made anew, in words; UNCHANGED where all it was made from is the same."""
        made = self.made(path)
        if made is None:
            return "it changed, or is new" if self.file(path).digest else "it cannot be read"
        shelf = self.shelves[folder_of(path)]
        if made.kit != shelf.digest:
            return self._what_changed(folder_of(path))
        if made.traces and not are_traces_the_same(made):
            return "its trace file changed"
        if path in self.contested or made.relation != self.relation(path, made.number):
            return OTHER_ORDERS
        if made.published != self.look(made.address, made.number):
            return "its page, or what is kept of it, is not as it was left"
        return UNCHANGED if self._is_on_time(made) else "by this day something else stands in its place"

    def _is_on_time(self, made: Made) -> bool:
        """True where a page whose day has come is away, and one whose day has not is not: a clock may go back too."""
        return not made.due or not self._today or (made.stands == "away") == (made.due <= self._today)

    def _what_changed(self, folder: str) -> str:
        names = kits.changes(self._record.kits.get(folder, {}), self.shelves[folder].parts)
        return f"changed: {', '.join(names)}" if names else "it was last made from something else"

    def relation(self, path: str, number: str) -> str:
        """How an order stands to others just now; empty where it has to do with none."""
        folder = folder_of(path)
        remakes = self.shelves[folder].remakes
        if not remakes.filed:
            return ""
        older = ",".join(remakes.older(number))
        newest, named = remakes.newest(number), remakes.is_named(number, Path(path))
        judged_by = remakes.judged_by(Path(path)) if self.file(path).text else ""
        if newest == number and not older and not named and not judged_by:
            return ""
        is_there = self.page(folder, newest).is_file()
        return f"{newest} {is_there} {older} {named} {judged_by}"

    def task(self, path: str, number: str) -> Task:
        """What to make of an order as things are just now."""
        folder = folder_of(path)
        shelf = self.shelves[folder]
        return Task(
            path=Path(path),
            number=number,
            address=page_address(shelf.secret, number),
            retired=read_retirement(self.out / "private", number),
            led_to=self._led_to(path, number, shelf),
            older=tuple(self._older(folder, number, shelf)),
            remakes=shelf.remakes.for_order() if self.file(path).text else None,
            earlier=read_note(self.out / "private", number).texts,
        )

    def _led_to(self, path: str, number: str, shelf: Shelf) -> tuple[str, str] | None:
        """The newer order whose published page takes the place of this one's; None where this order has its own.

        A page that leads on stays so while another file still speaks of it, even one that cannot be read just now.
        """
        folder = folder_of(path)
        newest = shelf.remakes.newest(number)
        if newest != number and self.page(folder, newest).is_file():
            return newest, page_address(shelf.secret, newest)
        page = self.page(folder, number)
        if not shelf.remakes.is_named(number, Path(path)):
            return None
        return (UNCLEAR, "") if page.is_file() and MARK in page.read_text(encoding="utf-8") else None

    def _older(self, folder: str, number: str, shelf: Shelf) -> Iterator[tuple[str, str]]:
        """The published pages that an order replaces; one that was put away stays so."""
        for old in shelf.remakes.older(number):
            if self.page(folder, old).is_file() and not is_put_away(self.out / "private", old):
                yield old, page_address(shelf.secret, old)

    def page(self, folder: str, number: str) -> Path:
        """Where the page of an order number is published."""
        return self.out / "upload" / page_address(self.shelves[folder].secret, number) / PAGE

    def look(self, address: str, number: str) -> str:
        """How a page and what is kept of its order looked when they were last looked at."""
        looks = self.published.by_name
        return f"{looks.get(page_name(address), '')} {looks.get(kept_name(number), '')}"

    def look_now(self, address: str, number: str) -> str:
        """The same, after another look at them."""
        look_at_page(self.published, str(self.out), address)
        look_at_kept(self.published, str(self.out), number)
        return self.look(address, number)


def replacing_first(paths: Sequence[str], plan: Plan) -> list[str]:
    """The orders that speak of a remake, each before those it replaces: their pages are what the older lead on to."""
    speaking = [path for path in paths if plan.file(path).text]
    return sorted(speaking, key=lambda path: -len(_chain(path, plan)))


def _chain(path: str, plan: Plan) -> list[str]:
    return list(plan.shelves[folder_of(path)].remakes.older(plan.number(path)))
