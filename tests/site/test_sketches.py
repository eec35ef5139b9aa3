"""The line drawings as they lie in their files and as a page has them: valid, small, of one hand, spoken in words."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from explain.site.places import templates_folder
from explain.site.sketches import inline, inline_sketch
from explain.story.blocks import Sketch
from explain.story.sketches import SKETCHES

SVG = "{http://www.w3.org/2000/svg}"
FILES = sorted((templates_folder() / "drawings").glob("*.svg"))
LARGEST_BYTES = 4096
SHAPES = {"path", "rect", "circle", "ellipse", "g"}
HAND = {
    "fill": "none",
    "stroke": "currentColor",
    "stroke-width": "2",
    "stroke-linecap": "round",
    "stroke-linejoin": "round",
}
each_file = pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
each_sketch = pytest.mark.parametrize("sketch", SKETCHES.values(), ids=SKETCHES)


def root_of(text):
    return ET.fromstring(text)  # noqa: S314  our own drawing


@each_file
def test_a_drawing_is_valid_and_small(file):
    assert root_of(file.read_text(encoding="utf-8")).tag == f"{SVG}svg"
    assert file.stat().st_size < LARGEST_BYTES


@each_file
def test_all_drawings_are_of_one_hand(file):
    root = root_of(file.read_text(encoding="utf-8"))

    given = dict(root.attrib)
    assert re.fullmatch(r"0 \d+ 160 \d+", given.pop("viewBox"))
    assert given == HAND
    assert {element.tag.removeprefix(SVG) for element in root.iter()} - {"svg"} <= SHAPES
    assert not [element for element in root.iter() if element is not root and "stroke-width" in element.attrib]


@each_file
def test_a_drawing_has_no_colour_of_its_own(file):
    root = root_of(file.read_text(encoding="utf-8"))

    fills = {element.get("fill", "none") for element in root.iter()}
    assert fills <= {"none", "currentColor", "var(--paper,#fff)"}
    assert {element.get("stroke", "currentColor") for element in root.iter()} == {"currentColor"}


@each_file
def test_a_drawing_says_what_it_is_to_whoever_edits_it_and_has_no_id(file):
    text = file.read_text(encoding="utf-8")

    assert re.search(r"<!-- \w.+ -->", text)
    assert " id=" not in text


@each_file
def test_every_line_starts_on_the_sheet(file):
    text = file.read_text(encoding="utf-8")
    top, high = (int(number) for number in re.search(r'viewBox="0 (\d+) 160 (\d+)"', text).groups())

    starts = [(float(x), float(y)) for x, y in re.findall(r"M(-?[\d.]+) (-?[\d.]+)", text)]

    assert [(x, y) for x, y in starts if not (0 <= x <= 160 and top <= y <= top + high)] == []


@each_sketch
def test_on_a_page_it_is_spoken_as_its_caption_and_what_it_shows(sketch):
    root = root_of(str(inline_sketch(sketch, "s7")))

    title, text = root[0], root[1]
    assert (root.get("role"), root.get("aria-labelledby"), root.get("aria-describedby")) == (
        "img",
        "s7-title",
        "s7-text",
    )
    assert (title.get("id"), title.text) == ("s7-title", sketch.caption)
    assert (text.get("id"), text.text) == ("s7-text", sketch.shows)


def test_the_same_drawing_twice_shares_no_id():
    both = [str(inline_sketch(SKETCHES["hold"], salt)) for salt in ("s1", "s2")]

    ids = [name for text in both for name in re.findall(r' id="([^"]+)"', text)]
    assert len(ids) == len(set(ids)) == 4


def test_a_page_is_not_told_what_svg_is():
    assert inline('<svg xmlns="http://www.w3.org/2000/svg">x</svg>') == "<svg>x</svg>"
    assert "xmlns" not in inline_sketch(SKETCHES["hold"], "s1")


def test_words_of_a_drawing_are_escaped():
    root = root_of(str(inline_sketch(Sketch("hold", "<b>&", "</desc>"), "s1")))

    assert (root[0].text, root[1].text) == ("<b>&", "</desc>")


def test_a_drawing_we_do_not_have_is_an_error():
    with pytest.raises(FileNotFoundError):
        inline_sketch(Sketch("nowhere", "x", "x"), "s1")
