"""Named: which files are meant by the orders named on a command line, and whether the command was typed astray."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path

from explain.commands.door import shell_word

ORDERS = Path("orders")
SHOP_NAME = "shop.yaml"
ENDING = ".yaml"


def named(given: Sequence[Path]) -> list[Path]:
    """The files meant by names: files, a folder of orders, numbers, or a pattern that the shell left as it is.

    The folder orders/ alone means every order, as no name at all does. A name that means no file stays as it was typed.
    """
    if len(given) == 1 and given[0].is_dir() and given[0].resolve() == ORDERS.resolve():
        return []
    return [path for name in given for path in _meant(name)]


def astray(args: argparse.Namespace) -> str:
    """Say that there is no folder of orders here, and where one is, for a command that needs it; else empty."""
    if ORDERS.is_dir() or not _needs_orders(args):
        return ""
    return "\n".join((f"There is no order here: this folder has no folder {ORDERS}/ in it.", *_ways_back()))


def _meant(name: Path) -> Iterator[Path]:
    if name.is_dir():
        files = [path for path in sorted(name.glob(f"*{ENDING}")) if not path.name.startswith(".")]
        yield from files or [name]
    elif "*" in name.name and not name.exists():
        yield from sorted(name.parent.glob(name.name)) or [name]
    else:
        with_ending = name.with_name(f"{name.name}{ENDING}")
        places = (name, with_ending, ORDERS / name, ORDERS / with_ending)
        yield next((path for path in places if path.is_file()), name)


def _needs_orders(args: argparse.Namespace) -> bool:
    """True for a command that looks in orders/ because nothing else was named."""
    if hasattr(args, "orders"):
        return not args.orders
    if hasattr(args, "again"):
        return args.to is None
    if hasattr(args, "undo"):
        return not Path(args.order).is_file()
    return ORDERS in (
        getattr(args, "folder", None),
        args.out if not hasattr(args, "folder") and "out" in args else None,
    )


def _ways_back() -> Iterator[str]:
    here = Path.cwd()
    if (here / SHOP_NAME).is_file() and here.name == ORDERS.name:
        yield "This is the folder of the orders itself. Go to the one above it:   cd .."
        return
    above = next((folder for folder in here.parents if (folder / ORDERS / SHOP_NAME).is_file()), None)
    inside = sorted(path.parent.parent for path in Path().glob(f"*/{ORDERS}/{SHOP_NAME}"))
    for folder in [above] if above else inside[:1]:
        yield f"There are some in another folder. Go there:   cd {shell_word(folder)}"
        return
    yield "Go to the folder that holds it. Or lay out a new shop:   explain begin my-shop"
