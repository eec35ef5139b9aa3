"""Each demo page on paper: every sheet says whose it is, and no row or picture is cut in two."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO

import pytest
import yaml
from pypdf import PdfReader

pytestmark = pytest.mark.browser

SPLIT = """() => [...document.querySelectorAll('tr, figcaption, .picture, .caution, .receipt')]
  .filter(one => getComputedStyle(one).breakInside !== 'avoid').map(one => one.outerHTML.slice(0, 80))"""


PAPERS_PT = {"A4": (595, 842), "Letter": (612, 792)}


@dataclass(frozen=True, slots=True)
class Sheet:
    """One printed sheet: its size in points, and what stands on it."""

    size_pt: tuple[float, float]
    text: str


@pytest.fixture(scope="module")
def prints():
    """What was printed before: printing a page takes seconds, and several tests read the same sheets."""
    return {}


@pytest.fixture
def sheets_of(demo_page, open_page, prints):
    def printed(paper):
        if (demo_page, paper) not in prints:
            pages = PdfReader(BytesIO(open_page(demo_page).page.pdf(format=paper, print_background=True))).pages
            sizes = [(float(page.mediabox.width), float(page.mediabox.height)) for page in pages]
            texts = [page.extract_text() for page in pages]
            prints[demo_page, paper] = [Sheet(size, text) for size, text in zip(sizes, texts, strict=True)]
        return prints[demo_page, paper]

    return printed


@pytest.mark.parametrize("paper", PAPERS_PT)
def test_a_page_prints_on_paper_with_no_empty_sheet(sheets_of, paper):
    sheets = sheets_of(paper)

    assert [sheet.size_pt for sheet in sheets] == [pytest.approx(PAPERS_PT[paper], abs=2)] * len(sheets)
    assert [number for number, sheet in enumerate(sheets, 1) if not sheet.text.strip()] == []


@pytest.mark.parametrize("paper", PAPERS_PT)
def test_each_sheet_has_the_order_number_the_phone_and_its_own_number(demo_order, sheets_of, paper):
    number = yaml.safe_load(demo_order.read_text(encoding="utf-8"))["order"]
    texts = [sheet.text for sheet in sheets_of(paper)]

    expected = [f"Page {at} of {len(texts)}" for at in range(1, len(texts) + 1)]
    assert [line for line, text in zip(expected, texts, strict=True) if line not in text] == []
    assert [at for at, text in enumerate(texts, 1) if f"Order {number} · (555) 010-0142" not in text] == []


def test_no_row_figure_or_caution_may_be_cut_between_two_sheets(demo_page, open_page):
    visit = open_page(demo_page)
    visit.page.emulate_media(media="print")

    assert visit.page.evaluate(SPLIT) == []


def test_the_first_sheet_stands_alone(sheets_of):
    first = sheets_of("Letter")[0].text

    assert "(555) 010-0142" in first
    assert "1." in first
    assert "3." in first
    assert "What your prescription says" not in first
