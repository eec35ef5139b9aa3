"""How fast pages are built, beside a bare fill of the same template with pictures and prose already made.

Run by `make bench`, or alone: python -m tests.bench.bench
"""

from __future__ import annotations

import re
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from explain.order import read_order, read_shop
from explain.order.model import Order
from explain.site.build import build
from explain.site.numbers import numbers_text
from explain.site.render import PageContext, Pictures, _Prose, page_context, render
from explain.site.templating import environment
from explain.story.blocks import Figure, Prose
from explain.story.page import PageStory, tell
from explain.story.pair import Pair, work_out
from tests.conftest import demo_orders
from tests.story.invented import copy_demo

PAGES = 50


@dataclass(frozen=True, slots=True)
class Timing:
    """Seconds that one step took for all pages; bytes it gave, 0 where it gives no text."""

    step: str
    seconds: float
    size: int = 0


def orders_in(folder: Path, count: int = PAGES) -> list[Path]:
    """The demo orders, repeated under other numbers until there are `count`, with their shop beside them."""
    copy_demo(folder)
    demos = demo_orders()
    return [_copied(demos[number % len(demos)], folder, number) for number in range(count)]


def _copied(demo: Path, folder: Path, number: int) -> Path:
    text = re.sub(r"^order: .*$", f'order: "B-{number:04}"', demo.read_text(encoding="utf-8"), flags=re.MULTILINE)
    path = folder / f"B-{number:04}.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def timed(step: str, work: Callable[[Any], Any], given: list[Any]) -> tuple[Timing, list[Any]]:
    """Do the work for each of the things given, one after the other."""
    started = time.perf_counter()
    made = [work(one) for one in given]
    seconds = time.perf_counter() - started
    return Timing(step, seconds, sum(len(text.encode()) for text in made if isinstance(text, str))), made


class BareFill:
    """The same page context, with every picture and every prose made beforehand: nothing but the template is left."""

    def __init__(self, story: PageStory) -> None:
        blocks = [block for group in story.groups for section in group.sections for block in section.blocks]
        pictures, prose = Pictures(), _Prose(story, ())
        self._context = page_context(story)
        self._pictures = {id(block): pictures.picture(block) for block in blocks if isinstance(block, Figure)}
        self._prose = {id(block): prose.html(block) for block in blocks if isinstance(block, Prose)}

    def fill(self) -> str:
        """Fill the template."""
        fields = {name: getattr(self._context, name) for name in PageContext.__slots__}
        template = environment().get_template("order.html")
        return template.render(
            picture=lambda block: self._pictures[id(block)], prose=lambda block: self._prose[id(block)], **fields
        )


def measure(folder: Path, count: int = PAGES) -> tuple[list[Timing], list[str], list[str]]:
    """Time each step and the whole; give the pages as rendered and as filled bare, which must be the same."""
    paths = orders_in(folder / "orders", count)
    list(build(paths[:10], folder / "warm"))  # imports and the fixed halves of the charts are made once a process
    shop = read_shop(folder / "orders" / "shop.yaml")

    def read(path: Path) -> Order:
        return read_order(path, shop).order

    def work(order: Order) -> Pair:
        return work_out(order, shop)

    whole, _ = timed("whole build, files written", lambda path: list(build([path], folder / "out")), paths)
    reading, orders = timed("  read and doubt the order", read, paths)
    working, pairs = timed("  work out the lenses", work, orders)
    telling, stories = timed("  tell the page in words", tell, pairs)
    rendering, pages = timed("  draw and fill the page", render, stories)
    counting, _ = timed("  write numbers.json as text", numbers_text, pairs)
    filling, bare = timed("bare fill of the template", BareFill.fill, [BareFill(story) for story in stories])
    return [whole, reading, working, telling, rendering, counting, filling], pages, bare


def table(timings: list[Timing], count: int) -> str:
    """The timings, each beside the bare fill, which is the last one."""
    bare = timings[-1].seconds
    columns = f"{'seconds':>9}{'ms a page':>11}{'pages/s':>9}{'x bare':>8}{'kB a page':>11}"
    head = f"step, {count} pages".ljust(32) + columns
    return "\n".join([head, *(_row(one, count, bare) for one in timings)])


def _row(one: Timing, count: int, bare_seconds: float) -> str:
    size = f"{one.size / count / 1000:11.1f}" if one.size else ""
    per_page = 1000 * one.seconds / count
    speed = f"{one.seconds:9.2f}{per_page:11.1f}{count / one.seconds:9.1f}{one.seconds / bare_seconds:8.1f}"
    return f"{one.step:32}{speed}{size}"


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as name:
        timings, _, _ = measure(Path(name))
    print(table(timings, PAGES))  # noqa: T201  that is what it is for
