"""The fade chart: bands at their light and time, at one scale, each with its label; and what holds for every chart."""

import re

import numpy as np
import pytest

from explain.charts import draw, fade
from explain.charts.style import GRID, SOFT, STRONG, paint
from explain.story.drawings import FadeDrawing, FadePanel
from explain.story.light import light_reactive_figure
from tests.charts import test_any_chart as any_chart
from tests.charts.reading import SVG, lines_of_text, root_of, shapes

NASTY = "<b>&\"'\x07 end"


def panel(points, label="Out of the sun", end_label="40 to 60"):
    return FadePanel(label, tuple(points), end_label)


def chart(*panels, unit="Light let through, of 100", time="Minutes"):
    return FadeDrawing("Fading", "It clears.", panels, unit, time)


RISING = [(0, 10, 30), (1, 20, 70), (5, 60, 85), (10, 80, 90)]
FALLING = [(0, 85, 92), (0.5, 20, 60), (2, 15, 40), (10, 15, 40)]
DRAWINGS = {
    "of the story": light_reactive_figure().drawing,
    "one band": chart(panel(RISING)),
    "clear and dark": chart(panel(FALLING), panel(RISING)),
    "nothing and all": chart(panel([(0, 0, 0), (10, 0, 100)]), panel([(0, 0, 100), (10, 0, 0)])),
    "thin and high": chart(panel([(0, 90, 91), (10, 97, 98)])),
    "thin and low": chart(panel([(0, 3, 4), (10, 2, 3)])),
    "on the grid": chart(panel([(0, 48, 52), (10, 40, 49)]), panel([(0, 48, 52), (10, 51, 60)])),
    "40 minutes": chart(panel([(0, 5, 30), (40, 80, 92)])),
    "long words": chart(
        panel(RISING, "Out of the sun, in an unheated room in which the lenses stay cold", "about 80 to 90 of 100"),
        unit="Light let through of every 100 parts, for the darkest lens and for the lightest lens",
        time="Minutes since the lenses were taken out of the light of the sun",
    ),
}
every_drawing = pytest.mark.parametrize("drawing", DRAWINGS.values(), ids=DRAWINGS.keys())


def axes(svg):
    """Height of 0 and of 100 parts of light in each panel, from its grid lines and the line at its foot."""
    grid = [shape for shape in shapes(svg, "fixed") if shape.given.get("stroke") == paint(GRID)]
    heights = sorted({round(y, 1) for shape in grid for _, y in shape.points})
    return [(heights[at + 2], heights[at]) for at in range(0, len(heights), 3)]


@every_drawing
def test_bands_lie_at_their_light_and_their_time(drawing):
    svg = draw(drawing, "a")
    end = fade.time_end_minutes(drawing.panels[0].points[-1][0])
    for kind, column in (("least", 1), ("most", 2)):
        for one, edge, (zero, hundred) in zip(drawing.panels, shapes(svg, kind), axes(svg), strict=True):
            light = [100 * (zero - y) / (zero - hundred) for _, y in edge.points]
            minutes = [end * (x - 46.0) / 290.0 for x, _ in edge.points]
            assert light == pytest.approx([point[column] for point in one.points], abs=0.15)
            assert minutes == pytest.approx([point[0] for point in one.points], abs=0.01 * end)


@every_drawing
def test_all_panels_have_one_scale(drawing):
    heights = [zero - hundred for zero, hundred in axes(draw(drawing, "a"))]

    assert len(heights) == len(drawing.panels)
    assert heights == pytest.approx([fade._PLOT_HEIGHT] * len(heights), abs=0.15)


@every_drawing
def test_a_band_is_filled_between_its_edges(drawing):
    svg = draw(drawing, "a")
    for band, least, most in zip(*(shapes(svg, kind) for kind in ("band", "least", "most")), strict=True):
        assert band.given["fill"] == paint(SOFT)
        assert {least.given["stroke"], most.given["stroke"]} == {paint(STRONG)}
        around = [*least.points, *reversed(most.points)]
        assert np.array(band.points) == pytest.approx(np.array(around), abs=0.15)


