"""Frame: the fixed half of a chart (axes, grid, ticks, fixed words), drawn once by matplotlib and kept.

What differs from order to order is written over it with the frame's scale and offset. Whoever keeps a frame must
have in its key all that `furnish` draws from.
"""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from explain.charts.ink import Point, Table, escaped, number, way
from explain.charts.spacing import Box
from explain.charts.style import LIGHT, TEXT, WIDTH, paint

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?")
_LETTER = re.compile(r"(?<![0-9])[A-Za-z]")
_STROKE = re.compile(r"stroke: (#[0-9a-f]{6})")
_STROKE_WIDTH = re.compile(r"stroke-width: ([0-9.]+)")
_ANCHOR = re.compile(r"text-anchor: (\w+)")
_NO_METADATA = {"Date": None, "Creator": None, "Format": None, "Type": None}
_SETTINGS = {
    "svg.fonttype": "none",
    "svg.hashsalt": "chart",
    "text.parse_math": False,
    "text.usetex": False,
    "font.family": "DejaVu Sans",
    "font.size": TEXT,
    "axes.grid": False,
    "axes.axisbelow": True,
    "axes.xmargin": 0.0,
    "axes.ymargin": 0.0,
    "path.simplify": False,
    "figure.dpi": 72.0,
}


class Scale(Struct, frozen=True):
    """One axis: where a value stands in the drawing."""

    per_unit: float
    offset: float

    def at(self, value: float) -> float:
        """Place of a value [units of the drawing]."""
        return self.offset + self.per_unit * value

    def value_at(self, place: float) -> float:
        """Value that stands at a place."""
        return (place - self.offset) / self.per_unit


class Frame(Struct, frozen=True):
    """The fixed half as SVG elements, its height, and the two axes."""

    markup: str
    height: float
    x: Scale
    y: Scale

    def places(self, points: Iterable[Point]) -> list[Point]:
        """Places of points given as values on the two axes."""
        (per_x, from_x), (per_y, from_y) = ((axis.per_unit, axis.offset) for axis in (self.x, self.y))
        return [(from_x + per_x * x, from_y + per_y * y) for x, y in points]

    def table(self, points: Table) -> Table:
        """The same of a whole table."""
        return points * ((self.x.per_unit,), (self.y.per_unit,)) + ((self.x.offset,), (self.y.offset,))


def draw_frame(
    height: float,
    box: Box,
    x_ends: tuple[float, float],
    y_ends: tuple[float, float],
    furnish: Callable[[Axes], None],
    fixed_words: str = "",
) -> Frame:
    """Let `furnish` draw on axes that fill `box`, and give it as small SVG with the scale of each axis.

    fixed_words: SVG of words that belong to the frame. matplotlib draws numbers only: it measures with a font of its
    own and warns of every letter which that lacks.

    Colours must be those of the light scheme, so that they can be named to the page.
    """
    import matplotlib as mpl  # noqa: PLC0415  (a third of a second, and only the first chart of a kind needs it)
    from matplotlib.backends.backend_svg import FigureCanvasSVG  # noqa: PLC0415
    from matplotlib.figure import Figure  # noqa: PLC0415

    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(_SETTINGS)  # type: ignore[arg-type]
        figure = Figure(figsize=(WIDTH / 72, height / 72), dpi=72)
        figure.patch.set_visible(False)
        wide, high = box.right - box.left, box.bottom - box.top
        place = (box.left / WIDTH, 1 - box.bottom / height, wide / WIDTH, high / height)
        axes = figure.add_axes(place, xlim=x_ends, ylim=y_ends)
        axes.patch.set_visible(False)
        furnish(axes)
        stream = io.StringIO()
        FigureCanvasSVG(figure).print_svg(stream, metadata=_NO_METADATA)  # type: ignore[no-untyped-call]
        (left, low), (right, top) = axes.transData.transform(list(zip(x_ends, y_ends, strict=True))).tolist()
    return Frame(
        markup=small_markup(stream.getvalue()) + fixed_words,
        height=height,
        x=_scale(x_ends, (left, right)),
        y=_scale(y_ends, (height - low, height - top)),
    )


def bare(axes: Axes, keep: tuple[str, ...] = ()) -> None:
    """Take away box lines (except those in `keep`), ticks and tick labels."""
    for side, spine in axes.spines.items():
        spine.set_visible(side in keep)
    axes.set_xticks([])
    axes.set_yticks([])
    axes.tick_params(length=0)


def broken_line(axes: Axes, pieces: Sequence[Sequence[Point]], colour: str, width: float) -> None:
    """Draw several lines as one artist, and so as one path; they may stand out of the axes."""
    gap = (float("nan"), float("nan"))
    xs, ys = zip(*(point for piece in pieces for point in (*piece, gap)), strict=True)
    axes.plot(xs, ys, color=colour, linewidth=width, clip_on=False, solid_capstyle="butt")


def small_markup(svg: str) -> str:
    """Rewrite a drawing of matplotlib's: paths and texts only, no ids, no style block, colours named to the page."""
    found = []
    for element in ET.fromstring(svg).iter():  # noqa: S314  (what matplotlib just wrote)
        if element.tag == f"{_SVG}path":
            found.append(_line(element))
        elif element.tag == f"{_SVG}text":
            found.append(_word(element))
    return "".join(found)


def _scale(ends: tuple[float, float], places: tuple[float, float]) -> Scale:
    per_unit = (places[1] - places[0]) / (ends[1] - ends[0])
    return Scale(per_unit, places[0] - per_unit * ends[0])


def _line(element: ET.Element) -> str:
    style = element.get("style", "")
    stroke, width = _STROKE.search(style), _STROKE_WIDTH.search(style)
    edge = f' stroke="{_named(stroke.group(1))}"' if stroke else ""
    thick = f' stroke-width="{number(10 * float(width.group(1)))}"' if width else ""
    return f'<path class="fixed" transform="scale(.1)" d="{_way_of(element.get("d", ""))}" fill="none"{edge}{thick}/>'


def _way_of(data: str) -> str:
    """The same way in whole tenths of a unit. Raises ValueError for a curve: frames are made of straight lines."""
    if odd := set(_LETTER.findall(data)) - set("MLz"):
        raise ValueError(f"a frame has straight lines only, not {', '.join(sorted(odd))}")
    found = []
    for piece in data.split("M")[1:]:
        values = [float(each) for each in _NUMBER.findall(piece)]
        found.append(way(list(zip(values[::2], values[1::2], strict=True)), closed="z" in piece))
    return "".join(found)


def _word(element: ET.Element) -> str:
    anchor = _ANCHOR.search(element.get("style", ""))
    side = f' text-anchor="{anchor.group(1)}"' if anchor and anchor.group(1) != "start" else ""
    x, y = (number(float(element.get(name, "0"))) for name in ("x", "y"))
    return f'<text class="fixed" x="{x}" y="{y}"{side}>{escaped(element.text or "")}</text>'


def _named(colour: str) -> str:
    for name, value in LIGHT.items():
        if value == colour:
            return paint(name)
    raise ValueError(f"{colour} is no colour of the charts' light scheme")
