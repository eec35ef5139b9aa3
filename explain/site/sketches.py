"""Sketches: line drawings of templates/drawings, put into a page with their words and with ids of their own."""

from __future__ import annotations

import re
from functools import cache

from markupsafe import Markup

from explain.site.places import templates_folder
from explain.story.blocks import Sketch

_NAMESPACE = ' xmlns="http://www.w3.org/2000/svg"'
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)


def inline_sketch(sketch: Sketch, salt: str) -> Markup:
    """Inline SVG of a drawing, spoken as its caption and what it shows. salt: what no other drawing of the page has.

    Raises FileNotFoundError for a drawing that we do not have.
    """
    spoken = Markup('<title id="{0}-title">{1}</title><desc id="{0}-text">{2}</desc>').format(
        salt, sketch.caption, sketch.shows
    )
    ties = f' role="img" aria-labelledby="{salt}-title" aria-describedby="{salt}-text">'
    head, _, lines = drawn(sketch.name).partition(">")
    return inline(head + ties) + spoken + Markup(lines)  # noqa: S704  our own file; what is spoken was escaped


def inline(svg: str) -> Markup:
    """A drawing of ours for the inside of a page, where HTML says what SVG is."""
    return Markup(svg.replace(_NAMESPACE, "", 1))  # noqa: S704  our own drawings escape their text


@cache
def drawn(name: str) -> str:
    """The drawing as it lies in its file, without comments and line ends."""
    text = (templates_folder() / "drawings" / f"{name}.svg").read_text(encoding="utf-8")
    return "".join(line.strip() for line in _COMMENT.sub("", text).splitlines())
