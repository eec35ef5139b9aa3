"""The desk in a real browser: links copied or selected, the table filtered, codes scanned, sheets printed."""

from __future__ import annotations

from io import BytesIO

import pytest
import zxingcpp
from PIL import Image
from pypdf import PdfReader

from explain.site.desk.papers import CARDS, bench_html
from tests.browser.test_accessible import violations
from tests.story.invented import pair_in

pytestmark = pytest.mark.browser

CARDS_PT = {"card.html": (297.6, 419.5), "card-4x6.html": (288, 432)}
LENS_MM = "document.querySelector('path.lens').getBoundingClientRect().width * 25.4 / 96"
LARGEST = {
    "frame": {"size": "66-20-150", "depth": "58", "outline": "square"},
    "lenses": {"design": "progressive", "add-ons": ["anti-reflective", "hard-layer"], "base-curve": "4.00"},
    "prescription": {
        "right": {"sphere": "-4.00", "cylinder": "-1.25", "axis": "30", "prism": ["1 up", "2 in"]},
        "left": {"sphere": "-3.00", "cylinder": "-1.25", "axis": "30", "prism": ["1 down", "2 in"]},
        "add": "2.00",
        "heights": "30 / 30",
        "pd": "36 / 36",
    },
}


@pytest.fixture(scope="module")
def desk(demo_site):
    return demo_site / "private" / "index.html"


@pytest.fixture
def paper(demo_site, demo_order):
    return lambda name: demo_site / "private" / demo_order.stem / name


def first_link(page):
    return page.locator(".link").first.inner_text()


def test_the_desk_is_silent_and_asks_for_nothing_but_itself(desk, open_page):
    visit = open_page(desk)

    assert (visit.console, visit.requests) == ([], [desk.as_uri()])


def test_the_button_puts_the_link_into_the_clipboard(desk, open_page):
    page = open_page(desk, permissions=["clipboard-read", "clipboard-write"]).page

    page.get_by_role("button", name="Copy link of").first.click()

    page.get_by_text("copied").wait_for()
    assert page.evaluate("navigator.clipboard.readText()") == first_link(page)
    assert first_link(page).startswith("https://glasses.quillharbor.example/")


def test_where_the_clipboard_is_refused_the_link_is_selected(desk, open_page):
    page = open_page(desk).page
    page.evaluate("() => { navigator.clipboard.writeText = () => Promise.reject(new Error('refused')) }")

    page.get_by_role("button", name="Copy link of").first.click()

    page.get_by_text("selected: copy it").wait_for()
    assert page.evaluate("getSelection().toString()") == first_link(page)


def test_without_scripts_the_links_are_text_and_nothing_is_offered_that_does_not_work(desk, open_page):
    page = open_page(desk, java_script_enabled=False).page

    assert first_link(page).startswith("https://")
    assert page.locator("button:visible, input:visible").count() == 0


@pytest.mark.parametrize("width_px", [390, 1280])
def test_the_filter_leaves_the_orders_with_all_words(desk, open_page, width_px):
    page = open_page(desk, width_px=width_px).page

    page.get_by_label("Show only orders").fill("tobias PUBLISHED")

    assert page.locator("tbody tr:visible strong").all_inner_texts() == ["QH-2102"]
    page.get_by_label("Show only orders").fill("")
    assert page.locator("tbody tr:visible").count() == 10


@pytest.mark.parametrize("width_px", [320, 1280])
def test_the_desk_fits_its_window(desk, open_page, width_px):
    assert open_page(desk, width_px=width_px).sideways_px() == 0


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", ["index.html", "QH-2105/bench.html", "QH-2105/card.html"])
def test_axe_finds_no_violation(demo_site, open_page, name, scheme):
    visit = open_page(demo_site / "private" / name, width_px=1280, color_scheme=scheme, bypass_csp=True)

    assert violations(visit) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", CARDS)
def test_the_code_of_a_card_is_the_link_of_the_page(paper, open_page, name, scheme, demo_site):
    page = open_page(paper(name), color_scheme=scheme).page
    page.emulate_media(media="print" if scheme == "light" else "screen", color_scheme=scheme)

    found = zxingcpp.read_barcodes(Image.open(BytesIO(page.screenshot())))

    (link,) = (code.text for code in found)
    assert link.startswith("https://glasses.quillharbor.example/")
    assert (demo_site / "upload" / link.split("/")[3] / "index.html").is_file()
    assert link in page.inner_text("body")


@pytest.mark.parametrize("name", CARDS)
def test_a_card_is_one_sheet_of_its_own_size(paper, open_page, name):
    (sheet,) = PdfReader(BytesIO(open_page(paper(name)).page.pdf(prefer_css_page_size=True))).pages

    assert (float(sheet.mediabox.width), float(sheet.mediabox.height)) == pytest.approx(CARDS_PT[name], abs=1)
    assert "(555) 010-0142" in sheet.extract_text()


@pytest.mark.parametrize("form", ["A4", "Letter"])
def test_a_bench_sheet_is_one_sheet(paper, open_page, form):
    (sheet,) = PdfReader(BytesIO(open_page(paper("bench.html")).page.pdf(format=form))).pages

    assert "Unwanted prism" in sheet.extract_text() or "Center thickness" in sheet.extract_text()


@pytest.mark.parametrize("standard", ["us", "iso"])
@pytest.mark.parametrize("form", ["A4", "Letter"])
def test_the_fullest_bench_sheet_is_still_one_sheet_with_both_lenses_at_true_size(tmp_path, open_page, standard, form):
    page = tmp_path / "bench.html"
    page.write_text(bench_html(pair_in(tmp_path, shop={"standard": standard}, **LARGEST)), encoding="utf-8")
    visit = open_page(page, width_px=718)

    assert len(PdfReader(BytesIO(visit.page.pdf(format=form))).pages) == 1
    visit.page.emulate_media(media="print")
    assert visit.page.evaluate(LENS_MM) == pytest.approx(66, abs=0.8)  # the line itself is 0.66 mm wide
    tops = visit.page.evaluate("[...document.querySelectorAll('figure')].map(one => one.getBoundingClientRect().top)")
    assert len(set(tops)) == 1
