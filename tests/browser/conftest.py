"""A real browser: the Chromium of the operating system, opening the built demo pages as a customer's would."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
import yaml
from bs4 import BeautifulSoup
from playwright.sync_api import Browser, Page, Playwright, sync_playwright

from explain.site.faq import read_answers
from explain.site.own import Own
from explain.story.answers import index_of
from tests.conftest import REPOSITORY, customer_pages

CHROMIUM = Path(os.environ.get("CHROMIUM", "/usr/bin/chromium"))
FLAGS = [
    "--headless",
    "--no-sandbox",  # the test machine runs as root, and the pages are our own
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


HEAD = '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>x</title></head>'


@dataclass(frozen=True, slots=True)
class Visit:
    """A page that was opened, with all it said on the console and every address it asked for, in order."""

    page: Page
    console: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    def sideways_px(self) -> int:
        """How far the page can be pushed sideways [px]; 0 for a page that fits."""
        width = "document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"
        return int(self.page.evaluate(width))

    def listen(self) -> None:
        """Write down what the page says and asks for from now on."""
        self.page.on("console", lambda message: self.console.append(f"{message.type}: {message.text}"))
        self.page.on("pageerror", lambda error: self.console.append(f"error: {error}"))
        self.page.on("request", lambda request: self.requests.append(request.url))


OpenPage = Callable[..., Visit]


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    if not CHROMIUM.exists():
        pytest.fail(f"Chromium is missing at {CHROMIUM}. Run `make browser`, or: apt-get install chromium")
    with sync_playwright() as started:
        yield started


@contextmanager
def chromium_with(playwright: Playwright, *flags: str) -> Iterator[Browser]:
    """Start Chromium with flags beside the usual ones."""
    browser = playwright.chromium.launch(executable_path=CHROMIUM, args=[*FLAGS, *flags])
    yield browser
    browser.close()


@contextmanager
def windows_of(browser: Browser) -> Iterator[OpenPage]:
    """Open a file in a window of its own: `open_page(path, width_px=320)` gives a Visit."""
    windows = []

    def open_it(path: Path, width_px: int = 390, height_px: int = 844, **options: object) -> Visit:
        window = browser.new_context(viewport={"width": width_px, "height": height_px}, **options)
        windows.append(window)
        visit = Visit(window.new_page())
        visit.listen()
        visit.page.goto(path.as_uri(), wait_until="load")
        return visit

    yield open_it
    for window in windows:
        window.close()


@pytest.fixture(scope="session")
def chromium(playwright: Playwright) -> Iterator[Browser]:
    with chromium_with(playwright) as browser:
        yield browser


@pytest.fixture
def open_page(chromium: Browser) -> Iterator[OpenPage]:
    with windows_of(chromium) as open_it:
        yield open_it


@pytest.fixture
def write_page(tmp_path: Path) -> Callable[[str], Path]:
    """Write a small page of our own making, to see that a fault in it would be noticed."""

    def write(body: str) -> Path:
        page = tmp_path / "index.html"
        page.write_text(f"{HEAD}<body>{body}</body></html>", encoding="utf-8")
        return page

    return write


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder into which the demo orders were built, once for all tests: upload/ and private/."""
    out = tmp_path_factory.mktemp("demo_site")
    build = [sys.executable, "-m", "explain", "build", "--out", str(out)]
    finished = subprocess.run(build, cwd=REPOSITORY, capture_output=True, text=True, check=False)
    assert finished.returncode == 0, finished.stdout + finished.stderr
    return out


@pytest.fixture(scope="session")
def page_texts(demo_site: Path) -> dict[Path, str]:
    """What each page of the site says, without its markup."""
    pages = customer_pages(demo_site)
    return {page: BeautifulSoup(page.read_bytes(), "html5lib").get_text() for page in pages}


def some_answers() -> list[str]:
    """The index of the answers for everyone, and the first answer on each subject."""
    return ["index", *(subject.answers[0].name for subject in index_of(read_answers(Own()).answers))]


@pytest.fixture(params=some_answers())
def answer_page(request: pytest.FixtureRequest, demo_site: Path) -> Path:
    """The built page of one answer for everyone, or their index."""
    return demo_site / "upload" / "answers" / f"{request.param}.html"


@pytest.fixture
def demo_page(demo_order: Path, page_texts: dict[Path, str]) -> Path:
    """The built page of one demo order, known by the order number it prints."""
    number = str(yaml.safe_load(demo_order.read_text(encoding="utf-8"))["order"])
    found = [page for page, text in page_texts.items() if number in text]
    assert len(found) == 1, f"{number} is printed on {len(found)} of {len(page_texts)} pages"
    return found[0]
