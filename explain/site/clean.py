"""Clean: Markdown into HTML of which only words, lists, tables and plain links are left, whoever wrote it."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import Any

import markdown
import nh3
from markupsafe import Markup

from explain.order.answer_text import COMMENT

TAGS = {
    *("p", "h2", "h3", "h4", "ul", "ol", "li", "strong", "em", "br", "a", "blockquote", "code", "hr"),
    *("table", "thead", "tbody", "tr", "th", "td"),
}
ATTRIBUTES = {"a": {"href"}}
LINKS = {"https", "mailto", "tel"}
RELATIVE = re.compile(r"(?:#[\w-]*|[A-Za-z0-9-]+\.html(?:#[\w-]*)?)")


@lru_cache(maxsize=512)
def safe_html(text: str) -> Markup:
    """HTML of a Markdown text: no other tag, no attribute but a link's address, no script, no picture, no comment.

    A link may lead to https, a phone number, an email address, a place on the page or a page beside it. Anything else
    loses its address and keeps its words. Most long words are the same on every page, so what was made is kept.
    """
    html = markdown.markdown(COMMENT.sub("", text), output_format="html")
    with _nothing_passed_over():
        clean = nh3.clean(
            html, tags=TAGS, attributes=ATTRIBUTES, url_schemes=LINKS, attribute_filter=_address, link_rel=None
        )
    return Markup(clean)  # noqa: S704  what nh3 lets through is written by nh3 itself


def _address(tag: str, attribute: str, value: str) -> str | None:
    """Keep an address that leads somewhere allowed; nh3 has let pass any that names no scheme."""
    if tag != "a" or attribute != "href":
        return None
    known = value.lower().startswith(tuple(f"{scheme}:" for scheme in LINKS))
    return value if known or RELATIVE.fullmatch(value) else None


@contextmanager
def _nothing_passed_over() -> Iterator[None]:
    """Raise what was raised while nh3 asked about an address, Ctrl-C too; nh3 drops the address and goes on."""
    passed_over: list[BaseException] = []

    def note(what: Any) -> None:
        if isinstance(what.object, tuple) and what.exc_value is not None:  # what it asked about
            passed_over.append(what.exc_value)
        else:
            before(what)

    before, sys.unraisablehook = sys.unraisablehook, note
    try:
        yield
    finally:
        sys.unraisablehook = before
    for error in passed_over:
        raise error
