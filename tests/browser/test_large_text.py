"""Each demo page for a reader whose browser is set to letters twice the usual size, on the narrowest phone."""

from __future__ import annotations

import pytest

from tests.browser.conftest import chromium_with, windows_of

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def large_text_chromium(playwright):
    with chromium_with(playwright, "--blink-settings=defaultFontSize=32") as browser:
        yield browser


@pytest.fixture
def open_large(large_text_chromium):
    with windows_of(large_text_chromium) as open_it:
        yield open_it


def test_a_page_in_letters_of_twice_the_size_fits_320_px(demo_page, open_large):
    visit = open_large(demo_page, width_px=320)

    assert visit.page.evaluate("parseFloat(getComputedStyle(document.body).fontSize)") == 36
    assert visit.sideways_px() == 0


def test_text_that_outgrows_the_phone_is_noticed(write_page, open_large):
    page = write_page("<p style='width: 15rem'>Too wide</p>")

    assert open_large(page, width_px=320).sideways_px() > 0
