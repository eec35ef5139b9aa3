"""Each demo page on paper: every sheet says whose it is, and no row or picture is cut in two."""

from __future__ import annotations

from io import BytesIO

import pytest
import yaml
from pypdf import PdfReader

pytestmark = pytest.mark.browser

SPLIT = """() => [...document.querySelectorAll('tr, figcaption, .picture, .caution, .receipt')]
  .filter(one => getComputedStyle(one).breakInside !== 'avoid').map(one => one.outerHTML.slice(0, 80))"""


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_each_sheet_has_the_order_number_the_phone_and_its_own_number(demo_order, demo_page, open_page, paper):
    number = yaml.safe_load(demo_order.read_text(encoding="utf-8"))["order"]
    sheets = PdfReader(BytesIO(open_page(demo_page).page.pdf(format=paper))).pages

    texts = [sheet.extract_text() for sheet in sheets]
    expected = [f"Page {at} of {len(sheets)}" for at in range(1, len(sheets) + 1)]
    assert [line for line, text in zip(expected, texts, strict=True) if line not in text] == []
    assert [at for at, text in enumerate(texts, 1) if f"Order {number} · (555) 010-0142" not in text] == []


def test_no_row_figure_or_caution_may_be_cut_between_two_sheets(demo_page, open_page):
    visit = open_page(demo_page)
    visit.page.emulate_media(media="print")

    assert visit.page.evaluate(SPLIT) == []


def test_the_first_sheet_stands_alone(demo_page, open_page):
    first = PdfReader(BytesIO(open_page(demo_page).page.pdf(format="Letter"))).pages[0].extract_text()

    assert "(555) 010-0142" in first
    assert "1." in first
    assert "3." in first
    assert "What your prescription says" not in first
