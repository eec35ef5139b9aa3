"""Notices: plain pages put where a customer's page was, and what they replace kept in private/."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

from markupsafe import Markup

from explain.language import page_locale, spoken
from explain.order.model import Shop
from explain.site.publish import write_whole
from explain.story.notices import Notice

PAGE = "index.html"
KEPT = "taken-down"
MARK = '<main class="notice">'


@dataclass(frozen=True, slots=True)
class NoticeContext:
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
    from explain.site.render import environment, phone_link, style  # noqa: PLC0415  slow to import

    context = NoticeContext(
        page_locale(shop.locale, spoken().code).replace("_", "-"), notice.heading, style(), notice, leads_to,
        shop.name, shop.phone, phone_link(shop.phone), shop.hours,
    )  # fmt: skip
    fields = {name: getattr(context, name) for name in NoticeContext.__slots__}
    return environment().get_template("notice.html").render(**fields)


def put_notice(folder: Path, kept: Path, html: str) -> bool:
    """Put a notice where a page was; everything else in its folder moves to kept. True where that changed anything."""
    page = folder / PAGE
    before = page.read_text(encoding="utf-8") if page.is_file() else ""
    if before and MARK not in before:
        write_whole(kept / PAGE, before)
    if before != html:
        write_whole(page, html)
    for other in sorted(folder.iterdir()):
        if other.name != PAGE:
            kept.mkdir(parents=True, exist_ok=True)
            (kept / other.name).unlink(missing_ok=True)
            shutil.move(other, kept / other.name)
    return before != html


def put_back(folder: Path, kept: Path) -> bool:
    """Put back what a notice stands for. False where nothing was kept: the notice then stays until a build."""
    if not (kept / PAGE).is_file():
        return False
    write_whole(folder / PAGE, (kept / PAGE).read_text(encoding="utf-8"))
    (kept / PAGE).unlink()
    for other in sorted(kept.iterdir()):
        shutil.move(other, folder / other.name)
    kept.rmdir()
    return True
