"""Strokes: the lines, words and pictures of a chart as bare figures, for another program to draw the same."""

from __future__ import annotations

import base64
import io
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from PIL import Image

from explain.charts.greys import light_of

SVG = "{http://www.w3.org/2000/svg}"
MOVED = re.compile(r"translate\((-?[\d.]+)[ ,]+(-?[\d.]+)\)")
SCALED = re.compile(r"scale\((-?[\d.]+)\)")
COLOUR = re.compile(r"#[0-9a-f]{6}")
GAP = (math.nan, math.nan)
INK = "#1a1a1a"
LIGHT_OF = np.array([light_of(value) for value in range(256)])

Point = tuple[float, float]


@dataclass(slots=True)
class Strokes:
    """A chart of so many units. lines: points, colour of the line, of the area; "" for none.

    pictures: upper left corner, lower right corner, rows and columns of pixels; not what they show.
    """

    wide: float
    tall: float
    lines: list[tuple[list[Point], str, str]] = field(default_factory=list)
    words: list[tuple[Point, str, str]] = field(default_factory=list)
    pictures: list[tuple[Point, Point, tuple[int, int]]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Place:
    right: float = 0.0
    down: float = 0.0
    scale: float = 1.0

    def inside(self, transform: str) -> _Place:
        moved, scaled = MOVED.search(transform), SCALED.search(transform)
        right, down = (float(part) for part in moved.groups()) if moved else (0.0, 0.0)
        scale = float(scaled.group(1)) if scaled else 1.0
        return _Place(self.right + self.scale * right, self.down + self.scale * down, self.scale * scale)

    def at(self, x: float, y: float) -> Point:
        return self.right + self.scale * x, self.down + self.scale * y


def strokes(svg: str) -> Strokes:
    """Everything that a chart of ours draws."""
    root = ET.fromstring(svg)  # noqa: S314  our own chart
    _, _, wide, tall = (float(part) for part in root.get("viewBox", "").split())
    chart = Strokes(wide, tall)
    for element, place in _walk(root, _Place()):
        _add(chart, element, place)
    return chart


def _walk(element: ET.Element, place: _Place) -> Iterator[tuple[ET.Element, _Place]]:
    for inner in element:
        if inner.tag != f"{SVG}clipPath":
            moved = place.inside(inner.get("transform", ""))
            yield inner, moved
            yield from _walk(inner, moved)


def _add(chart: Strokes, element: ET.Element, place: _Place) -> None:
    line, area = _colour(element.get("stroke", "none")), _colour(element.get("fill", "none"))
    x, y, wide, tall = (float(element.get(name, 0)) for name in ("x", "y", "width", "height"))
    match element.tag.removeprefix(SVG):
        case "path":
            chart.lines.append((way(element.get("d", ""), place), line, area))
        case "rect":
            corners = [(x, y), (x + wide, y), (x + wide, y + tall), (x, y + tall), (x, y)]
            chart.lines.append(([place.at(*corner) for corner in corners], line, area))
        case "circle":
            chart.lines.append((_circle(element, place), line, area))
        case "text":
            anchor = {"middle": "center", "end": "right"}.get(element.get("text-anchor", ""), "left")
            chart.words.append((place.at(x, y), " ".join("".join(element.itertext()).split()), anchor))
        case "image":
            chart.pictures.append((place.at(x, y), place.at(x + wide, y + tall), _light(element).shape))


def way(data: str, place: _Place) -> list[Point]:
    """Points of a path of straight lines, a gap between its parts. Raises ValueError for any other path."""
    if re.search(r"[A-KN-Za-km-y]", data):
        raise ValueError(f"{data[:40]}: not a path of straight lines")
    points: list[Point] = []
    start = at = (0.0, 0.0)
    for command, figures in re.findall(r"([MLlz])([^MLlz]*)", data):
        numbers = [float(figure) for figure in re.findall(r"-?[\d.]+", figures)]
        for x, y in zip(numbers[::2], numbers[1::2], strict=True):
            at = (at[0] + x, at[1] + y) if command == "l" else (x, y)
            if command == "M":
                points += [GAP] if points else []
                start = at
            points.append(place.at(*at))
        if command == "z":
            points.append(place.at(*start))
    return points


def _circle(element: ET.Element, place: _Place) -> list[Point]:
    x, y, radius = (float(element.get(name, 0)) for name in ("cx", "cy", "r"))
    turns = [2 * math.pi * step / 48 for step in range(49)]
    return [place.at(x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns]


def _colour(paint: str) -> str:
    """The colour in the light scheme; "" for none."""
    found = COLOUR.search(paint)
    return found.group() if found else ("" if paint == "none" else INK)


def lights(svg: str) -> list[np.ndarray]:
    """Each picture of greys in a chart of ours as light of its pixels, 0 (black) to 1 (white)."""
    return [_light(element) for element in ET.fromstring(svg).iter(f"{SVG}image")]  # noqa: S314  our own chart


def _light(element: ET.Element) -> np.ndarray:
    source = element.get("href") or element.get("{http://www.w3.org/1999/xlink}href") or ""
    with Image.open(io.BytesIO(base64.b64decode(source.partition(",")[2]))) as picture:
        return LIGHT_OF[np.asarray(picture.convert("L"))]
