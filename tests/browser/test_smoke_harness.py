"""Each demo page in a real browser: silent, alone, no wider than a phone; and that we would notice."""

from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader

pytestmark = pytest.mark.browser

PHONES_PX = [320, 390]


def printed(visit, paper):
    return PdfReader(BytesIO(visit.page.pdf(format=paper, print_background=True)))


def test_a_page_says_nothing_on_the_console(demo_page, open_page):
    assert open_page(demo_page).console == []


def test_a_page_asks_for_nothing_but_itself(demo_page, open_page):
    assert open_page(demo_page).requests == [demo_page.as_uri()]


@pytest.mark.parametrize("width_px", PHONES_PX)
def test_a_page_fits_a_phone_without_sideways_scrolling(demo_page, open_page, width_px):
    assert open_page(demo_page, width_px=width_px).sideways_px() == 0


def test_an_answer_is_silent_and_asks_for_nothing_but_itself(answer_page, open_page):
    visit = open_page(answer_page)

    assert (visit.console, visit.requests) == ([], [answer_page.as_uri()])


@pytest.mark.parametrize("width_px", PHONES_PX)
def test_an_answer_fits_a_phone_without_sideways_scrolling(answer_page, open_page, width_px):
    assert open_page(answer_page, width_px=width_px).sideways_px() == 0


def test_an_answer_prints_with_no_empty_sheet(answer_page, open_page):
    sheets = printed(open_page(answer_page), "A4").pages

    assert [number for number, sheet in enumerate(sheets, 1) if not sheet.extract_text().strip()] == []


def test_a_link_from_a_customers_page_opens_an_answer_and_leads_on_to_the_index(page_texts, open_page):
    visit = open_page(next(iter(page_texts)))

    visit.page.locator('.more a[href^="../answers/"]').first.click()
    visit.page.get_by_role("link", name="All answers", exact=True).click()

    assert visit.page.url.endswith("/upload/answers/index.html")
    assert visit.page.evaluate("document.referrer") == ""


def test_a_message_on_the_console_is_noticed(write_page, open_page):
    page = write_page("<script>console.log('hello'); undefined_name()</script>")

    assert [line.split(":")[0] for line in open_page(page).console] == ["log", "error"]


def test_a_request_for_another_file_is_noticed(write_page, open_page):
    page = write_page('<img src="other.png" alt="other">')

    assert open_page(page).requests == [page.as_uri(), page.with_name("other.png").as_uri()]


def test_a_page_wider_than_the_phone_is_noticed(write_page, open_page):
    page = write_page('<div style="width: 330px">wide</div>')

    assert open_page(page, width_px=320).sideways_px() > 0


def test_an_empty_sheet_is_noticed(write_page, open_page):
    page = write_page('<p>text</p><p style="break-before: page; height: 10px"></p>')

    assert [bool(sheet.extract_text().strip()) for sheet in printed(open_page(page), "A4").pages] == [True, False]
