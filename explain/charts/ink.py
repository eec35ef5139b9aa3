"""Ink: writes the few SVG elements that charts are made of, with fixed decimals and every text escaped."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import chain
from operator import itemgetter

import numpy as np
from numpy.typing import NDArray

from explain.charts.style import LINE, PAPER, TEXT, WIDTH, paint

Point = tuple[float, float]
Table = NDArray[np.float64]
"""Many points at once: a row of places across, and one of places down."""

_FORBIDDEN = "\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff"
_NOT_XML, _TO_ESCAPE = re.compile(f"[{_FORBIDDEN}]"), re.compile(f"[{_FORBIDDEN}&<>\"']")

_MANY = 20
"""From so many points on, a way is written quicker all at once."""


def number(value: float) -> str:
    """Write a number with at most one decimal.

    >>> number(3.04), number(-0.01), number(2.25)
    ('3', '0', '2.2')
    """
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def escaped(text: str) -> str:
    """Make any text safe inside an element or a quoted attribute; characters that XML forbids are dropped."""
    if not _TO_ESCAPE.search(text):
        return text
    clean = _NOT_XML.sub("", text)
    for sign, entity in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("'", "&#39;")):
        clean = clean.replace(sign, entity)
    return clean


def table(points: Sequence[Point]) -> Table:
    """Points as a table."""
    return _in_turn(points).reshape(-1, 2).T.copy()


def _in_turn(points: Sequence[Point]) -> Table:
    """Across and down of each point in turn, in one row."""
    return np.fromiter(chain.from_iterable(points), np.float64, 2 * len(points))


def way(points: Sequence[Point] | Table, *, closed: bool = False) -> str:
    """Path data in whole tenths of a unit: a start, then steps. To be drawn under `scale(.1)`.

    >>> way([(1, 2), (1.5, 2), (1.5, 4)])
    'M10 20l5 0 0 20'
    >>> way([(1, 2), (0.5, 1), (0.5, 0)], closed=True)
    'M10 20l-5-10 0-10z'
    """
    if isinstance(points, np.ndarray):
        x, y, steps = _many_steps(points.T.ravel())
    elif len(points) >= _MANY:
        x, y, steps = _many_steps(_in_turn(points))
    else:
        x, y = round(points[0][0] * 10), round(points[0][1] * 10)
        steps = _steps(x, y, points[1:])
    end = f"l{steps.removeprefix(' ')}{'z' if closed else ''}" if steps else ""
    return f"M{x}{_behind(y)}{end}"


def _steps(x: int, y: int, points: Sequence[Point]) -> str:
    """Steps in whole tenths from a place to each point in turn."""
    steps = []
    for to_x, to_y in points:
        next_x, next_y = round(to_x * 10), round(to_y * 10)
        steps.append(_behind(next_x - x) + _behind(next_y - y))
        x, y = next_x, next_y
    return "".join(steps)


def _many_steps(in_turn: Table) -> tuple[int, int, str]:
    """The first point in whole tenths, and the steps from it to the others in turn, all at once."""
    tenths = np.rint(in_turn * 10).astype(np.int64)
    x, y = tenths[:2].tolist()
    steps = (tenths[2:] - tenths[:-2]).tolist()
    try:
        return x, y, "".join(itemgetter(*steps)(_BEHIND))
    except KeyError:  # a step of more than 100 units
        return x, y, "".join(map(_behind, steps))


def _behind(value: int) -> str:
    """A whole number as it is written behind another: a minus parts two numbers as a space does."""
    return str(value) if value < 0 else f" {value}"


_BEHIND = {step: _behind(step) for step in range(-1000, 1001)}
"""Steps of up to 100 units either way, ready: half the time of writing each anew."""


def strokes(pairs: Iterable[tuple[Point, Point]]) -> str:
    """Path data of straight lines, each from one point to another, in whole tenths of a unit as `way` has it.

    >>> strokes([((1, 2), (1.5, 2)), ((0, 0), (0, -3))])
    'M10 20l5 0M0 0l0-30'
    """
    lines = []
    for (from_x, from_y), (to_x, to_y) in pairs:
        x, y = round(from_x * 10), round(from_y * 10)
        lines.append(f"M{x} {y}l{round(to_x * 10) - x} {round(to_y * 10) - y}")
    return "".join(lines).replace(" -", "-")


def path(
    data: str, stroke: str = "", width: float = 0.0, fill: str = "", dash: str = "", kind: str = "", extra: str = ""
) -> str:
    """A path from `way`. stroke and fill name colours of the style; width and dash are in units."""
    parts = [f'<path{_kind(kind)} transform="scale(.1)" d="{data}" fill="{paint(fill) if fill else "none"}"']
    if stroke:
        parts.append(f' stroke="{paint(stroke)}" stroke-width="{number(width * 10)}" stroke-linejoin="round"')
    if dash:
        parts.append(f' stroke-dasharray="{" ".join(number(float(part) * 10) for part in dash.split())}"')
    return "".join(parts) + f"{extra}/>"


def circle(centre: Point, radius: float, fill: str, stroke: str = "", width: float = 0.0, kind: str = "") -> str:
    """A circle; fill "" leaves it open."""
    x, y = centre
    edge = f' stroke="{paint(stroke)}" stroke-width="{number(width)}"' if stroke else ""
    inside = paint(fill) if fill else "none"
    return f'<circle{_kind(kind)} cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" fill="{inside}"{edge}/>'


def words(
    at: Point, lines: Sequence[str], anchor: str = "start", kind: str = "", *, bold: bool = False, halo: bool = False
) -> str:
    """Lines of text, level, the first baseline at `at`. With a halo, lines behind the text stop short of it.

    The stylesheet paints the stroke of such text first.
    """
    x, y = at
    head = f'<text{_kind(kind)} x="{number(x)}" y="{number(y)}"'
    if anchor != "start":
        head += f' text-anchor="{anchor}"'
    if bold:
        head += ' font-weight="bold"'
    if halo:
        head += f' stroke="{paint(PAPER)}" stroke-width="6" stroke-linejoin="round"'
    first, *rest = [escaped(line) for line in lines]
    more = "".join(f' <tspan x="{number(x)}" dy="{number(LINE)}">{line}</tspan>' for line in rest)
    return f"{head}>{first}{more}</text>"


def group(content: str, right: float = 0.0, down: float = 0.0, extra: str = "") -> str:
    """Content moved right and down."""
    return f'<g transform="translate({number(right)} {number(down)})"{extra}>{content}</g>'


def sheet(
    name: str,
    title: str,
    description: str,
    salt: str,
    height: float,
    content: Iterable[str],
    extra: str = "",
    wide: float = WIDTH,
) -> str:
    """The whole chart: an inline `<svg>` with its short title and its description, ids made unique by `salt`."""
    key = f"chart-{escaped(salt)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="chart chart-{name}" role="img"'
        f' viewBox="0 0 {number(wide)} {number(height)}" font-size="{number(TEXT)}" fill="currentColor"'
        f' aria-labelledby="{key}-title" aria-describedby="{key}-text"{extra}>'
        f'<title id="{key}-title">{escaped(title)}</title><desc id="{key}-text">{escaped(description)}</desc>'
        f"{''.join(content)}</svg>"
    )


def _kind(kind: str) -> str:
    return f' class="{kind}"' if kind else ""
