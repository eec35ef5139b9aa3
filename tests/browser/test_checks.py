"""The home check in a real browser: its boxes tick without a script, by a tap on the words, and print as squares."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

BOX = """one => { const box = getComputedStyle(one, '::before');
  return [parseFloat(box.width), parseFloat(box.height), parseFloat(box.borderTopWidth), box.content]; }"""


def test_a_tap_on_the_words_ticks_the_box_without_a_script(demo_page, open_page):
    visit = open_page(demo_page, java_script_enabled=False)
    steps = visit.page.locator(".checks label")

    steps.first.locator("strong").click()

    assert steps.count() == 5
    assert [steps.nth(at).locator("input").is_checked() for at in range(5)] == [True, False, False, False, False]


def test_a_box_prints_as_an_empty_square_until_it_is_ticked(demo_page, open_page):
    visit = open_page(demo_page)
    visit.page.emulate_media(media="print")
    first = visit.page.locator(".checks input").first

    wide, high, line, sign = first.evaluate(BOX)
    first.check()

    assert (wide, sign) == (high, '""')
    assert wide >= 20
    assert line == 2
    assert first.evaluate(BOX)[3] == '"✓"'
