"""Rows: what the desk knows of each order, newest first: how far it has come, what to send, and when to call."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from types import MappingProxyType

from msgspec import Struct

from explain.draft.writing import TO_TYPE
from explain.order import read_plan, read_shop
from explain.order.faults import Doubt, Fault, OrderError
from explain.order.model import Order, Shop
from explain.site.desk.link import page_link, published_address
from explain.site.desk.message import Message, message_for
from explain.site.desk.note import read_note
from explain.site.desk.papers import BENCH_NAME, PAPER_NAMES
from explain.site.desk.stands import Stands, what_stands
from explain.site.own import read_own
from explain.site.owners import MADE_FROM, other_owner
from explain.site.remakes import Remakes, text_of
from explain.site.survey import digest_of
from explain.site.templating import Texts, environment
from explain.story.diary import recheck_day

SHOP_NAME = "shop.yaml"
LINE_TO_TYPE = re.compile(rf"^[ -]*[\w-]+:[ ]+# {TO_TYPE}", re.MULTILINE)
"""A line of a draft with nothing typed in it yet; the same words behind a value, or in the heading, are none."""
OPEN, DOUBTS, CHECKED, PUBLISHED = "open", "doubts", "checked", "published"
"""How far an order has come: faults or lines to type; warnings and no page; neither and no page; a page is built."""
RETIRED, LED_ON = "retired", "leads on"
"""A notice stands in place of the page: it was put away; it leads on to the page of a newer order."""

NONE: Mapping[Path, Remakes] = MappingProxyType({})
Found = tuple[tuple[Fault, ...], tuple[Doubt, ...]]


class Row(Struct, frozen=True):
    """One order. number: the file's name where it cannot be read. remarks: faults first, then warnings, in words.

    address: of the page that is built, None for no page; link and message: what to send, only where the shop has a
    web address and the order's own page stands there. is_changed: the file is not the one that the page was built from.
    led_to: number of the order whose page takes its place. goes_on: the day its page went or will go.
    """

    number: str
    file: str
    first_name: str
    ordered_on: date | None
    state: str
    to_type: int
    faults: tuple[str, ...]
    warnings: tuple[str, ...]
    measured_on: date | None
    follow_up: date | None
    address: str | None
    link: str
    message: Message | None
    is_changed: bool
    papers: tuple[str, ...]
    led_to: str = ""
    goes_on: date | None = None

    @property
    def key_part(self) -> str:
        """The end of the link that opens a sealed page, from its # on; empty for a page in clear."""
        return "".join(self.link.partition("#")[1:])


class _Desk(Struct, frozen=True):
    """One folder of orders, and where its pages are built."""

    shop: Shop
    own: Texts
    remakes: Remakes
    out: Path
    built_from: Mapping[str, str]


def desk_rows(
    files: Sequence[Path], out: Path, found: Mapping[Path, Found] | None = None, remakes: Mapping[Path, Remakes] = NONE
) -> list[Row]:
    """A row for each order file, newest first, those without a date before all others.

    found: faults and doubts of the orders that were worked out now; others are only read, and their warnings are
    those that the last build noted. remakes: of each folder, where they are known. A folder whose shop file has faults
    has no rows.
    """
    desks = {folder: _desk(folder, out, remakes) for folder in dict.fromkeys(path.parent for path in files)}
    rows = [_row(path, desk, (found or {}).get(path)) for path in files if (desk := desks[path.parent]) is not None]
    return sorted(rows, key=lambda row: (row.ordered_on or date.max, row.number), reverse=True)


def row_html(row: Row) -> str:
    """One order on the desk, at length."""
    return environment().get_template("desk-row.html").render(row=row, paper_names=PAPER_NAMES)


