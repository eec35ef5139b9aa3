"""Stands: whether an order's own page is at its address, or a notice in its place; read from the disk, no clock."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from msgspec import Struct

from explain.order.model import Order, Shop
from explain.site.desk.link import published_address
from explain.site.notices import MARK, PAGE
from explain.site.remakes import Remakes
from explain.site.retired import is_put_away, retirement_of

UNNAMED = "another order"
"""What a page leads on to where the newer order's file cannot be read just now."""


class Stands(Struct, frozen=True):
    """is_away: the page was put away. led_to: number of the order it leads on to, or empty.

    goes_on: the day the page went or will go; None where it stays for good, or is not known.
    """

    is_away: bool = False
    led_to: str = ""
    goes_on: date | None = None


def what_stands(number: str, path: Path, order: Order | None, shop: Shop, remakes: Remakes, out: Path) -> Stands:
    """What stands at the address of an order whose page is built."""
    is_away = is_put_away(out / "private", number) and _is_notice(number, path, out)
    led_to = "" if is_away else _led_to(number, path, remakes, out)
    retirement = None if order is None or led_to else retirement_of(order, shop, out / "private")
    return Stands(is_away, led_to, retirement.on if retirement else None)


def _led_to(number: str, path: Path, remakes: Remakes, out: Path) -> str:
    newest = remakes.newest(number)
    if newest != number and published_address(out, path.parent, newest):
        return newest
    return UNNAMED if remakes.is_named(number, path) and _is_notice(number, path, out) else ""


def _is_notice(number: str, path: Path, out: Path) -> bool:
    address = published_address(out, path.parent, number)
    return address is not None and MARK in (out / "upload" / address / PAGE).read_text(encoding="utf-8")
