"""The gallery of messages: each NAME.yaml is a file with something wrong, and NAME.txt the exact text it must give.

A name that starts with shop_ is a shop file, NAME.md an answer for everyone. What starts with doubt is only doubted.
remake_ starts orders that name another one of the gallery.
pair_ and doubt_pair_ start orders whose fault or doubt shows only once the pair is worked out.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from explain.order import OrderError, read_order, read_shop
from explain.order.answer import read_answer
from explain.site.checking import judged
from explain.site.remakes import Remakes, refuse_odd_remake

HERE = Path(__file__).resolve().parent
ANSWERS = ("thick-edges", "light-reactive-in-the-car")
SHOP = HERE.parent / "order" / "shop.yaml"


def examples() -> list[Path]:
    """Every file of the gallery, by name."""
    return sorted((*HERE.glob("*.yaml"), *HERE.glob("*.md")))


def message_of(path: Path) -> str:
    """What is said about a file: all its faults, or all its doubts."""
    with inside(HERE):
        shown = path.relative_to(HERE)
        try:
            if path.name.startswith("shop_"):
                read_shop(shown)
                return ""
            if path.suffix == ".md":
                return "".join(f"{doubt}\n" for doubt in read_answer(shown, ANSWERS).doubts)
            read = read_order(shown, read_shop(SHOP))
            if path.name.removeprefix("doubt_").startswith("pair_"):
                result, _ = judged(shown, read, read_shop(SHOP))
                return "".join(f"{finding}\n" for finding in (*result.faults, *result.doubts))
            if path.name.startswith("remake_"):
                refuse_odd_remake(read, Remakes.in_folder(shown.parent))
            doubts = read.doubts
        except OrderError as error:
            return f"{error}\n"
        return "".join(f"{doubt}\n" for doubt in doubts)


@contextmanager
def inside(folder: Path) -> Iterator[None]:
    """Stand in a folder for a while, so that messages show the short name of a file."""
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)
