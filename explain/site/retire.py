"""Retire: put one page away by hand, or bring it back."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from msgspec import Struct

from explain.language import page_locale, speaking
from explain.order import read_shop
from explain.order.document import read_document
from explain.order.nodes import Text
from explain.order.order import is_order_number
from explain.site.address import SECRET_NAME, lost_secret_text, page_address, read_or_make_secret
from explain.site.engine.lock import only_one
from explain.site.engine.transaction import Transaction, complete_interrupted
from explain.site.notices import KEPT, LEADS, MARK, PAGE, notice_html, put_back, put_notice
from explain.site.retired import RECORD, Retirement, read_retirement, retirement_text
from explain.site.seal import is_sealed
from explain.story.notices import retired_notice

SHOP_NAME = "shop.yaml"


class RetireError(Exception):
    """A page that cannot be put away or brought back; the message says why, and what to type."""


class Published(Struct, frozen=True):
    """The page of one order: its number, the folder of its shop, and the folders of its page and of its record."""

    number: str
    shop_folder: Path
    folder: Path
    private: Path

    @property
    def record(self) -> Path:
        """Where it is recorded that the page is put away."""
        return self.private / self.number / RECORD

    @property
    def kept(self) -> Path:
        """Where what was taken down is kept."""
        return self.private / self.number / KEPT


def published(order: str, out: Path) -> Published:
    """The published page of an order, named by its number or its file. Raises RetireError."""
    number, shop_folder = _number_and_folder(order)
    if not (shop_folder / SECRET_NAME).is_file():
        raise RetireError(lost_secret_text(shop_folder))
    folder = out / "upload" / page_address(read_or_make_secret(shop_folder), number)
    if not (folder / PAGE).is_file():
        raise RetireError(
            f"{number}: no page of this order lies in {(out / 'upload').as_posix()}.\n"
            "A page can be put away once it was built.\n"
            "Check the number, in capital and small letters; or name the folder of the build:   --out FOLDER"
        )
    return Published(number, shop_folder, folder, out / "private")


def retire(page: Published, retirement: Retirement, today: date) -> bool:
    """Record a retirement and put the notice in place. False where its day is still to come."""
    shop = read_shop(page.shop_folder / SHOP_NAME)
    with _changes(page) as changes:
        changes.put(page.record, retirement_text(retirement))
        if retirement.on <= today:
            with speaking(page_locale(shop.locale, shop.language)):
                put_notice(changes, page.folder, page.kept, notice_html(retired_notice(), shop).encode())
    return retirement.on <= today


def bring_back(page: Published, today: date) -> bool:
    """Bring a page back as it was, or keep it; its time counts anew from today. False where that takes a build."""
    recorded = read_retirement(page.private, page.number)
    if recorded is None or recorded.is_undone:
        raise RetireError(
            f"{page.number}: this page was not put away.\n"
            "Only a page that was put away can be brought back.\n"
            f"To put it away:   explain retire {page.number}"
        )
    with _changes(page) as changes:
        changes.put(page.record, retirement_text(Retirement(today, recorded.why, is_undone=True)))
        is_back = not is_away(page) or (_is_as_published_now(page) and put_back(changes, page.folder, page.kept))
    if page.kept.is_dir() and not any(page.kept.iterdir()):
        page.kept.rmdir()
    return is_back


def is_away(page: Published) -> bool:
    """True where a notice says that the page was put away. One that leads on to the page of a newer order does not."""
    html = (page.folder / PAGE).read_text(encoding="utf-8", errors="replace")
    return MARK in html and LEADS not in html


def _is_as_published_now(page: Published) -> bool:
    """False for a page that was kept in clear by a shop that seals its pages now, or the other way round."""
    kept = page.kept / PAGE
    shop = read_shop(page.shop_folder / SHOP_NAME)
    return not kept.is_file() or is_sealed(kept.read_text(encoding="utf-8")) == shop.sealed


@contextmanager
def _changes(page: Published) -> Iterator[Transaction]:
    """Changes to what is published, put in place together on leaving, while no build writes there."""
    out = page.private.parent
    with only_one(out):
        complete_interrupted(out)
        changes = Transaction(out)
        yield changes
        changes.commit()


def _number_and_folder(order: str) -> tuple[str, Path]:
    if Path(order).is_file():
        return _number_in(Path(order)), Path(order).parent
    if not is_order_number(order):
        raise RetireError(
            f"{order}: this is neither the number of an order nor its file.\n"
            "An order is named as on its first line, or by its file.\n"
            "For example:   explain retire QH-2101"
        )
    return order, Path("orders")


def _number_in(path: Path) -> str:
    group, _ = read_document(path)
    entry = group.entries.get("order")
    number = entry.value.text.strip() if entry and isinstance(entry.value, Text) else ""
    if not is_order_number(number):
        raise RetireError(
            f"{path.as_posix()}: there is no number of an order in this file.\n"
            "It stands on a line that begins with   order:\n"
            "Type the number itself instead of the file, for example:   explain retire QH-2101"
        )
    return number
