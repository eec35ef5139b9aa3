"""Each demo page for readers who see, hear or tap differently: axe-core, tap targets, scripts off."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

pytestmark = pytest.mark.browser

RULES = ["wcag2a", "wcag2aa", "wcag2aaa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
"""Groups of axe-core's rules; wcag2aaa holds contrast to 7:1."""
CONTRAST = {"type": "rule", "values": ["color-contrast", "color-contrast-enhanced"]}
"""All that a dark scheme can change."""
RULES_OF = {"light": RULES, "dark": CONTRAST}
TAP_PX = 44
SMALL_TARGETS = """least => [...document.querySelectorAll('a, summary, button, label, input')]
  .filter(one => one.checkVisibility() && getComputedStyle(one).display !== 'inline')
  .map(one => [one.textContent.trim(), one.getBoundingClientRect()])
  .filter(([, box]) => box.height > 0 && box.height < least - 0.5)
  .map(([text, box]) => `${text}: ${box.height}`)"""
"""Targets on lines of their own; a link inside a sentence is exempt (WCAG 2.2, success criterion 2.5.8, inline)."""


def violations(visit, scheme="light"):
    found = Axe().run(visit.page, options={"runOnly": RULES_OF[scheme]}).response["violations"]
    return [f"{one['id']}: {node['html'][:200]}" for one in found for node in one["nodes"]]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_violation(demo_page, open_page, scheme):
    visit = open_page(demo_page, color_scheme=scheme, bypass_csp=True)

    assert violations(visit, scheme) == []


def test_everything_to_tap_is_tall_enough_for_a_thumb(demo_page, open_page):
    assert open_page(demo_page).page.evaluate(SMALL_TARGETS, TAP_PX) == []


def test_axe_finds_no_violation_in_any_answer(demo_site, open_page):
    first, *others = sorted(demo_site.glob("upload/answers/*.html"))
    visit = open_page(first, bypass_csp=True)
    found = {first.name: violations(visit)}

    for page in others:
        visit.page.goto(page.as_uri())
        found[page.name] = violations(visit)

    assert {name: wrong for name, wrong in found.items() if wrong} == {}
    assert len(found) > 100


def test_an_answer_in_the_dark_has_contrast_enough(answer_page, open_page):
    assert violations(open_page(answer_page, color_scheme="dark", bypass_csp=True), "dark") == []


def test_everything_to_tap_in_an_answer_is_tall_enough_for_a_thumb(answer_page, open_page):
    assert open_page(answer_page).page.evaluate(SMALL_TARGETS, TAP_PX) == []


def test_a_page_says_the_same_with_scripts_off_and_without_a_network(demo_page, open_page):
    whole = open_page(demo_page).page.inner_text("body")

    bare = open_page(demo_page, java_script_enabled=False, offline=True)

    assert bare.page.inner_text("body") == whole


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_grey_letters_are_noticed(write_page, open_page, scheme):
    page = write_page('<main><h1>A page</h1><p style="color: #666; background: #fff">Too faint for 7:1</p></main>')

    found = violations(open_page(page, color_scheme=scheme), scheme)

    assert [line.split(":")[0] for line in found] == ["color-contrast-enhanced"]


def test_a_link_too_small_for_a_thumb_is_noticed(write_page, open_page):
    page = write_page('<a href="#x" style="display: block">small</a><p>A <a href="#x">link</a> in a sentence.</p>')

    assert [line.split(":")[0] for line in open_page(page).page.evaluate(SMALL_TARGETS, TAP_PX)] == ["small"]
