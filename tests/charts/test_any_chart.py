"""What holds for every chart, whatever it shows."""

import itertools
import re

import matplotlib as mpl
import pytest

from explain.charts import draw, edge, lens_part, meridian, price, section
from explain.charts.style import DARK, LIGHT, paint
from explain.story.drawings import SightDrawing, TrueSizeDrawing
from tests.charts.reading import SVG, ids, lines_of_text, root_of
from tests.charts.samples import DRAWINGS, nasty_drawings

PHONE_UNITS = 280.0
"""Room of a page on a phone 320 CSS pixels wide, whose margins are 20 on each side."""
WHOLE_STEPS = re.compile(r"(M-?\d+( |(?=-))-?\d+(l-?\d+(( |(?=-))-?\d+)+)?z?)+")
"""From a place in whole tenths, steps in whole tenths, and no space before a minus."""
IN_MM_OR_A_PICTURE = {(f"{SVG}svg", "width"), (f"{SVG}svg", "height"), (f"{SVG}svg", "style"), (f"{SVG}image", "href")}
"""The size in mm of what is drawn true to size, and pictures."""

every_drawing = pytest.mark.parametrize("drawing", DRAWINGS.values(), ids=DRAWINGS.keys())


def forget_frames():
    for kept in (edge._frame, lens_part.ruler, meridian._dial, price._frame, section._ruler):
        kept.cache_clear()


@every_drawing
def test_is_one_inline_svg_element(drawing):
    svg = draw(drawing, "a")
    assert svg.startswith("<svg ")
    assert svg.endswith("</svg>")
    assert "<style" not in svg
    root = root_of(svg)
    assert root.get("role") == "img"
    if isinstance(drawing, TrueSizeDrawing):
        assert float(root.get("viewBox").split()[2]) <= PHONE_UNITS
    else:
        assert root.get("viewBox").startswith("0 0 350 ")


@every_drawing
def test_title_and_description_are_tied_to_it(drawing):
    root = root_of(draw(drawing, "a"))
    title, text = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert (root.get("aria-labelledby"), title.text) == (title.get("id"), drawing.title)
    assert (root.get("aria-describedby"), text.text) == (text.get("id"), drawing.description)


@every_drawing
def test_same_drawing_gives_same_bytes(drawing):
    forget_frames()
    first = draw(drawing, "a")
    assert draw(drawing, "a") == first
    forget_frames()
    assert draw(drawing, "a") == first


def test_order_of_drawing_makes_no_difference():
    forget_frames()
    forwards = {name: draw(drawing, "a") for name, drawing in DRAWINGS.items()}
    forget_frames()
    backwards = {name: draw(DRAWINGS[name], "a") for name in reversed(DRAWINGS)}
    assert forwards == backwards


def test_settings_of_the_machine_make_no_difference():
    forget_frames()
    plain = draw(DRAWINGS["edge of two"], "a")
    forget_frames()
    with mpl.rc_context({"grid.linestyle": ":", "axes.spines.bottom": False, "path.sketch": (1, 2, 3), "font.size": 4}):
        assert draw(DRAWINGS["edge of two"], "a") == plain
        assert mpl.rcParams["font.size"] == 4


@every_drawing
def test_two_salts_share_no_id(drawing):
    both = ids(draw(drawing, "a")) + ids(draw(drawing, "b"))
    assert len(both) == len(set(both)) >= 4


def test_charts_of_one_page_share_no_id():
    found = [name for n, drawing in enumerate(DRAWINGS.values()) for name in ids(draw(drawing, f"c{n}"))]
    assert len(found) == len(set(found))


@every_drawing
def test_nothing_is_fetched(drawing):
    svg = draw(drawing, "a")
    targets = re.findall(r'href="([^"]{0,22})', svg) + re.findall(r"url\(([^)]*)\)", svg)
    assert all(target.startswith(("data:image/png;base64", "#")) for target in targets)


@every_drawing
def test_words_never_lie_on_words(drawing):
    words = lines_of_text(draw(drawing, "a"))
    meeting = [(a.text, b.text) for a, b in itertools.combinations(words, 2) if a.box.meets(b.box)]
    assert not meeting


@every_drawing
def test_words_stay_on_the_sheet(drawing):
    svg = draw(drawing, "a")
    wide, height = (float(part) for part in root_of(svg).get("viewBox").split()[2:])
    for word in lines_of_text(svg):
        box = word.box
        assert (box.left >= -0.1, box.top >= -0.1, box.right <= wide + 0.1, box.bottom <= height + 0.1) == (
            True,
        ) * 4, word


@every_drawing
def test_text_is_large_enough_for_a_phone(drawing):
    root = root_of(draw(drawing, "a"))
    sizes = [float(element.get("font-size")) for element in root.iter() if element.get("font-size")]
    assert sizes
    assert min(sizes) * 360 / 350 >= 16
    assert not [element for element in root.iter() if "font" in element.get("style", "")]


@every_drawing
def test_ways_are_written_in_whole_tenths_of_a_unit_step_by_step(drawing):
    ways = list(root_of(draw(drawing, "a")).iter(f"{SVG}path"))
    assert {element.get("transform") for element in ways} <= {"scale(.1)"}
    assert [element.get("d") for element in ways if not WHOLE_STEPS.fullmatch(element.get("d"))] == []


@every_drawing
def test_no_other_number_has_more_than_one_decimal(drawing):
    root = root_of(draw(drawing, "a"))
    given = {(element.tag, name): value for element in root.iter() for name, value in element.items()}
    finer = {key for key, value in given.items() if re.search(r"\d\.\d\d", value) and key not in IN_MM_OR_A_PICTURE}
    assert finer == set()


@every_drawing
def test_every_colour_is_the_pages(drawing):
    allowed = {"none", *(paint(name) for name in LIGHT)}
    if isinstance(drawing, SightDrawing):
        allowed |= {"#000", "#fff"}
    for element in root_of(draw(drawing, "a")).iter():
        assert {element.get("fill", "none"), element.get("stroke", "none")} <= allowed


def test_both_schemes_have_the_same_names():
    assert LIGHT.keys() == DARK.keys()


@pytest.mark.parametrize(("kind", "drawing"), nasty_drawings().items())
def test_text_is_escaped(kind, drawing):
    root = root_of(draw(drawing, 'a"<&'))
    assert root.find(f".//{SVG}b") is None
    spoken = [root.find(f"{SVG}title").text, root.find(f"{SVG}desc").text]
    assert spoken == ["<b>&\"' end"] * 2
    shown = [text for text in root.itertext() if "<b>&\"'" in text]
    assert (
        len(shown)
        >= {"section": 9, "edge": 9, "meridian": 5, "price": 4, "sight": 4, "zones": 8, "window": 7, "true size": 4}[
            kind
        ]
    )
