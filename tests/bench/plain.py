"""A plain script for the same page: what one writes who keeps nothing from one order to the next.

It reads the order with PyYAML's own reader, draws each chart with pyplot, sets up Jinja, converts the Markdown, fills
the template and writes the page: all of it anew for each order. To work out the lenses and to find the words it calls
what we call, which costs it as much as us. It calls our letters too, anew for each picture, and blurs them itself, with
scipy. Where each line of a chart runs, and how many pixels a picture has, it is given ready, and this costs it nothing.
"""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

import markdown
import matplotlib as mpl
import nh3
import numpy as np
import yaml
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from matplotlib import pyplot as plt
from scipy.signal import fftconvolve

from explain.charts.letters import ink_picture, placed_rows
from explain.charts.sight import _MARGIN, units_per_arcmin
from explain.order import read_order
from explain.order.answer_text import COMMENT
from explain.order.model import Shop
from explain.site.clean import ATTRIBUTES, LINKS, TAGS
from explain.site.places import templates_folder
from explain.story.blocks import Figure, Prose, Sketch
from explain.story.drawings import SightDrawing, SightPicture
from explain.story.page import tell
from explain.story.pair import work_out
from tests.bench.strokes import Strokes

INCHES = 1 / 72
THIN = 1.5
SCREEN = 1 / 2.2
"""Light to this power is about the value that makes a screen give it: the usual short form of the standard's curve."""


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
    for light, ((left, top), (right, bottom), _) in zip(plain_pictures(chart, figure), chart.pictures, strict=True):
        axes.imshow(on_screen(light), extent=(left, right, bottom, top), aspect="auto")
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


def plain_pictures(chart: Strokes, figure: Figure) -> list[np.ndarray]:
    """Light of each picture of blurred letters, 0 to 1, in as many pixels as ours has."""
    if not isinstance(figure.drawing, SightDrawing):
        return []
    scale, found = units_per_arcmin(figure.drawing), []
    for picture, ((left, top), (right, bottom), size) in zip(figure.drawing.pictures, chart.pictures, strict=True):
        per_unit = size[1] / (right - left), size[0] / (bottom - top)
        letters = placed_rows(picture.rows, size[1] / 2, _MARGIN * per_unit[1], scale * per_unit[0])
        ink = ink_picture(letters, size[1], size[0])
        found.append(1 - fftconvolve(ink, ellipse(picture, scale * per_unit[0]), mode="same"))
    return found


def on_screen(light: np.ndarray) -> np.ndarray:
    """Light of 0 to 1 as pixels of red, green, blue and cover: pyplot takes a fifth longer to make them of greys."""
    value = np.rint(255 * light.clip(0, 1) ** SCREEN).astype(np.uint8)
    return np.dstack((value, value, value, np.full_like(value, 255)))


def ellipse(picture: SightPicture, px_per_arcmin: float) -> np.ndarray:
    """The blur of one point: all pixels with their middle inside the ellipse, alike, and together 1."""
    half_long, half_short = (
        max(width * px_per_arcmin, 1.0) / 2 for width in (picture.blur_long_arcmin, picture.blur_short_arcmin)
    )
    reach, turn = int(half_long) + 1, np.radians(picture.long_direction_deg)
    down, across = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    along, aside = across * np.cos(turn) - down * np.sin(turn), across * np.sin(turn) + down * np.cos(turn)
    mask = (along / half_long) ** 2 + (aside / half_short) ** 2 <= 1
    return mask / mask.sum()


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