@every_drawing
def test_each_panel_has_its_name_above_and_its_label_at_the_end(drawing):
    svg = draw(drawing, "a")
    ends = [word for word in lines_of_text(svg) if word.kind == "end"]
    names = " ".join(word.text for word in lines_of_text(svg) if word.kind == "label")

    assert [word.text for word in ends] == [one.end_label for one in drawing.panels]
    assert names == " ".join(one.label for one in drawing.panels)
    for word, (zero, hundred) in zip(ends, axes(svg), strict=True):
        assert word.box.right == pytest.approx(333, abs=0.1)
        assert hundred - 30 < word.box.top < zero


@pytest.mark.parametrize("name", ["of the story", "one band", "clear and dark", "thin and high", "on the grid"])
def test_a_label_is_crossed_by_no_edge_and_outside_a_band_by_no_grid_line(name):
    svg = draw(DRAWINGS[name], "a")
    ends = [word for word in lines_of_text(svg) if word.kind == "end"]
    for word, least, most, feet in zip(ends, shapes(svg, "least"), shapes(svg, "most"), axes(svg), strict=True):
        floor, roof = heights_over(word, least), heights_over(word, most)
        inside = roof.max() <= word.box.top and word.box.bottom <= floor.min()
        assert inside or word.box.bottom <= roof.min() + 1 or word.box.top >= floor.max() - 1, word
        grid = [feet[0], sum(feet) / 2, feet[1]]
        assert inside or not [y for y in grid if word.box.top + 1 < y < word.box.bottom - 3], word


def heights_over(word, edge):
    """Heights of an edge over the width of a label, every half unit."""
    xs, ys = zip(*edge.points, strict=True)
    return np.interp(np.arange(word.box.left, word.box.right, 0.5), xs, ys)


def test_a_time_beyond_the_longest_axis_is_refused():
    with pytest.raises(ValueError, match=r"41\.0 minutes does not fit the chart; the longest axis is 40"):
        draw(chart(panel([(0, 1, 2), (41, 1, 2)])), "a")


@pytest.mark.parametrize("end", [4.0, 10.0, 20.0, 40.0])
def test_axes_end_at_the_first_step_that_is_not_passed(end):
    assert fade.time_end_minutes(end) == end
    assert fade.time_end_minutes(end - 0.01) == end


def test_text_is_escaped():
    nasty = FadeDrawing(NASTY, NASTY, (panel(RISING, NASTY, NASTY),), NASTY, NASTY)
    root = root_of(draw(nasty, "a"))

    assert root.find(f".//{SVG}b") is None
    assert len([text for text in root.itertext() if "<b>&\"'" in text]) >= 6


def test_the_same_drawing_gives_the_same_bytes_whatever_was_drawn_before():
    fade._frame.cache_clear()
    forwards = {name: draw(drawing, "a") for name, drawing in DRAWINGS.items()}
    fade._frame.cache_clear()
    backwards = {name: draw(DRAWINGS[name], "a") for name in reversed(DRAWINGS)}

    assert forwards == backwards


def test_its_picture_is_small():
    assert len(draw(DRAWINGS["of the story"], "a")) < 15_000


@every_drawing
def test_no_letter_is_smaller_than_18_units(drawing):
    assert set(re.findall(r'font-size="([^"]+)"', draw(drawing, "a"))) == {"18"}


@every_drawing
def test_holds_what_holds_for_every_chart(drawing):
    any_chart.test_is_one_inline_svg_element(drawing)
    any_chart.test_title_and_description_are_tied_to_it(drawing)
    any_chart.test_two_salts_share_no_id(drawing)
    any_chart.test_nothing_is_fetched(drawing)
    any_chart.test_words_never_lie_on_words(drawing)
    any_chart.test_words_stay_on_the_sheet(drawing)
    any_chart.test_text_is_large_enough_for_a_phone(drawing)
    any_chart.test_every_colour_is_the_pages(drawing)
