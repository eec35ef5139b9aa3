"""True size in a real browser: 1 mm is 96/25.4 CSS pixels at any width, and 1 mm on paper; one sheet keeps all."""

from __future__ import annotations

from io import BytesIO

import pytest
import yaml
from playwright.sync_api import Error
from pypdf import PdfReader

from explain.optics.outline import box_size_mm
from explain.order import read_order, read_shop
from explain.story.pair import eyes_of
from tests.conftest import REPOSITORY

pytestmark = pytest.mark.browser

PX_PER_MM = 96 / 25.4
PT_PER_MM = 72 / 25.4
PAPERS = ["A4", "Letter"]
RULERS = "svg.chart-true-size .ruler"
LENSES = "#keep svg.chart-true-size .lens"
BOXES = "all => all.map(one => { const box = one.getBoundingClientRect(); return [box.width, box.height]; })"
GEOMETRY = """all => all.map(one => {
    const box = one.getBBox(), scale = one.getScreenCTM();
    return [box.width * scale.a, box.height * scale.d];
})"""


@pytest.fixture
def boxes_mm(demo_order):
    """Width and depth of each lens of the order [mm], right first."""
    shop = read_shop(REPOSITORY / "orders" / "shop.yaml")
    return [box_size_mm(eye.outline) for eye in eyes_of(read_order(demo_order, shop).order)]


def in_mm(visit, selector, how=GEOMETRY):
    """Width and height of what a selector finds [mm at 96 CSS pixels to the inch]."""
    return [(w / PX_PER_MM, h / PX_PER_MM) for w, h in visit.page.eval_on_selector_all(selector, how)]


def printed(visit, paper):
    return PdfReader(BytesIO(visit.page.pdf(format=paper, print_background=True))).pages


def level_lines_pt(sheet):
    """Lengths of all straight level lines drawn on a sheet [pt on paper]."""
    found, start = [], None

    def see(operator, operands, matrix, _):
        nonlocal start
        if operator == b"m":
            start = [float(value) for value in operands]
        elif operator == b"l" and start is not None:
            end = [float(value) for value in operands]
            if abs(end[1] - start[1]) < 1e-6:
                found.append(abs(end[0] - start[0]) * abs(matrix[0]))
            start = end

    sheet.extract_text(visitor_operand_before=see)
    return found


@pytest.mark.parametrize("width_px", [320, 390, 1280])
def test_each_lens_is_as_large_as_its_box_at_any_width_of_the_screen(demo_page, open_page, boxes_mm, width_px):
    found = in_mm(open_page(demo_page, width_px=width_px), LENSES)

    assert len(found) == len(boxes_mm)
    for lens, box in zip(found, boxes_mm, strict=True):
        assert lens == pytest.approx(box, abs=0.1)


@pytest.mark.parametrize("media", ["screen", "print"])
def test_the_ruler_under_each_lens_is_50_mm_on_screen_and_on_paper(demo_page, open_page, media):
    visit = open_page(demo_page, width_px=320)
    visit.page.emulate_media(media=media)

    widths = [wide for wide, _ in in_mm(visit, RULERS)]

    assert len(widths) >= 2
    assert widths == pytest.approx([50.0] * len(widths), abs=0.05)


@pytest.mark.parametrize("width_px", [320, 390])
def test_a_picture_at_true_size_is_not_cut_off_on_a_phone(demo_page, open_page, width_px):
    visit = open_page(demo_page, width_px=width_px)

    sheets = in_mm(visit, "svg.chart-true-size", BOXES)
    rooms = in_mm(visit, ".picture:has(svg.chart-true-size)", BOXES)

    assert [(sheet, room) for sheet, room in zip(sheets, rooms, strict=True) if sheet[0] > room[0] + 0.01] == []


@pytest.mark.parametrize("paper", PAPERS)
def test_all_that_is_to_be_kept_stands_on_one_sheet_with_lines_of_50_mm(
    demo_page, open_page, demo_order, boxes_mm, paper
):
    number = str(yaml.safe_load(demo_order.read_text(encoding="utf-8"))["order"])
    sheets = printed(open_page(demo_page), paper)
    texts = [" ".join(sheet.extract_text().split()) for sheet in sheets]

    (at,) = [at for at, text in enumerate(texts) if "For any optician" in text]

    needed = (number, "(555) 010-0142", "Each lens", "Right lens at true size", "Left lens at true size")
    assert [words for words in (*needed, "Each line is 50 mm") if words not in texts[at]] == []
    assert "What we assumed" in texts[at + 1]
    rulers = [length for length in level_lines_pt(sheets[at]) if abs(length / PT_PER_MM - 50) < 0.1]
    assert len(rulers) == len(boxes_mm)


def test_a_lens_that_is_shrunk_to_its_column_is_noticed(demo_page, open_page, boxes_mm):
    visit = open_page(demo_page)
    rule = ".picture svg { width: 50% !important; height: auto !important; }"
    visit.page.evaluate("rule => document.styleSheets[0].insertRule(rule)", rule)

    assert in_mm(visit, LENSES)[0] != pytest.approx(boxes_mm[0], abs=0.1)


def test_a_style_that_the_page_did_not_bring_along_is_refused(demo_page, open_page, boxes_mm):
    visit = open_page(demo_page)
    with pytest.raises(Error, match="Content Security Policy"):
        visit.page.add_style_tag(content=".picture svg { width: 50% !important; height: auto !important; }")

    assert in_mm(visit, LENSES)[0] == pytest.approx(boxes_mm[0], abs=0.1)
