"""Reads a drawn chart back: where its paths and words lie, in units of the drawing."""

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass

from explain.charts.lettering import text_width
from explain.charts.spacing import Box
from explain.charts.style import ASCENT, TEXT

SVG = "{http://www.w3.org/2000/svg}"
_NUMBERS = re.compile(r"-?\d+(?:\.\d+)?")


@dataclass(frozen=True)
class Shape:
    """A path or circle: its class, its pieces as lists of points, and its attributes."""

    kind: str
    pieces: list
    given: dict

    @property
    def points(self):
        return [point for piece in self.pieces for point in piece]


@dataclass(frozen=True)
class Word:
    """One line of text and the box it takes up on the wide side."""

    kind: str
    text: str
    box: Box


def root_of(svg):
    return ET.fromstring(svg)  # noqa: S314  (what we just drew)


def shapes(svg, kind=None):
    found = []
    for element, move, _ in _walk(root_of(svg), (0.0, 0.0), ""):
        if element.tag == f"{SVG}path":
            found.append(Shape(element.get("class", ""), _pieces(element, move), element.attrib))
    return [shape for shape in found if kind is None or kind in shape.kind.split()]


def lines_of_text(svg):
    found = []
    for element, move, _ in _walk(root_of(svg), (0.0, 0.0), ""):
        if element.tag == f"{SVG}text":
            found += _text_lines(element, move)
    return found


def ids(svg):
    return [element.get("id") for element in root_of(svg).iter() if element.get("id")]


def _walk(element, move, kind):
    for child in element:
        to = re.search(r"translate\(([^ )]+) ([^)]+)\)", child.get("transform", ""))
        moved = (move[0] + float(to.group(1)), move[1] + float(to.group(2))) if to else move
        if child.tag != f"{SVG}clipPath":
            yield child, moved, kind
            yield from _walk(child, moved, kind)


def _pieces(element, move):
    scale = 0.1 if "scale(.1)" in element.get("transform", "") else 1.0
    pieces = []
    for command, rest in re.findall(r"([MLlz])([^MLlz]*)", element.get("d")):
        values = [float(value) for value in _NUMBERS.findall(rest)]
        pairs = list(zip(values[::2], values[1::2], strict=True))
        if command == "M":
            pieces.append([pairs[0]])
        for x, y in pairs if command in "Ll" else []:
            last = pieces[-1][-1] if command == "l" else (0.0, 0.0)
            pieces[-1].append((last[0] + x, last[1] + y))
    return [[(x * scale + move[0], y * scale + move[1]) for x, y in piece] for piece in pieces]


def _text_lines(element, move):
    bold = element.get("font-weight") == "bold"
    y = float(element.get("y"))
    rows = [(element.text.strip(), float(element.get("x")), y)]
    for part in element:
        y += float(part.get("dy"))
        rows.append((part.text.strip(), float(part.get("x")), y))
    kind, anchor = element.get("class", ""), element.get("text-anchor", "start")
    return [Word(kind, text, _text_box(text, x + move[0], y + move[1], anchor, bold)) for text, x, y in rows]


def _text_box(text, x, y, anchor, bold):
    wide = text_width(text, bold=bold)
    left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    return Box(left, y - ASCENT, left + wide, y + TEXT - ASCENT)
