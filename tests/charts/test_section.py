"""The section chart: true size, numbers drawn, rows apart."""

import re

import pytest

from explain.charts import draw
from tests.charts.reading import lines_of_text, root_of, shapes
from tests.charts.samples import DRAWINGS

SECTIONS = {name: drawing for name, drawing in DRAWINGS.items() if name.startswith("section")}
every_section = pytest.mark.parametrize("drawing", SECTIONS.values(), ids=SECTIONS.keys())


def mm_per_unit(svg):
    """Millimetres on paper for one unit of the drawing, from the sheet's own width."""
    root = root_of(svg)
    paper_mm = float(re.fullmatch(r"([0-9.]+)mm", root.get("width")).group(1))
    return paper_mm / float(root.get("viewBox").split()[2])


@every_section
def test_ruler_line_is_50_mm_on_paper(drawing):
    svg = draw(drawing, "a")
    ruler = shapes(svg, "fixed")[0].pieces[0]
    assert (ruler[1][0] - ruler[0][0]) * mm_per_unit(svg) == pytest.approx(50, abs=0.03)


@every_section
def test_every_thickness_and_place_is_drawn_at_true_size(drawing):
    svg = draw(drawing, "a")
    scale = mm_per_unit(svg)
    outlines = shapes(svg, "lens")
    assert len(outlines) == len(drawing.rows)
    for row, outline in zip(drawing.rows, outlines, strict=True):
        count = len(row.section.x_mm)
        front, back = outline.points[:count], outline.points[count:][::-1]
        for i, x_mm in enumerate(row.section.x_mm):
            thickness = row.section.back_mm[i] - row.section.front_mm[i]
            assert (back[i][1] - front[i][1]) * scale == pytest.approx(thickness, abs=0.05)
            assert (front[i][0] - front[0][0]) * scale == pytest.approx(x_mm - row.section.x_mm[0], abs=0.05)
            sag = row.section.front_mm[i] - row.section.front_mm[0]
            assert (front[i][1] - front[0][1]) * scale == pytest.approx(sag, abs=0.05)


@every_section
def test_each_label_is_above_its_lens_and_rows_stay_apart(drawing):
    svg = draw(drawing, "a")
    words = lines_of_text(svg)
    bottom = 0.0
    for row, outline in zip(drawing.rows, shapes(svg, "lens"), strict=True):
        ys = [y for _, y in outline.points]
        label = [word.box for word in words if word.text and word.text in row.label and word.kind == ""]
        above = [box for box in label if bottom <= box.top and box.bottom <= min(ys) + 1]
        assert above
        below = [word.box for word in words if word.kind == "thickness" and word.box.top > max(ys)][:3]
        bottom = max(box.bottom for box in below)


@every_section
def test_words_keep_off_the_lenses(drawing):
    svg = draw(drawing, "a")
    for outline in shapes(svg, "lens"):
        xs, ys = zip(*outline.points, strict=True)
        for word in lines_of_text(svg):
            clear = word.box.bottom <= min(ys) + 1 or word.box.top >= max(ys)
            assert clear or word.box.right < min(xs) or word.box.left > max(xs), word


def test_only_the_chosen_lens_is_hatched():
    svg = draw(DRAWINGS["section of four materials"], "a")
    hatches, outlines = shapes(svg, "hatch"), shapes(svg, "lens")
    assert len(hatches) == 1
    widths = [float(outline.given["stroke-width"]) for outline in outlines]
    assert max(range(4), key=widths.__getitem__) == 2


def test_thickness_at_the_nose_is_written_on_the_nose_side():
    for name, side in (("section of four materials", "right"), ("section of one plus lens", "left")):
        drawing = DRAWINGS[name]
        words = [word for word in lines_of_text(draw(drawing, "a")) if word.kind == "thickness"][:3]
        by_place = [word.text for word in sorted(words, key=lambda word: word.box.left)]
        row = drawing.rows[0]
        expected = [row.outer_label, row.middle_label, row.nose_label]
        assert by_place == (expected if side == "right" else expected[::-1])
