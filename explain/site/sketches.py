"""Sketches: line drawings of templates/drawings, put into a page with their words and with ids of their own."""

from __future__ import annotations

import re
from functools import cache

from markupsafe import Markup, escape

from explain.site.places import templates_folder
from explain.story.blocks import Sketch

_NAMESPACE = ' xmlns="http://www.w3.org/2000/svg"'
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)


def inline_sketch(sketch: Sketch, salt: str) -> Markup:
    """Inline SVG of a drawing, spoken as its caption and what it shows. salt: what no other drawing of the page has.

    Raises FileNotFoundError for a drawing that we do not have.
    """
    head, lines = _parts(sketch.name)
    ties = f' role="img" aria-labelledby="{salt}-title" aria-describedby="{salt}-text">'
    spoken = (
        f'<title id="{salt}-title">{escape(sketch.caption)}</title><desc id="{salt}-text">{escape(sketch.shows)}</desc>'
    )
    return Markup(f"{head}{ties}{spoken}{lines}")  # noqa: S704  our own file; what is spoken was escaped


@cache
def _parts(name: str) -> tuple[str, str]:
    """The first tag of a drawing, left open, and all that comes after it."""
    head, _, lines = drawn(name).partition(">")
    return inline(head), lines


def inline(svg: str) -> Markup:
    """A drawing of ours for the inside of a page, where HTML says what SVG is."""
    return Markup(svg.replace(_NAMESPACE, "", 1))  # noqa: S704  our own drawings escape their text


def drawn(name: str) -> str:
    """The drawing as it lies in its file, without comments and line ends."""
    text = (templates_folder() / "drawings" / f"{name}.svg").read_text(encoding="utf-8")
    return "".join(line.strip() for line in _COMMENT.sub("", text).splitlines())
