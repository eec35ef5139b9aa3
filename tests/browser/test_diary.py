"""The diary in a real browser: a table on the narrowest phone, and whole on one sheet of paper."""

from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader

pytestmark = pytest.mark.browser

CAPTION = "Tick what is right"


@pytest.mark.parametrize("width_px", [320, 390])
def test_the_days_stay_a_table_that_fits_a_phone(demo_page, open_page, width_px):
    visit = open_page(demo_page, width_px=width_px)

    rows = visit.page.eval_on_selector_all(".diary tr", "rows => rows.map(row => getComputedStyle(row).display)")
    assert set(rows) <= {"table-row"}
    assert visit.sideways_px() == 0


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_diary_lies_whole_on_one_sheet(demo_page, open_page, paper):
    visit = open_page(demo_page)
    there = visit.page.locator(".diary").count()

    sheets = [sheet.extract_text() for sheet in PdfReader(BytesIO(visit.page.pdf(format=paper))).pages]

    found = [text for text in sheets if CAPTION in text]
    assert len(found) == there
    assert all("14: " in text.split(CAPTION)[1] for text in found)
