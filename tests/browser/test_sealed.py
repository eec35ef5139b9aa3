"""Sealed pages in a real browser, sent by a host that heeds _headers: opened by the link, closed to all else."""

from __future__ import annotations

import base64
import re
import threading
from contextlib import contextmanager
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from pypdf import PdfReader

from explain.site.desk.papers import CARDS
from explain.site.preview import Board, serve
from explain.site.rebuild import Workbench
from tests.browser.conftest import Visit
from tests.browser.sealed import HOST, built_sealed, hosted, link_of, links_told
from tests.browser.test_accessible import SMALL_TARGETS, TAP_PX, violations
from tests.story.invented import write_order, write_shop

pytestmark = pytest.mark.browser

PHONE = "(555) 010-0142"
CLOSED = "This page opens with your whole link."
WHY = {
    "missing": "The last part of the link is missing.",
    "misfit": "The last part of this link does not open this page.",
    "unable": "This browser cannot open the page.",
    "untried": "this browser has not run it",
}


@pytest.fixture(scope="module")
def sealed_site(tmp_path_factory):
    return built_sealed(tmp_path_factory.mktemp("sealed"))


@pytest.fixture(scope="module")
def links(sealed_site):
    return links_told(sealed_site)


@pytest.fixture(scope="module")
def host(sealed_site):
    with hosted(sealed_site) as (address, asked):
        yield address, asked


@pytest.fixture
def here(host):
    """A link as it leads to the host of these tests."""
    return lambda link: link.replace(HOST, host[0])


@pytest.fixture
def visit(chromium, here):
    windows = []

    def go(link, **options):
        options = {"viewport": {"width": 390, "height": 844}} | options
        windows.append(chromium.new_context(**options))
        opened = Visit(windows[-1].new_page())
        opened.listen()
        opened.page.goto(here(link), wait_until="load")
        if options.get("java_script_enabled", True):
            opened.page.wait_for_function("document.documentElement.dataset.state !== 'opening'")
        return opened

    yield go
    for window in windows:
        window.close()


@pytest.fixture
def link(links):
    return links["QH-2102"]


def shown(visit):
    return visit.page.inner_text("body")


def assert_closed(visit, why):
    text = shown(visit)
    assert CLOSED in text
    assert PHONE in text
    assert [name for name, words in WHY.items() if words in text] == [why]
    assert "Tobias" not in visit.page.content()


def test_the_link_opens_the_page_in_silence_and_asks_for_nothing_else(visit, link, here):
    opened = visit(link)

    assert "Tobias" in shown(opened)
    assert CLOSED not in shown(opened)
    assert opened.page.title() == "Your glasses"
    assert opened.page.evaluate("document.documentElement.lang + document.compatMode") == "en-USCSS1Compat"
    assert (opened.console, opened.requests) == ([], [here(link).partition("#")[0]])
    assert opened.sideways_px() == 0


def test_the_key_is_never_sent(visit, host, link, links):
    visit(link).page.click("a[href='#receipt']")

    assert host[1]
    assert not [line for line in host[1] for one in links.values() if one.partition("#")[2] in line]


@pytest.mark.parametrize("end", ["", "#", "#price", "#KEY"])
def test_without_its_key_the_page_stays_closed_and_says_so_kindly(visit, link, end):
    assert_closed(visit(link.partition("#")[0] + end), "missing")


def test_the_key_of_another_order_does_not_open_the_page(visit, link, links):
    other = links["QH-2105"].partition("#")[2]

    assert_closed(visit(f"{link.partition('#')[0]}#{other}"), "misfit")


def test_the_whole_link_opens_a_page_that_is_open_already_and_closed(visit, link, here):
    closed = visit(link.partition("#")[0])

    closed.page.goto(here(link))

    closed.page.get_by_text("Tobias").first.wait_for()


@pytest.mark.parametrize("at", [0, 3, 20, 1000, -2])
def test_a_page_with_one_bit_flipped_stays_closed(visit, link, at, sealed_site):
    page = sealed_site / "site_out" / "upload" / link.split("/")[3] / "index.html"
    text = page.read_text(encoding="utf-8")
    block = re.search(r'id="sealed">([^<]+)<', text)[1]
    raw = bytearray(base64.b64decode(block))
    raw[at] ^= 1
    page.write_text(text.replace(block, base64.b64encode(raw).decode()), encoding="utf-8")
    try:
        assert_closed(visit(link), "misfit")
    finally:
        page.write_text(text, encoding="utf-8")


