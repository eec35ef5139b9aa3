"""The next free number of an order, where none was said: one above all that were ever used here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

FIRST = "A-0001"
COUNTED = re.compile(r"([A-Za-z0-9._-]*?)(\d{1,9})")
NUMBER = re.compile(r"""^\W?order:\s*["']?([A-Za-z0-9][A-Za-z0-9._-]*)""", re.MULTILINE)
ORDER_LINE = re.compile(r"^order:.*$", re.MULTILINE)
LARGEST_BYTES = 200_000


def next_number(folder: Path) -> str:
    """The number after the newest order of a folder, in the same way of counting.

    A number whose page was ever built beside the folder is never given again, even where its order file is gone: the
    link of one customer would show the page of another.
    """
    used = {number.casefold() for number in (*_in_files(folder), *_of_pages(folder))}
    newest = max(_orders(folder), key=_age, default=None)
    last = FIRST if newest is None else _number_of(newest)
    counted = COUNTED.fullmatch(last) or COUNTED.fullmatch(f"{last}-0")
    if counted is None or not used:
        return FIRST
    start, figures = counted.groups()
    ends = [found[2] for number in used if (found := COUNTED.fullmatch(number)) and found[1] == start.casefold()]
    return f"{start}{max((int(end) for end in ends), default=0) + 1:0{len(figures)}}"


def file_with(text: str, folder: Path) -> Path | None:
    """The order file that holds the same text under another number; None where there is none."""
    alike = ORDER_LINE.sub("", text)
    return next((path for path in _orders(folder) if ORDER_LINE.sub("", _text(path)) == alike), None)


def _orders(folder: Path) -> list[Path]:
    return [
        path for path in sorted(folder.glob("*.yaml")) if path.name != "shop.yaml" and not path.name.startswith(".")
    ]


def _age(path: Path) -> tuple[float, str]:
    return path.stat().st_mtime, path.name


def _in_files(folder: Path) -> Iterator[str]:
    for path in _orders(folder):
        yield path.stem
        yield _number_of(path)


def _number_of(path: Path) -> str:
    found = NUMBER.search(_text(path))
    return found[1] if found else path.stem


def _text(path: Path) -> str:
    """The text of an order file; empty for one that cannot be opened."""
    try:
        with path.open(encoding="utf-8", errors="replace") as file:
            return file.read(LARGEST_BYTES)
    except OSError:
        return ""


def _of_pages(folder: Path) -> Iterator[str]:
    """The numbers that builds beside the folder of orders know: each has a folder in private/."""
    yield from (path.name for path in folder.absolute().parent.glob("*/private/*") if path.is_dir())