def built_row(
    order: Order, shop: Shop, own: Texts, address: str, doubts: Sequence[Doubt], stands: Stands, to_type: int
) -> Row:
    """The row of an order that was just made, or has a notice in place of its page."""
    link = page_link(shop, address, order.number)
    is_own = not (stands.is_away or stands.led_to)
    return Row(
        number=order.number,
        file=order.path.name,
        first_name=order.first_name,
        ordered_on=order.ordered_on,
        state=RETIRED if stands.is_away else LED_ON if stands.led_to else PUBLISHED,
        to_type=to_type,
        faults=(),
        warnings=tuple(_short(doubt) for doubt in doubts),
        measured_on=order.checked.on if order.checked else None,
        follow_up=recheck_day(order),
        address=address,
        link=link,
        message=message_for(order, shop, link, own) if is_own and shop.web_address is not None else None,
        is_changed=False,
        papers=tuple(PAPER_NAMES) if is_own and shop.web_address is not None else (BENCH_NAME,),
        led_to=stands.led_to,
        goes_on=stands.goes_on,
    )


def _desk(folder: Path, out: Path, remakes: Mapping[Path, Remakes]) -> _Desk | None:
    try:
        shop = read_shop(folder / SHOP_NAME)
    except (OrderError, OSError):
        return None
    records = sorted((out / "private").glob(f"*/{MADE_FROM}"))
    built_from = {
        record.read_text(encoding="utf-8", errors="replace").strip(): record.parent.name for record in records
    }
    try:
        own: Texts = read_own(folder).texts
    except OrderError:
        own = ()
    return _Desk(shop, own, remakes.get(folder) or Remakes.in_folder(folder), out, built_from)


def _row(path: Path, desk: _Desk, found: Found | None) -> Row:
    order, faults, doubts = _read(path, desk.shop, found)
    number = order.number if order else desk.built_from.get(path.name, "")
    owner = other_owner(desk.out / "private", number, path, desk.shop) if number else None
    address = published_address(desk.out, path.parent, number) if number and owner is None else None
    noted = read_note(desk.out / "private", number)
    is_changed = address is not None and noted.file != digest_of(path)
    warnings = tuple(_short(doubt) for doubt in doubts)
    if found is None and address is not None and not is_changed:
        warnings = noted.warnings
    to_type = lines_to_type(path)
    told = tuple(_short(fault) for fault in faults)
    if owner is not None and not told:
        told = (f"its number is that of {owner.name}, whose page is built",)
    link = page_link(desk.shop, address, number) if address else ""
    stands = what_stands(number, path, order, desk.shop, desk.remakes, desk.out) if address else Stands()
    is_own = not (stands.is_away or stands.led_to)
    can_send = address is not None and desk.shop.web_address is not None and is_own
    return Row(
        number=number or path.name,
        file=path.name,
        first_name=order.first_name if order else "",
        ordered_on=order.ordered_on if order else None,
        state=RETIRED if stands.is_away else LED_ON if stands.led_to else _state(told, address, doubts, to_type),
        to_type=to_type,
        faults=told,
        warnings=warnings,
        measured_on=order.checked.on if order and order.checked else None,
        follow_up=recheck_day(order) if order else None,
        address=address,
        link=link,
        message=message_for(order, desk.shop, link, desk.own) if order and can_send else None,
        is_changed=is_changed,
        papers=_papers(desk.out / "private" / number, with_cards=is_own) if number and owner is None else (),
        led_to=stands.led_to,
        goes_on=stands.goes_on,
    )


def _read(path: Path, shop: Shop, found: Found | None) -> tuple[Order | None, tuple[Fault, ...], tuple[Doubt, ...]]:
    try:
        read = read_plan(path, shop)
    except OrderError as error:
        return None, found[0] if found and found[0] else error.faults, ()
    return (read.order, *found) if found else (read.order, (), read.doubts)


def _state(faults: Sequence[str], address: str | None, doubts: Sequence[Doubt], to_type: int) -> str:
    if faults or (to_type and address is None):
        return OPEN
    if address is not None:
        return PUBLISHED
    return DOUBTS if doubts else CHECKED


def _papers(folder: Path, *, with_cards: bool) -> tuple[str, ...]:
    names = PAPER_NAMES if with_cards else (BENCH_NAME,)
    return tuple(name for name in names if (folder / name).is_file())


def lines_to_type(path: Path) -> int:
    """How many lines of a draft have nothing typed in them yet."""
    return len(LINE_TO_TYPE.findall(text_of(path)))


def _short(finding: Fault | Doubt) -> str:
    return f"line {finding.line}: {finding.message}" if finding.line else finding.message