def test_a_sealed_page_opens_at_its_own_address_only(visit, link, sealed_site):
    upload = sealed_site / "site_out" / "upload"
    moved = upload / link.split("/")[3].translate(str.maketrans("abc", "bca"))
    moved.mkdir()
    (moved / "index.html").write_bytes((upload / link.split("/")[3] / "index.html").read_bytes())

    assert_closed(visit(f"{HOST}/{moved.name}/#{link.partition('#')[2]}"), "misfit")


def test_without_web_crypto_the_page_says_what_would_help(chromium, link, here):
    with chromium.new_context() as window:
        window.add_init_script("Object.defineProperty(crypto, 'subtle', { value: undefined })")
        opened = Visit(window.new_page())
        opened.page.goto(here(link))

        assert_closed(opened, "unable")


def test_without_scripts_the_page_says_so(visit, link):
    assert_closed(visit(link, java_script_enabled=False), "untried")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_violation_closed(visit, link, scheme):
    closed = visit(link.partition("#")[0], color_scheme=scheme, bypass_csp=True)

    assert violations(closed) == []


@pytest.mark.parametrize("width_px", [320, 390])
def test_a_closed_page_fits_a_phone_in_silence_and_its_phone_is_easy_to_tap(visit, link, width_px):
    closed = visit(link.partition("#")[0], viewport={"width": width_px, "height": 844})

    assert (closed.sideways_px(), closed.console) == (0, [])
    assert closed.page.evaluate(SMALL_TARGETS, TAP_PX) == []


def test_an_open_page_is_dark_where_the_reader_likes_it_dark(visit, link):
    opened = visit(link, color_scheme="dark")

    assert opened.page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(18, 18, 18)"


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_an_open_page_prints_like_the_page_in_clear(visit, link, paper):
    sheets = PdfReader(BytesIO(visit(link).page.pdf(format=paper))).pages

    assert len(sheets) > 3
    assert "Tobias" in "".join(sheet.extract_text() for sheet in sheets)
    assert f"Page 1 of {len(sheets)}" in sheets[0].extract_text()
    assert "QH-2102" in sheets[-1].extract_text()


def test_the_receipt_prints_alone_and_the_whole_page_after_going_back(visit, link):
    page = visit(link).page
    page.click("a[href='#receipt']")
    page.wait_for_url("**/receipt")
    (alone,) = PdfReader(BytesIO(page.pdf(format="A4"))).pages

    page.go_back()
    page.wait_for_url(lambda url: not url.endswith("/receipt"))

    assert "Our tax number" in alone.extract_text()
    assert "Right eye" not in alone.extract_text()
    assert not page.locator("#receipt").is_visible()
    assert len(PdfReader(BytesIO(page.pdf(format="A4"))).pages) > 3


def test_a_jump_to_a_part_keeps_the_key_for_reloading_going_on_and_a_bookmark(visit, link, here):
    page = visit(link).page
    page.click("nav a[href='#price']")
    page.wait_for_url(f"{here(link)}/price")
    page.reload()
    page.get_by_text("Tobias").first.wait_for()
    page.click("a[href='#receipt']")
    page.wait_for_url(f"{here(link)}/receipt")
    page.reload()
    page.locator("#receipt").wait_for(state="visible")
    page.go_back()
    page.wait_for_url(f"{here(link)}/price")
    page.go_forward()
    page.wait_for_url(f"{here(link)}/receipt")
    page.locator("#receipt").wait_for(state="visible")

    assert "Tobias" in shown(visit(f"{link}/price"))


def test_the_link_to_an_answer_leads_there_and_back(visit, link):
    page = visit(link).page
    page.locator("a[href^='../answers/']").first.click()
    page.wait_for_url("**/answers/**")

    page.go_back()

    page.get_by_text("Tobias").first.wait_for()


