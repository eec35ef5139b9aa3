"""The receipt in a real browser: once its link was tapped, it prints alone and on one sheet."""

from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_receipt_prints_alone_on_one_sheet(demo_page, open_page, paper):
    visit = open_page(demo_page)
    visit.page.click("a[href='#receipt']")

    (sheet,) = PdfReader(BytesIO(visit.page.pdf(format=paper))).pages

    text = sheet.extract_text()
    assert any(title in text for title in ("Receipt", "Bill, not yet paid in full"))
    assert "Our tax number" in text
    assert "Total" in text
    assert "Right eye" not in text
    assert "Print from" not in text


def test_the_whole_page_prints_again_after_going_back(demo_page, open_page):
    visit = open_page(demo_page)
    visit.page.click("a[href='#receipt']")
    visit.page.click("#receipt a[href='#price']")

    assert len(PdfReader(BytesIO(visit.page.pdf(format="A4"))).pages) > 1


def test_the_receipt_is_out_of_the_way_until_it_is_asked_for(demo_page, open_page):
    visit = open_page(demo_page)
    before = visit.page.locator("#receipt").is_visible()

    visit.page.click("a[href='#receipt']")

    assert (before, visit.page.locator("#receipt").is_visible()) == (False, True)
