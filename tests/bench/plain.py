"""A plain script for the same page: what one writes who keeps nothing from one order to the next.

It reads the order with PyYAML's own reader, draws each chart with pyplot, sets up Jinja, converts the Markdown, fills
the template and writes the page: all of it anew for each order. To work out the lenses and to find the words it calls
what we call, which costs it as much as us. Where each line of a chart runs, and each point of a blurred picture, it is
given ready, and this costs it nothing.
"""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

import markdown
import matplotlib as mpl
import nh3
import yaml
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from matplotlib import pyplot as plt

from explain.order import read_order
from explain.order.answer_text import COMMENT
from explain.order.model import Shop
from explain.site.clean import ATTRIBUTES, LINKS, TAGS
from explain.site.places import templates_folder
from explain.story.blocks import Figure, Prose, Sketch
from explain.story.page import tell
from explain.story.pair import work_out
from tests.bench.strokes import Strokes

INCHES = 1 / 72
THIN = 1.5


def set_up() -> None:
    """What such a script does once: no window, and words stay words, which is also quicker than their outlines."""
    mpl.use("svg")
    mpl.rcParams["svg.fonttype"] = "none"


def plain_page(order: Path, shop: Shop, given: Given, to: Path) -> str:
    """The page of one order, written to a file."""
    yaml.load(order.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
    tell(work_out(read_order(order, shop).order, shop))
    environment = new_environment(given.ours)
    template = environment.get_template("order.html")
    page = template.render(
        picture=lambda block: plain_chart(given.charts[id(block)], block),
        sketch=plain_sketch,
        prose=lambda block: plain_prose(environment, block, given.names, given.words[block.name]),
        **given.fields,
    )
    to.write_text(page, encoding="utf-8")
    return page


class Given:
    """What the script is given ready: the fields of the template, the strokes of each chart, the names in prose."""

    def __init__(
        self,
        fields: dict[str, Any],
        charts: dict[int, Strokes],
        names: dict[str, Any],
        words: dict[str, str],
        ours: Environment,
    ) -> None:
        self.fields, self.charts, self.names, self.words, self.ours = fields, charts, names, words, ours


def new_environment(ours: Environment) -> Environment:
    """Jinja set up from nothing, with the filters and the language of ours."""
    environment = Environment(
        loader=FileSystemLoader(templates_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        extensions=["jinja2.ext.i18n"],
    )
    environment.newstyle_gettext = True  # type: ignore[attr-defined]  the extension sets it
    environment.globals.update(ours.globals)
    environment.filters.update(ours.filters)
    return environment


def plain_chart(chart: Strokes, figure: Figure) -> Markup:
    """A chart with the same lines, words and pictures."""
    drawn, axes = plt.subplots(figsize=(chart.wide * INCHES, chart.tall * INCHES))
    axes.set(xlim=(0, chart.wide), ylim=(chart.tall, 0))
    axes.axis("off")
    for (left, top), (right, bottom), pixels in chart.pictures:
        axes.imshow(pixels, extent=(left, right, bottom, top), aspect="auto")
    for points, line, area in chart.lines:
        xs, ys = zip(*points, strict=True)
        if area:
            axes.fill(xs, ys, color=area)
        if line:
            axes.plot(xs, ys, color=line, linewidth=THIN)
    for (x, y), words, anchor in chart.words:
        axes.text(x, y, words, ha=anchor)
    drawn.tight_layout()
    stream = io.StringIO()
    drawn.savefig(stream, format="svg", metadata={"Title": figure.drawing.title, "Date": None})
    plt.close(drawn)
    return Markup(stream.getvalue()[stream.getvalue().index("<svg") :].strip())  # noqa: S704  just drawn


def plain_sketch(sketch: Sketch) -> Markup:
    """A line drawing, read from its file."""
    text = (templates_folder() / "drawings" / f"{sketch.name}.svg").read_text(encoding="utf-8")
    return Markup(re.sub(r"<!--.*?-->\s*", "", text, flags=re.DOTALL).strip())  # noqa: S704  our own file


def plain_prose(environment: Environment, block: Prose, names: dict[str, Any], template: str) -> Markup:
    """Long words, converted from Markdown and cleaned."""
    text = environment.get_template(template).render(names)
    text = re.sub(r"^### ", "#" * block.level + " ", text, flags=re.MULTILINE)
    html = markdown.markdown(COMMENT.sub("", text), output_format="html")
    return Markup(nh3.clean(html, tags=TAGS, attributes=ATTRIBUTES, url_schemes=LINKS, link_rel=None))  # noqa: S704