def test_the_calendar_is_saved_from_the_open_page_and_lies_nowhere_in_clear(visit, link, sealed_site):
    page = visit(link).page
    with page.expect_download() as saving:
        page.click("a[type='text/calendar']")
    saved = Path(saving.value.path()).read_text(encoding="utf-8")

    assert saving.value.suggested_filename == "reminders.ics"
    assert saved.startswith("BEGIN:VCALENDAR")
    assert "20" in saved.partition("DTSTART")[2]
    assert list((sealed_site / "site_out" / "upload").rglob("*.ics")) == []


def test_a_page_that_was_made_again_leads_on_with_the_old_link_to_the_new_page(visit, links, here, sealed_site):
    new = links["QH-2111"]
    old = visit(link_of(sealed_site, "QH-2101"))
    assert "Your glasses were made again." in shown(old)
    old.page.click("text=Open the page of your new pair")

    old.page.get_by_text("the left lens was made again").first.wait_for()

    assert old.page.url == here(new).replace("/#", "/index.html#")


def test_an_own_script_in_the_opened_page_does_not_run(visit, link):
    opened = visit(link)
    opened.page.evaluate("document.body.insertAdjacentHTML('beforeend', '<b id=b onclick=\"window.ran = 1\">b</b>')")
    opened.page.evaluate(
        "() => { const s = document.createElement('script'); s.textContent = 'window.ran = 1';"
        " document.body.append(s); document.getElementById('b').click(); }"
    )

    assert opened.page.evaluate("window.ran") is None


@pytest.mark.parametrize("name", CARDS)
def test_the_code_of_a_card_holds_the_key(chromium, name, sealed_site, link):
    page = chromium.new_page(viewport={"width": 390, "height": 844})
    page.goto((sealed_site / "site_out" / "private" / "QH-2102" / name).as_uri())

    (code,) = zxingcpp.read_barcodes(Image.open(BytesIO(page.screenshot())))
    (sheet,) = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True))).pages

    assert code.text == link
    assert link in page.inner_text("body")
    assert PHONE in sheet.extract_text()
    page.close()


def test_the_desk_opens_the_page_from_this_computer_and_its_message_holds_the_link(chromium, sealed_site, link):
    page = chromium.new_page()
    page.goto((sealed_site / "site_out" / "private" / "index.html").as_uri())
    message = page.get_by_label("Mail for QH-2102").get_attribute("href")
    assert link.partition("#")[2] in message
    assert "%23" in message

    page.get_by_label("Page of QH-2102", exact=True).click()

    page.get_by_text("Tobias").first.wait_for()
    page.close()


def test_while_it_is_watched_an_open_page_reloads_and_shows_the_faults(chromium, tmp_path):
    write_shop(tmp_path, sealed="true")
    write_order(tmp_path)
    bench, board = Workbench(tmp_path, tmp_path / "out", lambda: date(2026, 11, 25)), Board()
    page = chromium.new_page()
    with previewed(tmp_path / "out" / "upload", board) as address:
        rebuilt(bench, board)
        page.goto(address)
        page.get_by_text("T-0001").click()
        page.get_by_text("frame Rowan").first.wait_for()

        write_order(tmp_path, frame={"name": "Hazel"})
        rebuilt(bench, board)
        page.get_by_text("frame Hazel").first.wait_for()
        write_order(tmp_path, lenses={"material": "wood"})
        rebuilt(bench, board)
        page.get_by_role("alert").get_by_text("wood").wait_for()

        assert "frame Hazel" in page.inner_text("body")
        assert page.get_by_role("alert").evaluate("one => getComputedStyle(one).borderTopWidth") == "3px"
    page.close()


def rebuilt(bench, board):
    bench.build(bench.orders(), all_answers=False)
    board.show(bench.shown())


@contextmanager
def previewed(upload, board):
    server = serve(upload, board)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_address[1]}/"
    board.end()
    server.shutdown()
    server.server_close()
    thread.join()


def test_a_page_in_clear_ignores_a_key(open_page, demo_site, links):
    page = next(one for one in sorted((demo_site / "upload").glob("*/index.html")) if one.parent.name != "answers")
    opened = open_page(page)
    opened.page.goto(f"{page.as_uri()}#{links['QH-2102'].partition('#')[2]}")

    assert "Your glasses" in opened.page.title()
    assert opened.console == []
