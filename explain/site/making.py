"""Making: one order in, everything that is published and kept of it out, as bytes; in whichever process it is sent to.

It writes nothing: what comes of an order is handed back with a digest, and put in place where the build was started.
"""

from __future__ import annotations

import hashlib
import pickle
from collections.abc import Mapping, Sequence
from datetime import date
from functools import lru_cache
from pathlib import Path

from msgspec import Struct, field
from msgspec.structs import replace

from explain.charts.kept import keep_in
from explain.language import page_locale, speaking, spoken
from explain.order import read_order
from explain.order.answer import Answer
from explain.order.faults import OrderError
from explain.order.model import Order, Shop
from explain.site.checking import judged
from explain.site.desk.note import NOTE_NAME, Note, note_text
from explain.site.earlier import NONE, Earlier, Text
from explain.site.notices import notice_html
from explain.site.own import Own, goes_wrong_in_parts, part_fails
from explain.site.places import CALENDAR_NAME
from explain.site.remakes import Remakes, refuse_odd_remake
from explain.site.results import Result
from explain.site.retired import Retirement, retirement_by
from explain.site.seal import key_part, published_html, published_notice
from explain.site.shops import need_order_file
from explain.site.standing import Standing
from explain.site.survey import digest_of
from explain.story.more import more_answers
from explain.story.notices import replaced_notice, retired_notice
from explain.story.page import locale_of_page, tell
from explain.story.pair import Pair
from explain.story.reminders import reminders

PAGE = "index.html"
Traces = tuple[tuple[Path, str], ...]
"""Files that a frame was read from, each with the digest of its bytes then."""


class Kit(Struct, frozen=True):
    """What the orders of one folder share.

    answers: those that a page may lead on to, without their texts. kept: folder of what is drawn once for all.
    program: digest of the program and its libraries.
    """

    shop: Shop
    own: Own
    answers: tuple[Answer, ...]
    today: date | None
    kept: Path | None = None
    program: str = ""


class Task(Struct, frozen=True):
    """One order to make. number, address: as its file seems to say, and where such a page lies.

    retired: what is recorded of its page. led_to: number and address of the order whose page takes its place, or
    None; number alone where that is unclear. older: number and address of each published page that this one replaces.
    remakes: only for an order that speaks of a remake. earlier: texts that were noted when it was made before.
    """

    path: Path
    number: str
    address: str
    retired: Retirement | None = None
    led_to: tuple[str, str] | None = None
    older: tuple[tuple[str, str], ...] = ()
    remakes: Remakes | None = None
    earlier: Mapping[str, Text] = NONE


class Product(Struct, frozen=True):
    """What came of a task. read_digest: of the bytes of the order that were read.

    upload, private: files by name for the page's own folder, and for what is kept of the order; None: a file that is to
    go. notice: the page put in place of its own. older: notices for the pages it replaces, by number. traces: files
    that its frame was read from, each with the digest of its bytes then. digest: over every byte handed back.
    """

    result: Result
    read_digest: str = ""
    ordered_on: str = ""
    upload: Mapping[str, bytes | None] = field(default_factory=dict)
    private: Mapping[str, bytes | None] = field(default_factory=dict)
    notice: bytes = b""
    older: Mapping[str, bytes] = field(default_factory=dict)
    traces: Traces = ()
    digest: str = ""

    def sealed(self) -> Product:
        """The same with its digest."""
        return replace(self, digest=self.digest_now())

    def digest_now(self) -> str:
        """Digest of the bytes as they are here; another one than `digest` means that they were damaged on the way."""
        digest = hashlib.blake2b(self.notice, digest_size=16)
        for files in (self.upload, self.private, self.older):
            for name, data in files.items():
                digest.update(f"{name}\0{-1 if data is None else len(data)}\0".encode())
                digest.update(data or b"")
        return digest.hexdigest()


def pack(kit: Kit) -> bytes:
    """The kit as bytes, to be sent along."""
    return pickle.dumps(kit)


@lru_cache(maxsize=8)
def _unpack(packed: bytes) -> Kit:
    """The kit that our own `pack` made."""
    kit: Kit = pickle.loads(packed)  # noqa: S301  it comes from the process that started the build
    return kit


def make_all(packed: bytes, tasks: Sequence[Task]) -> list[Product]:
    """Make each order of a chunk."""
    kit = _unpack(packed)
    keep_in(kit.kept)
    return [make(task, kit) for task in tasks]


