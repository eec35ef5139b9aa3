"""Sealed pages in Firefox and WebKit, and as the Nu HTML checker reads them: opened, closed, and found again."""

from __future__ import annotations

import time

import pytest
from selenium.common.exceptions import WebDriverException

from tests.browser.firefox import firefox_running, opened_at
from tests.browser.programs import program
from tests.browser.sealed import HOST, built_sealed, hosted, links_told
from tests.browser.test_html_checker import complaints
from tests.browser.webkit import display_running, surroundings, webkit_running

NAME = "Tobias"
CLOSED = "This page opens with your whole link."
SEEN = "document.body.innerText"
HASH = "location.hash"
ALONE = "getComputedStyle(document.querySelector('#receipt .alone')).display !== 'none'"
TAP_RECEIPT = "document.querySelector('a[href=\\'#receipt\\']').click()"
PATIENCE_S = 10


@pytest.fixture(scope="module")
def sealed_site(tmp_path_factory):
    return built_sealed(tmp_path_factory.mktemp("sealed"))


@pytest.fixture(scope="module")
def link(sealed_site):
    with hosted(sealed_site) as (address, _):
        yield links_told(sealed_site)["QH-2102"].replace(HOST, address)


@pytest.fixture(scope="module")
def firefox():
    with firefox_running(program("firefox-esr", "firefox-esr")) as bidi:
        yield bidi


@pytest.fixture(scope="module")
def webkit(tmp_path_factory):
    with display_running(program("Xvfb", "xvfb")) as display:
        environment = surroundings(display, tmp_path_factory.mktemp("home"))
        with webkit_running(program("WebKitWebDriver", "webkit2gtk-driver"), environment) as running:
            yield running


@pytest.fixture
def in_firefox(firefox):
    """Open a link in Firefox; gives what works an expression out, and the tab."""
    tabs = []

    def go(link):
        tabs.append(opened_at(firefox, link, 390))
        return tabs[-1].evaluate, tabs[-1]

    yield go
    for tab in tabs:
        firefox.do("browsingContext.close", context=tab.name)


@pytest.fixture
def in_webkit(webkit):
    """Open a link in WebKit; gives what works an expression out, and the browser."""

    def go(link):
        webkit.get("about:blank")
        webkit.get(link)
        return (lambda expression: webkit.execute_script(f"return {expression}")), webkit

    return go


@pytest.fixture(
    params=[pytest.param("firefox", marks=pytest.mark.firefox), pytest.param("webkit", marks=pytest.mark.webkit)]
)
def go(request):
    return request.getfixturevalue(f"in_{request.param}")


def until(evaluate, expression, *, wanted):
    """What an expression gives once it is what is wanted, or when patience ends."""
    deadline = time.monotonic() + PATIENCE_S
    while True:
        try:
            found = evaluate(expression)
        except (AssertionError, RuntimeError, WebDriverException):
            found = None  # the page was just being replaced
        if found == wanted or time.monotonic() > deadline:
            return found
        time.sleep(0.05)


def test_the_link_opens_the_page(go, link):
    evaluate, _ = go(link)

    assert until(evaluate, f"{SEEN}.includes('{NAME}')", wanted=True)
    assert CLOSED not in evaluate(SEEN)
    assert evaluate("document.title + document.compatMode") == "Your glassesCSS1Compat"


@pytest.mark.parametrize(("end", "state"), [("", "missing"), ("#" + "A" * 43, "misfit")])
def test_without_its_key_it_stays_closed(go, link, end, state):
    evaluate, _ = go(link.partition("#")[0] + end)

    assert until(evaluate, "document.documentElement.dataset.state", wanted=state) == state
    assert CLOSED in evaluate(SEEN)
    assert NAME not in evaluate("document.documentElement.innerHTML")


def test_the_receipt_stands_alone_keeps_the_key_and_is_found_again_after_reloading(go, link):
    key = link.partition("#")[2]
    evaluate, _ = go(link)
    assert until(evaluate, f"{SEEN}.includes('{NAME}')", wanted=True)
    evaluate(TAP_RECEIPT)
    assert until(evaluate, HASH, wanted=f"#{key}/receipt") == f"#{key}/receipt"
    assert evaluate(ALONE)

    evaluate("setTimeout(() => location.reload()) && true")
    time.sleep(0.5)

    assert until(evaluate, ALONE, wanted=True)
    assert until(evaluate, HASH, wanted=f"#{key}/receipt") == f"#{key}/receipt"
    evaluate("setTimeout(() => history.back()) && true")
    assert until(evaluate, HASH, wanted=f"#{key}") == f"#{key}"
    assert until(evaluate, ALONE, wanted=False) is False


@pytest.mark.firefox
def test_in_firefox_it_is_silent_and_prints_the_page(in_firefox, link):
    evaluate, tab = in_firefox(link)
    assert until(evaluate, f"{SEEN}.includes('{NAME}')", wanted=True)

    sheets = tab.printed()

    said = [line for line in tab.console() if "/favicon.ico" not in line]  # Firefox asks by itself, and is refused
    assert (said, tab.requests()) == ([], [link])
    assert NAME in "".join(sheets)
    assert "QH-2102" in sheets[0]
    assert [at for at, text in enumerate(sheets, 1) if not text.strip()] == []


@pytest.mark.java
def test_the_checker_finds_no_fault_in_what_is_uploaded(sealed_site):
    pages = sorted((sealed_site / "site_out" / "upload").glob("*/index.html"))
    assert len(pages) > 4

    assert complaints(program("java", "default-jre-headless"), pages) == []
