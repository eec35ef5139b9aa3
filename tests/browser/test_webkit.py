"""Each demo page in WebKit, the engine of many phones: silent, no wider than the phone, every picture drawn."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from tests.browser.programs import program
from tests.browser.webkit import console_of, display_running, open_framed, surroundings, webkit_running

pytestmark = pytest.mark.webkit

PHONES_PX = [320, 390]
PACKAGE = "webkit2gtk-driver"
SIDEWAYS = "return document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"
EMPTY_PICTURES = """return [...document.querySelectorAll('img, figure svg, figure svg image')]
  .filter(one => one.checkVisibility())
  .filter(one => one.naturalWidth === 0 || one.getBoundingClientRect().width < 1)
  .map(one => one.outerHTML.slice(0, 80))"""
"""Pictures that are to be seen and were not drawn, or not read."""


@pytest.fixture(scope="module")
def environment(tmp_path_factory):
    with display_running(program("Xvfb", "xvfb")) as display:
        yield surroundings(display, tmp_path_factory.mktemp("home"))


@pytest.fixture(scope="module")
def webkit(environment):
    with webkit_running(program("WebKitWebDriver", PACKAGE), environment) as running:
        yield running


@pytest.fixture
def open_narrow(webkit, tmp_path):
    def open_it(page, width_px):
        open_framed(webkit, page, width_px, tmp_path)
        return webkit.execute_script

    return open_it


@pytest.fixture(scope="module")
def small_browser():
    """The browser that comes with the driver."""
    program("WebKitWebDriver", PACKAGE)
    found = sorted(Path("/usr").glob("lib*/**/webkit2gtk-4.*/MiniBrowser"))
    assert found, "WebKitWebDriver is here, its MiniBrowser is not"
    return str(found[-1])


@pytest.mark.parametrize("width_px", PHONES_PX)
def test_a_page_fits_a_phone_with_every_picture_drawn(demo_order, demo_page, open_narrow, width_px):
    number = yaml.safe_load(demo_order.read_text(encoding="utf-8"))["order"]

    run = open_narrow(demo_page, width_px)

    assert run("return innerWidth") == width_px
    assert run(SIDEWAYS) == 0
    assert run(EMPTY_PICTURES) == []
    assert number in run("return document.body.innerText")


def test_an_answer_fits_the_narrowest_phone_with_every_picture_drawn(answer_page, open_narrow):
    run = open_narrow(answer_page, PHONES_PX[0])

    assert (run(SIDEWAYS), run(EMPTY_PICTURES)) == (0, [])


def test_the_pages_say_nothing_on_the_console_and_ask_for_nothing(demo_site, small_browser, environment, tmp_path):
    pages = sorted((demo_site / "upload").glob("*/index.html"))

    assert console_of(pages, small_browser, environment, tmp_path) == []


def test_a_page_too_wide_or_with_a_broken_picture_is_noticed(write_page, open_narrow):
    run = open_narrow(write_page('<img src="none.png" alt="none"><div style="width: 330px">wide</div>'), 320)

    assert run(SIDEWAYS) > 0
    assert len(run(EMPTY_PICTURES)) == 1


def test_a_message_is_noticed(write_page, small_browser, environment, tmp_path):
    page = write_page("<script>console.log('hello'); undefined_name()</script>")

    said = console_of([page], small_browser, environment, tmp_path)

    assert [line.split("CONSOLE ")[1] for line in said] == [
        "LOG hello",
        "JS ERROR ReferenceError: Can't find variable: undefined_name",
    ]


def test_a_request_is_noticed_since_the_policy_of_a_page_forbids_it(page_texts, small_browser, environment, tmp_path):
    whole = next(iter(page_texts)).read_text(encoding="utf-8")
    page = tmp_path / "asking.html"
    page.write_text(whole.replace("</body>", '<img src="https://shop.invalid/a.png" alt="a"></body>'), encoding="utf-8")

    (said,) = console_of([page], small_browser, environment, tmp_path)

    assert "https://shop.invalid/a.png" in said
