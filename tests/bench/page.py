"""A whole page beside a bare fill of its template and beside a plain script, in turn, a few orders at a time.

A build makes one page after another, and so it is measured: each way makes the same few orders before the next does.
Time is that of the processor, which other programs on the machine do not lengthen.
"""

from __future__ import annotations

import gc
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from itertools import pairwise
from pathlib import Path
from time import process_time
from typing import Any

from explain.order import read_order, read_shop
from explain.order.model import Shop
from explain.site.build import build
from explain.site.publish import write_whole
from explain.site.render import PageContext, Pictures, _Prose, page_context, render
from explain.site.templating import environment, words_template
from explain.story.blocks import Figure, Prose
from explain.story.page import PageStory, tell
from explain.story.pair import work_out
from tests.bench.plain import Given, plain_page, set_up
from tests.bench.shop import lay_out_shop
from tests.bench.strokes import strokes

AT_A_TIME = 10
STEPS = ("read and doubt the order", "work out the lenses", "tell the page in words", "draw and fill it", "write it")


@dataclass(frozen=True, slots=True)
class Timings:
    """Seconds of one core that each order took: the page, each step of it, its bare fill, and the plain script.

    built: seconds an order in one build of them all, with card, bench sheet, reminders, numbers and desk.
    """

    page: list[float] = field(default_factory=list)
    steps: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    bare: list[float] = field(default_factory=list)
    plain: list[float] = field(default_factory=list)
    built: list[float] = field(default_factory=list)


class BareFill:
    """The same page context, with every picture and every prose made beforehand: nothing but the template is left."""

    def __init__(self, story: PageStory) -> None:
        pictures, prose = Pictures(), _Prose(story, ())
        self._makers = {"picture": pictures.picture, "sketch": pictures.sketch, "prose": prose.html}
        self._made: dict[str, list[Any]] = {name: [] for name in self._makers}
        self._fields = fields(story)
        self._filled({name: self._keeping(name) for name in self._makers})

    def fill(self) -> str:
        """Fill the template, taking what was made for it in the same order."""
        ready = {name: iter(made) for name, made in self._made.items()}
        return self._filled({name: lambda _, made=made: next(made) for name, made in ready.items()})

    def _keeping(self, name: str) -> Callable[[Any], Any]:
        def kept(block: Any) -> Any:
            self._made[name].append(self._makers[name](block))
            return self._made[name][-1]

        return kept

    def _filled(self, makers: dict[str, Callable[[Any], Any]]) -> str:
        return environment().get_template("order.html").render(**makers, **self._fields)


def fields(story: PageStory) -> dict[str, Any]:
    """What the template is filled with, pictures and prose excepted."""
    context = page_context(story)
    return {name: getattr(context, name) for name in PageContext.__struct_fields__}


def given(story: PageStory) -> Given:
    """What the plain script is given ready."""
    blocks = [block for group in story.groups for section in group.sections for block in section.blocks]
    pictures, names = Pictures(), _Prose(story, ())._names
    charts = {id(block): strokes(pictures.picture(block)) for block in blocks if isinstance(block, Figure)}
    words = {block.name: words_template(block.name) for block in blocks if isinstance(block, Prose)}
    return Given(fields(story), charts, names, words, environment())


def measure(folder: Path, count: int) -> tuple[Timings, list[tuple[str, str, str]]]:
    """Time each order three ways; give each page as we write it, as filled bare, and as the plain script has it."""
    paths = lay_out_shop(folder / "orders", count)
    shop = read_shop(folder / "orders" / "shop.yaml")
    warm = lay_out_shop(folder / "warm", min(count, 10))
    list(build(warm, folder / "warm-out"))  # imports, and what is made once a process
    set_up()
    gc.freeze()  # pyplot and its like are no part of a build: the collector passes them over, in all three ways alike
    timings, pages = Timings(), []
    for few in (paths[at : at + AT_A_TIME] for at in range(0, count, AT_A_TIME)):
        whole = [_whole(path, shop, folder / "page.html", timings) for path in few]
        bare = [BareFill(story) for story, _ in whole]
        filled = [_timed(timings.bare, one.fill) for one in bare]
        ready = [given(story) for story, _ in whole]
        to = folder / "plain.html"
        plain = [
            _timed(timings.plain, partial(plain_page, path, shop, one, to))
            for path, one in zip(few, ready, strict=True)
        ]
        pages += [(page, *others) for (_, page), *others in zip(whole, filled, plain, strict=True)]
    started = process_time()
    list(build(paths, folder / "out"))
    timings.built.append((process_time() - started) / count)
    gc.unfreeze()
    return timings, pages


def _whole(path: Path, shop: Shop, to: Path, timings: Timings) -> tuple[PageStory, str]:
    """From the order's file to the page's, each step timed."""
    marks = [process_time()]

    def step(done: Any) -> Any:
        marks.append(process_time())
        return done

    order = step(read_order(path, shop).order)
    pair = step(work_out(order, shop))
    story = step(tell(pair))
    page = step(render(story))
    step(write_whole(to, page))
    timings.page.append(marks[-1] - marks[0])
    for name, (begun, ended) in zip(STEPS, pairwise(marks), strict=True):
        timings.steps[name].append(ended - begun)
    return story, page


def _timed(seconds: list[float], work: Callable[[], str]) -> str:
    started = process_time()
    done = work()
    seconds.append(process_time() - started)
    return done
