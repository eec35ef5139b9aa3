"""Each demo page in Firefox: silent, alone, no wider than a phone, printable; and that we would notice."""

from __future__ import annotations

import pytest

from tests.browser.firefox import firefox_running, opened
from tests.browser.programs import program

pytestmark = pytest.mark.firefox

PRINTED = ("QH-2101", "QH-2105", "QH-2108")
"""The plainest page, the longest and the child's: Firefox takes 6 s for each, and Chromium prints them all."""

PHONES_PX = [320, 390]


@pytest.fixture(scope="module")
def firefox():
    with firefox_running(program("firefox-esr", "firefox-esr")) as bidi:
        yield bidi


@pytest.fixture
def open_tab(firefox):
    tabs = []

    def open_it(path, width_px=390):
        tabs.append(opened(firefox, path, width_px))
        return tabs[-1]

    yield open_it
    for tab in tabs:
        firefox.do("browsingContext.close", context=tab.name)


@pytest.mark.parametrize("width_px", PHONES_PX)
def test_a_page_fits_a_phone_in_silence_and_asks_for_nothing(demo_page, open_tab, width_px):
    tab = open_tab(demo_page, width_px)

    assert tab.evaluate("innerWidth") == width_px
    assert tab.sideways_px() == 0
    assert tab.console() == []
    assert tab.requests() == []


def test_an_answer_fits_the_narrowest_phone_in_silence_and_asks_for_nothing(answer_page, open_tab):
    tab = open_tab(answer_page, PHONES_PX[0])

    assert (tab.sideways_px(), tab.console(), tab.requests()) == (0, [], [])


@pytest.mark.parametrize("number", PRINTED)
def test_a_page_prints_with_its_order_number_and_no_empty_sheet(number, page_texts, open_tab):
    page = next(page for page, text in page_texts.items() if number in text)

    sheets = open_tab(page).printed()

    assert number in sheets[0]
    assert [at for at, text in enumerate(sheets, 1) if not text.strip()] == []


def test_firefox_notices_a_message_a_request_and_a_page_too_wide(write_page, open_tab):
    page = write_page(
        '<img src="https://shop.invalid/a.png" alt="a"><div style="width: 330px">wide</div>'
        "<script>console.log('hello'); undefined_name()</script>"
    )

    tab = open_tab(page, 320)

    assert [line.split(":")[0] for line in tab.console()] == ["info", "error"]
    assert tab.requests() == ["https://shop.invalid/a.png"]
    assert tab.sideways_px() > 0


def test_firefox_notices_an_empty_sheet(write_page, open_tab):
    page = write_page('<p>text</p><p style="break-before: page; height: 10px"></p>')

    assert [bool(text.strip()) for text in open_tab(page).printed()] == [True, False]
