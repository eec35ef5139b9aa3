"""Owners: which order file a number belongs to, so that no customer's link ever shows another's page."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from explain.order import read_order
from explain.order.faults import OrderError
from explain.order.model import Shop
from explain.site.publish import write_whole

MADE_FROM = "made-from.txt"


def shared_numbers(orders: Sequence[tuple[Path, Shop]]) -> dict[str, tuple[Path, ...]]:
    """Numbers that more than one of these order files uses, with those files.

    Capital and small letters count as the same, since some disks file them in one folder. A file with faults has no
    number yet.
    """
    files: dict[str, list[Path]] = {}
    for path, shop in orders:
        try:
            number = read_order(path, shop).order.number
        except OrderError:
            continue
        files.setdefault(number.casefold(), []).append(path)
    return {number: tuple(paths) for number, paths in files.items() if len(paths) > 1}


def other_owner(private: Path, number: str, path: Path, shop: Shop) -> Path | None:
    """File beside this one that the published page was made from and that still has the same number; else None.

    A file that was only renamed, or given another number since, is no longer an owner.
    """
    record = private / number / MADE_FROM
    if not record.is_file():
        return None
    other = path.parent / Path(record.read_text(encoding="utf-8", errors="replace").strip()).name
    if other.name == path.name or not other.is_file():
        return None
    try:
        same = read_order(other, shop).order.number.casefold() == number.casefold()
    except OrderError:
        same = True  # it may still be the owner: leave the page alone
    return other if same else None


def has_pages_from(private: Path, shop_folder: Path) -> bool:
    """True where pages were published from order files that lie in this folder."""
    records = private.glob(f"*/{MADE_FROM}")
    return any(
        (shop_folder / Path(record.read_text(encoding="utf-8", errors="replace").strip()).name).is_file()
        for record in records
    )


def record_owner(private: Path, number: str, path: Path) -> None:
    """Note which file a page was made from."""
    write_whole(private / number / MADE_FROM, path.name + "\n")
