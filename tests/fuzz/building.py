"""An order as far as its page: built and held to the laws, or refused in words; timed, and its memory watched."""

from __future__ import annotations

import re
import time
from pathlib import Path

from markupsafe import Markup

from explain.language import speaking
from explain.order import OrderError, read_order
from explain.order.faults import Fault
from explain.order.model import Shop
from explain.site.checking import judged
from explain.site.desk.papers import bench_html, card_html, qr_code
from explain.site.numbers import numbers_text
from explain.site.render import render
from explain.story.page import locale_of_page, tell
from explain.story.pair import Pair
from explain.story.reminders import reminders
from tests.fuzz import laws
from tests.fuzz.readers import is_told, line_count

LONGEST_S = 1.0
NO_FIGURE = re.compile(r"(?<![\w.-])(?:nan|inf|NaN|Infinity)(?![\w-])|%\(\w")
"""What a page never says: numbers that are none, and places not filled in."""


def built_or_refused(path: Path, shop: Shop) -> bool:
    """True for an order whose page was built; False for one that was refused. Raises AssertionError for all else."""
    started = time.process_time()
    pair = worked_out_or_refused(path, shop)
    if pair is not None:
        page_is_whole(pair)
    took_s = time.process_time() - started
    assert took_s < LONGEST_S, f"{took_s:.1f} s"
    if pair is not None:
        laws.hold_for(pair)
        laws.form_does_not_matter(pair)
        laws.mirror_does_not_matter(pair)
    return pair is not None


def worked_out_or_refused(path: Path, shop: Shop) -> Pair | None:
    """The pair of an order; None for one that is refused, with every part of every message there."""
    try:
        read = read_order(path, shop)
    except OrderError as error:
        return _refused(error.faults, path)
    result, pair = judged(path, read, shop)
    own = [doubt for doubt in result.doubts if doubt.file == path.as_posix()]
    is_told(own, line_count(path.read_bytes()))
    return _refused(result.faults, path) if pair is None else pair


def _refused(faults: tuple[Fault, ...], path: Path) -> None:
    assert faults
    is_told([fault for fault in faults if fault.file == path.as_posix()], line_count(path.read_bytes()))


def page_is_whole(pair: Pair) -> None:
    """The page, its numbers, its reminders and its papers can be made, and no figure on the page is missing."""
    with speaking(locale_of_page(pair)):
        html = render(tell(pair), {}, ())
        reminders(pair.order, pair.shop)
        card_html(pair, link := "https://glasses.example/x/", Markup(qr_code(link)), "a6")  # noqa: S704  squares only
    bench_html(pair)
    numbers_text(pair)
    assert html.rstrip().endswith("</html>")
    assert not NO_FIGURE.search(html), NO_FIGURE.search(html)
