"""A draft from start to end: its source read, its number and its place settled, the text of the order file made."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from msgspec import Struct

from explain.draft.again import SHOP_NAME, earlier_path, read_earlier
from explain.draft.fhir import read_record
from explain.draft.next_number import file_with, next_number
from explain.draft.sources import Source, kind_in_words
from explain.draft.table import read_table
from explain.draft.taken import DraftError, Taken
from explain.draft.trace_order import read_trace_order
from explain.draft.typed_text import read_text
from explain.draft.writing import TRACES, open_paths, order_text
from explain.order import OrderError, read_shop
from explain.order.numbers import cut
from explain.order.order import is_order_number

ORDERS = Path("orders")
Copies = tuple[tuple[Path, bytes], ...]


class AskedError(DraftError):
    """Something that must be said on the command line first; the text says what and how."""


class Place(Struct, frozen=True):
    """Where a draft goes. path None: to the screen. number None: left to be typed."""

    number: str | None
    path: Path | None


class Draft(Struct, frozen=True):
    """One order file to finish: what was understood, where it goes, its text, and what is left to type.

    copies: files the order names that must lie beside it, with their content.
    """

    taken: Taken
    path: Path | None
    text: str
    open_paths: tuple[str, ...]
    copies: Copies = ()

    @property
    def files(self) -> Copies:
        """All that is written: the order, and the files it names; nothing where it is only shown."""
        return () if self.path is None else (*self.copies, (self.path, self.text.encode()))


def place_of(number: str | None, to: str | None) -> Place:
    """Where a draft goes, by its number or as named; with neither, under the next free number. Raises AskedError."""
    if number is not None and not is_order_number(number):
        raise AskedError(
            f"{cut(number)} cannot be the number of an order.\n"
            "Up to 40 letters, figures, dashes, points and underscores, starting with a letter or figure.\n"
            "Type it as in:   --order A-0001"
        )
    if to == "-":
        return Place(number, None)
    if not to and number is None:
        number = next_number(ORDERS)
    path = Path(to) if to else ORDERS / f"{number}.yaml"
    if number is None and is_order_number(path.stem):
        number = path.stem
    return Place(number, path)


def draft_of(sources: Sequence[Taken], words: str, place: Place, today: date, copies: Copies = ()) -> Draft:
    """The draft from what was taken, later sources over earlier ones; its number, and today as its date."""
    taken = Taken({"date": today.isoformat()})
    for source in sources:
        taken = source.over(taken)
    if place.number is not None:
        taken = Taken({"order": place.number}).over(taken)
    return Draft(taken, place.path, order_text(taken, words), tuple(open_paths(taken)), copies)


class Wish(Struct, frozen=True):
    """What was said on the command line: the number of the order, where to write, the earlier order to start from."""

    number: str | None = None
    to: str | None = None
    again: str | None = None


def drafts_from(source: Source | None, wish: Wish, today: date) -> list[Draft]:
    """The drafts of one source, of an earlier order, or of an earlier order with a new prescription.

    Raises DraftError where the source holds no prescription at all, or the earlier order cannot be carried on.
    """
    if source is not None and source.kind == "table":
        return _drafts_of_table(source, wish, today)
    place = place_of(wish.number, wish.to)
    if source is None and wish.again is None:
        raise AskedError(
            "There is nothing to start from.\n"
            "A draft starts from words, a file, - for standard input, or an earlier order.\n"
            "Name one, for example:   explain draft letter.txt"
        )
    folder = place.path.parent if place.path else ORDERS
    earlier = [] if wish.again is None else [read_earlier(earlier_path(wish.again, ORDERS), folder)]
    words = [] if wish.again is None else ["an earlier order"]
    if source is None:
        draft = draft_of(earlier, words[0], place, today)
    else:
        taken, copies = _taken_from(source, place)
        draft = draft_of([*earlier, taken], " and ".join([*words, kind_in_words(source)]), place, today, copies)
    if wish.number is None and wish.to is None:
        _refuse_second(draft)
    return [draft]


def _refuse_second(draft: Draft) -> None:
    """Raise AskedError where a draft that counted on by itself is that of a file already there: it was run twice."""
    same = file_with(draft.text, ORDERS)
    if same is not None:
        raise AskedError(
            f"{same.as_posix()} was started from the same words today, and nothing is typed in it yet.\n"
            "Running a draft twice would make two orders of one.\n"
            "Go on with that one. If it is another order, give it a number:   --order NUMBER"
        )


def _drafts_of_table(source: Source, wish: Wish, today: date) -> list[Draft]:
    """One draft for each row, in the folder named, or in orders/."""
    if wish.number is not None or wish.again is not None or wish.to == "-":
        raise AskedError(
            "A table holds its own numbers, one for each order.\nOnly a folder may be named beside it.\n"
            f"Leave the rest out:   explain draft {source.name}"
        )
    folder = Path(wish.to) if wish.to else ORDERS
    try:
        shop = read_shop(folder / SHOP_NAME)
    except OrderError as error:
        raise AskedError(str(error)) from None
    rows = read_table(source.text, source.name, shop, folder, today)
    words = kind_in_words(source)
    return [draft_of([row.taken], words, Place(row.number, folder / f"{row.number}.yaml"), today) for row in rows]


def _taken_from(source: Source, place: Place) -> tuple[Taken, Copies]:
    if source.kind == "trace":
        name, copies = _beside(source, place)
        return read_trace_order(source.data, source.name, name), copies
    return (read_record(source.text, source.name) if source.kind == "record" else read_text(source.text)), ()


def _beside(source: Source, place: Place) -> tuple[str, Copies]:
    """How an order names a trace file, and the copy that is needed where the file lies elsewhere."""
    folder = place.path.parent if place.path else ORDERS
    if source.path is not None and source.path.resolve().is_relative_to(folder.resolve()):
        return source.path.resolve().relative_to(folder.resolve()).as_posix(), ()
    name = f"{TRACES}/{place.number or (place.path.stem if place.path else 'NAME')}.txt"
    return name, ((folder / name, source.data),)
