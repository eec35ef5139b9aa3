"""Standing: what stands at an order's address, its page or a notice in its place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from explain.language import page_locale, speaking
from explain.order.model import Order, Shop
from explain.site.address import page_address, read_or_make_secret
from explain.site.notices import KEPT, MARK, PAGE, notice_html, put_notice
from explain.site.remakes import Remakes
from explain.site.retired import Retirement, read_retirement, retirement_of, write_retirement
from explain.story.notices import replaced_notice, retired_notice


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands there. retirement: when its page is, or will be, put away; is_away: it is.

    led_to: number of the newer order whose page takes its place; empty where none does.
    """

    retirement: Retirement | None = None
    is_away: bool = False
    led_to: str = ""

    @property
    def is_page(self) -> bool:
        """True where the order's own page stands there."""
        return not (self.is_away or self.led_to)


STANDING = Standing()


def instead_of_page(order: Order, shop: Shop, remakes: Remakes, out: Path, today: date | None) -> Standing:
    """Put a notice in place of an order's page where one is due, and say which.

    That is where the page was put away, where its time is over by today, and where a newer page takes its place.
    today: None: only what was recorded as put away, whatever its day.
    """
    retirement = retirement_of(order, shop, out / "private")
    if _put_away_if_due(order, shop, retirement, out, today):
        return Standing(retirement, is_away=True)
    newest = _led_to(order, remakes, out)
    if newest and newest != _UNCLEAR:
        _lead_on(order.number, newest, order, shop, out)
    return Standing(retirement, led_to=newest)


def lead_older_on(order: Order, shop: Shop, remakes: Remakes, out: Path) -> None:
    """Put a notice that leads to this order's page where the pages of the orders it replaces are published."""
    for old in remakes.older(order.number):
        if _page(order, old, out).is_file():
            _lead_on(old, order.number, order, shop, out)


_UNCLEAR = "another order"


def _put_away_if_due(order: Order, shop: Shop, due: Retirement | None, out: Path, today: date | None) -> bool:
    private = out / "private"
    recorded = read_retirement(private, order.number)
    is_due = due == recorded if today is None else due is not None and due.on <= today
    if due is None or not is_due:
        return False
    kept = private / order.number / KEPT
    with speaking(_locale(order, shop)):
        put_notice(_page(order, order.number, out).parent, kept, notice_html(retired_notice(), shop))
    if recorded != due:
        write_retirement(private, order.number, due)
    return True


def _led_to(order: Order, remakes: Remakes, out: Path) -> str:
    """The newer order whose published page takes the place of this one's; empty where this order has its own.

    A page that leads on stays so while another file still speaks of it, even one that cannot be read just now.
    """
    newest = remakes.newest(order.number)
    if newest != order.number and _page(order, newest, out).is_file():
        return newest
    page = _page(order, order.number, out)
    is_notice = page.is_file() and MARK in page.read_text(encoding="utf-8")
    return _UNCLEAR if is_notice and remakes.is_named(order.number, order.path) else ""


def _lead_on(old: str, new: str, order: Order, shop: Shop, out: Path) -> None:
    """Put a notice at an old page's address that leads to the new page, unless the old one was put away."""
    retired = read_retirement(out / "private", old)
    if retired is None or retired.is_undone:
        with speaking(_locale(order, shop)):
            html = notice_html(replaced_notice(), shop, f"../{_page(order, new, out).parent.name}/{PAGE}")
        put_notice(_page(order, old, out).parent, out / "private" / old / KEPT, html)


def _locale(order: Order, shop: Shop) -> str:
    return page_locale(shop.locale, order.language or shop.language)


def _page(order: Order, number: str, out: Path) -> Path:
    """Where the page of an order number is published, in the shop of this order."""
    return out / "upload" / page_address(read_or_make_secret(order.path.parent), number) / PAGE
