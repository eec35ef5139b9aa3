"""Notices: plain pages put where a customer's page was, and what they replace kept in private/."""

from __future__ import annotations

from pathlib import Path

from markupsafe import Markup
from msgspec import Struct

from explain.language import page_locale, spoken
from explain.order.model import Shop
from explain.site.engine.transaction import Transaction
from explain.story.notices import Notice

PAGE = "index.html"
KEPT = "taken-down"
MARK = '<main class="notice">'
LEADS = '<a href="../'
"""Only in a notice that leads on to another page."""


class NoticeContext(Struct, frozen=True):
    """Everything templates/notice.html may use. leads_to: address of the page that takes its place, or empty."""

    lang: str
    title: str
    style: Markup
    notice: Notice
    leads_to: str
    shop_name: str
    phone: str
    phone_link: str
    hours: str


def notice_html(notice: Notice, shop: Shop, leads_to: str = "") -> str:
    """Write a notice as HTML text."""
    from explain.site.render import phone_link, style  # noqa: PLC0415  slow to import
    from explain.site.templating import environment  # noqa: PLC0415

    context = NoticeContext(
        page_locale(shop.locale, spoken().code).replace("_", "-"), notice.heading, style(), notice, leads_to,
        shop.name, shop.phone, phone_link(shop.phone), shop.hours,
    )  # fmt: skip
    fields = {name: getattr(context, name) for name in NoticeContext.__struct_fields__}
    return environment().get_template("notice.html").render(**fields)


def put_notice(changes: Transaction, folder: Path, kept: Path, html: bytes) -> None:
    """Put a notice where a page was; what it stands for, and everything else in its folder, moves to kept."""
    page = folder / PAGE
    before = page.read_bytes() if page.is_file() else b""
    if before and MARK.encode() not in before:
        changes.put(kept / PAGE, before)
    changes.put(page, html)
    for other in sorted(folder.iterdir()) if folder.is_dir() else ():
        if other.name != PAGE:
            changes.move(other, kept / other.name)


def put_back(changes: Transaction, folder: Path, kept: Path) -> bool:
    """Put back what a notice stands for. False where nothing was kept: the notice then stays until a build."""
    if not (kept / PAGE).is_file():
        return False
    for one in sorted(kept.iterdir()):
        changes.move(one, folder / one.name)
    return True
