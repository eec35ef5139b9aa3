"""A watched page in a real browser: it reloads by itself, shows faults in the terminal's words, and lets them go."""

from __future__ import annotations

import re

import pytest

from tests.commands.test_watch import Watching
from tests.story.invented import write_order, write_shop

pytestmark = pytest.mark.browser

PATIENCE_MS = 60_000
NO_AXIS = {"prescription": {"right": "-4.00 -1.00"}}


@pytest.fixture
def orders(tmp_path):
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    write_order(tmp_path / "orders")
    return tmp_path / "orders"


@pytest.fixture
def watching(orders):
    watching = Watching(orders.parent)
    yield watching
    watching.stop()


@pytest.fixture
def page(watching, chromium):
    """The page of the one order, opened from the list that the watch names."""
    context = chromium.new_context()
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    page.said = []
    page.on("console", lambda message: page.said.append(message.text))
    page.goto(watching.line_with(r"Look at (http://127\.0\.0\.1:\d+/)")[1])
    page.get_by_role("link", name="T-0001").click()
    page.get_by_text("Odile").first.wait_for()
    yield page
    context.close()


def test_a_page_reloads_by_itself_and_shows_faults_until_they_are_mended(orders, watching, page):
    address = page.url
    write_order(orders, **{"for": "Tobias"})
    page.get_by_text("Tobias").first.wait_for()
    assert page.get_by_role("alert").count() == 0

    write_order(orders, **{"for": "Tobias"}, **NO_AXIS)
    box = page.get_by_role("alert")
    box.wait_for()
    shown = box.inner_text()
    told = watching.line_with(r"T-0001\.yaml:(\d+): (.*)")
    assert told[0].strip() in shown
    assert "the right eye has a cylinder but no axis" in shown
    assert "Type it after the cylinder, for example:" in shown
    assert page.get_by_text("Tobias").first.is_visible()

    write_order(orders, **{"for": "Zebedee"})
    page.get_by_text("Zebedee").first.wait_for()
    assert box.count() == 0
    assert page.url == address
    assert page.said == []


def test_the_box_of_faults_is_in_sight_and_has_its_looks(orders, watching, page):
    write_order(orders, **NO_AXIS)
    box = page.get_by_role("alert")
    box.wait_for()
    assert watching.process.poll() is None

    looks = box.evaluate("(box) => { const s = getComputedStyle(box); return [s.borderTopWidth, s.whiteSpace] }")
    top = box.bounding_box()["y"]

    assert looks[0] == "3px"
    assert re.fullmatch(r"(pre-wrap|preserve.*|.*pre-wrap.*)", looks[1])
    assert 0 <= top < 20
    page.mouse.wheel(0, 3000)
    for _ in range(100):  # a page that allows no eval cannot be asked to wait
        if page.evaluate("scrollY") > 1000:
            break
        page.wait_for_timeout(50)
    assert page.evaluate("scrollY") > 1000
    assert 0 <= box.bounding_box()["y"] < 20