def make(task: Task, kit: Kit) -> Product:
    """Read one order, judge it, and write all that belongs to it."""
    try:
        need_order_file(task.path)
        digest = digest_of(task.path)
        read = read_order(task.path, kit.shop)
        if task.remakes is not None:
            refuse_odd_remake(read, task.remakes)
    except OrderError as error:
        return Product(Result(task.path, error.faults)).sealed()
    traced = read.order.frame.traced_from
    traces = ((traced, digest_of(traced)),) if traced else ()
    result, pair = judged(task.path, read, kit.shop)
    if pair is None or result.number != task.number:
        return Product(result, digest).sealed()
    try:
        return _made(task, kit, result, pair, digest, traces).sealed()
    except goes_wrong_in_parts() as error:
        if not kit.own.has_parts:
            raise
        return Product(result.with_fault(part_fails(task.path.parent, error)), digest).sealed()


def _made(task: Task, kit: Kit, result: Result, pair: Pair, digest: str, traces: Traces) -> Product:
    order = pair.order
    standing = _standing(task, order, kit)
    common = Product(
        replace(result, standing=standing),
        digest,
        order.ordered_on.isoformat(),
        traces=traces,
    )
    if standing.is_page:
        return _page(task, kit, pair, common)
    leads = ""
    if task.led_to and standing.led_to:
        newer, at = task.led_to
        leads = f"../{at}/{PAGE}{key_part(kit.shop, newer)}" if at else ""
    has_notice = standing.is_away or leads
    notice = _notice(order, kit.shop, leads, task.number) if has_notice else b""
    return replace(common, notice=notice, private={NOTE_NAME: _desk_note(task, kit, pair, common)})


def _standing(task: Task, order: Order, kit: Kit) -> Standing:
    due = retirement_by(task.retired, order, kit.shop)
    is_due = due is not None and (due == task.retired if kit.today is None else due.on <= kit.today)
    if is_due:
        return Standing(due, is_away=True)
    return Standing(due, led_to=task.led_to[0] if task.led_to else "")


def _page(task: Task, kit: Kit, pair: Pair, common: Product) -> Product:
    from explain.site.desk.papers import papers  # noqa: PLC0415  what only a page needs is slow to import
    from explain.site.numbers import numbers_text  # noqa: PLC0415
    from explain.site.render import render  # noqa: PLC0415

    order, shop = pair.order, pair.shop
    with speaking(locale_of_page(pair)):
        more = more_answers(order, kit.answers)
        html = render(tell(pair), more, kit.own.texts)
        html = published_html(pair, html)
        earlier = Earlier(task.earlier, kit.program)
        paper_texts = papers(pair, task.address, earlier)
        calendar = None if shop.sealed else _calendar(task, pair, earlier)
    leads = f"../{task.address}/{PAGE}{key_part(shop, task.number)}"
    answers = tuple(sorted({link.name for links in more.values() for link in links}))
    private = {
        "numbers.json": numbers_text(pair),
        **paper_texts,
        "made-from.txt": f"{task.path.name}\n",
    }
    return replace(
        common,
        upload={CALENDAR_NAME: None if calendar is None else calendar.encode(), PAGE: html.encode()},
        private={
            NOTE_NAME: _desk_note(task, kit, pair, common, answers, earlier.now),
            **{name: None if text is None else text.encode() for name, text in private.items()},
        },
        older={old: _notice(order, shop, leads, old) for old, _ in task.older},
    )


def _calendar(task: Task, pair: Pair, earlier: Earlier) -> str | None:
    """The reminders as a calendar file; None where there are none."""
    remind = reminders(pair.order, pair.shop)
    if not remind:
        return None

    def make() -> str:
        from explain.site.calendar_file import calendar_text  # noqa: PLC0415  slow to import, and seldom needed

        return calendar_text(remind, task.address, pair.order.ordered_on)

    return earlier.text("calendar", (remind, task.address, pair.order.ordered_on, spoken().code), make)


def _desk_note(
    task: Task,
    kit: Kit,
    pair: Pair,
    product: Product,
    answers: tuple[str, ...] = (),
    texts: Mapping[str, Text] = NONE,
) -> bytes:
    """What the desk keeps of an order. answers: names of those that its page leads on to. texts: to be used again."""
    from explain.site.desk.rows import built_row, lines_to_type, row_html  # noqa: PLC0415  slow to import
    from explain.site.desk.stands import Stands  # noqa: PLC0415

    result, order = product.result, pair.order
    standing = result.standing
    going = standing.retirement.on if standing.retirement and not standing.led_to else None
    stands = Stands(standing.is_away, standing.led_to, going)
    to_type = lines_to_type(task.path)
    row = built_row(order, kit.shop, kit.own.texts, task.address, result.doubts, stands, to_type)
    return note_text(Note(product.read_digest, row.warnings, row_html(row), answers, dict(texts))).encode()


def _notice(order: Order, shop: Shop, leads_to: str = "", number: str = "") -> bytes:
    """A notice for the page of an order number; one that leads on is sealed where pages are."""
    with speaking(page_locale(shop.locale, order.language or shop.language)):
        html = notice_html(replaced_notice() if leads_to else retired_notice(), shop, leads_to)
        return (published_notice(html, shop, number) if leads_to else html).encode()
