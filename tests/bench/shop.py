"""A shop of many orders: the demo orders under other numbers, each of another power, price and height of the frame."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from tests.conftest import demo_orders
from tests.story.invented import copy_demo

NUMBER = re.compile(r"^order: .*$", re.MULTILINE)
PAID = re.compile(r"(item: Frame, amount: |^total: |^paid: )(\d+)\.", re.MULTILINE)
DEPTH = re.compile(r"(depth: \d+)(?=, outline: [a-z-]+})")
SPHERE = re.compile(r"(?<![\d.])[+-]\d+\.\d\d(?= DS| [+-]\d+\.\d\d x )|(?<=sphere: )[+-]\d+\.\d\d")
AXIS = re.compile(r"(?<= x )\d+|(?<=axis: )\d+")
STEPS = 5
"""Heights of the frame in tenths of a millimetre before they begin again."""
POWERS = 4
"""Spheres a quarter of a dioptre apart before they begin again; axes go on for 180 degrees."""


def lay_out_shop(folder: Path, count: int) -> list[Path]:
    """Write the demo shop with `count` orders into folder; give the files of the orders."""
    copy_demo(folder)
    for path in demo_orders():
        (folder / path.name).unlink(missing_ok=True)
    texts = [path.read_text(encoding="utf-8") for path in demo_orders()]
    return [_written(folder, number, texts[number % len(texts)], number // len(texts)) for number in range(count)]


def _written(folder: Path, number: int, text: str, turn: int) -> Path:
    path = folder / f"B-{number:05}.yaml"
    text = turned(NUMBER.sub(f'order: "B-{number:05}"', text), turn)
    path.write_text(dearer(text, turn), encoding="utf-8")
    return path


def turned(text: str, by: int) -> str:
    """The order with all its powers a little lower and its axes turned, measured ones too, so that they still agree."""
    text = SPHERE.sub(lambda found: f"{float(found[0]) - 0.25 * (by % POWERS):+.2f}", text)
    return AXIS.sub(lambda found: str((int(found[0]) + 7 * by - 1) % 180 + 1), text)


def dearer(text: str, by: int) -> str:
    """The order with a dearer frame, a little taller: no two orders of a shop are the same."""
    text = PAID.sub(lambda found: f"{found.group(1)}{int(found.group(2)) + by}.", text)
    return DEPTH.sub(lambda found: f"{found.group(1)}.{by % STEPS}", text)


def files_of(folder: Path, out: Path) -> Iterator[Path]:
    """What a build has to look at: each order, its page, and its folder in private/."""
    yield from sorted(folder.glob("B-*.yaml"))
    yield from sorted((out / "upload").glob("*/index.html"))
    yield from sorted((out / "private").glob("B-*"))
