"""Sealed pages: the same bytes for the same page, opened by other means, refused when touched, and nothing in clear."""

from __future__ import annotations

import base64
import hashlib
import hmac
import re
import shutil
import subprocess
import sys
from datetime import date

import html5lib
import pytest
from bs4 import BeautifulSoup
from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers import Cipher
from cryptography.hazmat.primitives.ciphers.algorithms import AES256
from cryptography.hazmat.primitives.ciphers.modes import GCM

from explain.cli import main
from explain.site.address import page_address
from explain.site.desk.links import links_of
from explain.site.policy import digest, sealed_script
from explain.site.preview import Board, with_news
from explain.site.rebuild import Workbench
from explain.site.retire import RetireError, bring_back, published, retire
from explain.site.retired import Retirement
from explain.site.seal import STEP_BYTES, bound_to, is_sealed, key_part, page_key, seal
from tests.story.invented import pair_in, write_shop

SECRET = bytes(range(32))
ADDRESS = page_address(SECRET, "T-0001")
KEY = re.compile(r"#([A-Za-z0-9_-]{43})")


@pytest.fixture
def sealing(shop):
    write_shop(shop.orders, sealed="true")
    return shop


def block_of(page):
    return base64.b64decode(BeautifulSoup(page, "html5lib").find(id="sealed").string)


def opened(sealed, key, address):
    """The page, by the bare cipher: no tag is trusted that was not computed here."""
    nonce, inner, tag = sealed[:12], sealed[12:-16], sealed[-16:]
    opener = Cipher(AES256(key), GCM(nonce, tag)).decryptor()
    opener.authenticate_additional_data(f"order-explainer sealed page 1\0{address}".encode())
    filled = opener.update(inner) + opener.finalize()
    return filled[4 : 4 + int.from_bytes(filled[:4])].decode()


def by_hand(secret, info):
    """HKDF-SHA-256 as RFC 5869 writes it, for 32 bytes and no salt."""
    inner = hmac.digest(bytes(32), secret, hashlib.sha256)
    return hmac.digest(inner, info + b"\1", hashlib.sha256)


def opened_page(shop, result):
    (row,) = links_of([result.path], shop.out).rows
    key = base64.urlsafe_b64decode(KEY.search(row.link)[1] + "=")
    return opened(block_of(shop.page(result)), key, result.page.parent.name)


def everything_in(folder):
    return b"".join(path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file())


def test_the_key_is_derived_as_the_standard_says_and_apart_from_the_address():
    assert page_key(SECRET, "T-0001") == by_hand(SECRET, b"order-explainer sealed page 1\0key\0T-0001")
    assert len({page_key(SECRET, "T-0001"), page_key(SECRET, "T-0002"), page_key(bytes(32), "T-0001")}) == 3


def test_the_same_page_gives_the_same_bytes_and_another_one_never_the_same_nonce():
    pages = [*(f"page {at}" for at in range(200)), "page 7 ", "page 7\0", ""]
    sealed = [seal(page, SECRET, "T-0001", ADDRESS) for page in pages]

    assert sealed[7] == seal("page 7", SECRET, "T-0001", ADDRESS)
    assert len({one[:12] for one in sealed}) == len(pages)


def test_another_address_or_order_has_another_nonce_too():
    sealed = [seal("a", SECRET, "T-0001", ADDRESS), seal("a", SECRET, "T-0001", "b"), seal("a", SECRET, "T-2", ADDRESS)]

    assert len({one[:12] for one in sealed}) == 3


def test_it_opens_by_other_means_with_its_key_at_its_address_only():
    sealed, key = seal("Grüße", SECRET, "T-0001", ADDRESS), page_key(SECRET, "T-0001")

    assert opened(sealed, key, ADDRESS) == "Grüße"
    for wrong_key, wrong_address in ((page_key(SECRET, "T-0002"), ADDRESS), (key, ADDRESS[::-1])):
        with pytest.raises(InvalidTag):
            opened(sealed, wrong_key, wrong_address)


@pytest.mark.parametrize("at", [0, 11, 12, 16, 5000, -17, -16, -1])
@pytest.mark.parametrize("bit", [1, 128])
def test_a_flipped_bit_is_refused(at, bit):
    sealed = bytearray(seal("page", SECRET, "T-0001", ADDRESS))
    sealed[at] ^= bit

    with pytest.raises(InvalidTag):
        opened(bytes(sealed), page_key(SECRET, "T-0001"), ADDRESS)


@pytest.mark.parametrize(
    ("letters", "steps"), [(0, 1), (1, 1), (STEP_BYTES - 4, 1), (STEP_BYTES - 3, 2), (2 * STEP_BYTES - 4, 2)]
)
def test_pages_are_filled_up_to_a_common_length(letters, steps):
    sealed = seal("a" * letters, SECRET, "T-0001", ADDRESS)

    assert len(sealed) == 12 + steps * STEP_BYTES + 16
    assert len(opened(sealed, page_key(SECRET, "T-0001"), ADDRESS)) == letters


def test_every_demo_page_is_one_step_long(demo_results):
    assert {-(-(4 + result.page.stat().st_size) // STEP_BYTES) for result in demo_results.values()} == {1}


def test_an_uploaded_page_is_valid_holds_the_phone_and_nothing_of_the_order(sealing):
    (result,) = sealing.build(sealing.order(language="es"))
    page = sealing.page(result)
    html5lib.HTMLParser(strict=True).parse(page)
    text = BeautifulSoup(page, "html5lib").body.get_text()

    assert text.count("(555) 010-0142") == 2
    in_clear = re.sub(r'id="sealed">[^<]+', "", page)
    words = ("Odile", "T-0001", "Rowan", "slate", "180", "4.00", "Quill", "Ellwood", "reminders")
    assert [word for word in words if word in in_clear] == []
    assert [path.name for path in result.page.parent.iterdir()] == ["index.html"]


def test_the_whole_upload_folder_holds_no_key_and_private_only_where_it_must(sealing):
    (result,) = sealing.build(sealing.order(), all_answers=True)
    key = key_part(pair_in(sealing.orders, shop={"sealed": "true"}).shop, "T-0001").removeprefix("#")

    assert opened_page(sealing, result)
    assert key.encode() not in everything_in(sealing.out / "upload")
    holding = [path.name for path in sealing.out.rglob("*") if path.is_file() and key.encode() in path.read_bytes()]
    assert sorted(holding) == ["card-4x6.html", "card.html", "desk.json", "index.html"]


def test_no_key_is_said_or_reported_by_a_build(sealing, tmp_path, capsys):
    path, report = sealing.order(), tmp_path / "report.json"
    assert main(["build", str(path), "--out", str(sealing.out), "--report", str(report), "--verbose"]) == 0
    said = "".join(capsys.readouterr()) + report.read_text(encoding="utf-8")

    (row,) = links_of([path], sealing.out).rows
    assert "T-0001" in said
    assert row.key_part.removeprefix("#") not in said


def test_the_opened_page_is_the_page_in_clear_with_its_calendar_inside(sealing):
    path = sealing.order(sent="2026-10-05")
    (result,) = sealing.build(path)
    inside = opened_page(sealing, result)
    write_shop(sealing.orders, sealed="false")
    (in_clear,) = sealing.build(path)

    assert in_clear.page == result.page
    link = r'href="data:text/calendar;charset=utf-8;base64,([^"]+)" download="reminders.ics"'
    assert re.sub(link, 'href="reminders.ics"', inside) == sealing.page(in_clear)
    calendar = (in_clear.page.parent / "reminders.ics").read_bytes()
    assert base64.b64decode(re.search(link, inside)[1]) == calendar


def test_a_built_page_has_the_same_bytes_twice_and_others_once_something_changes(sealing):
    (first,) = sealing.build(sealing.order())
    before = block_of(sealing.page(first))
    sealing.build(sealing.order())
    assert block_of(sealing.page(first)) == before

    sealing.build(sealing.order(frame={"colour": "red"}))

    after = block_of(sealing.page(first))
    assert after[:12] != before[:12]


def test_sealing_takes_the_calendar_in_clear_away(shop):
    path = shop.order(sent="2026-10-05")
    (result,) = shop.build(path)
    assert (result.page.parent / "reminders.ics").is_file()
    write_shop(shop.orders, sealed="true")

    (again,) = shop.build(path)

    assert again.page == result.page
    assert [one.name for one in result.page.parent.iterdir()] == ["index.html"]


def test_a_page_made_again_leads_on_by_the_old_key_and_hides_the_new_one(sealing):
    (old,) = sealing.build(sealing.order())
    new_path = sealing.order(order="T-0002", replaces={"order": "T-0001", "what": "the left lens", "why": "a scratch"})
    (new,) = sealing.build(new_path)
    notice = sealing.page(old)
    shop = pair_in(sealing.orders, shop={"sealed": "true"}).shop

    assert '<main class="notice">' in notice
    assert new.page.parent.name not in notice
    secret = bytes.fromhex((sealing.orders / "address.secret").read_text().strip())
    inside = opened(block_of(notice), page_key(secret, "T-0001"), old.page.parent.name)
    assert f'href="../{new.page.parent.name}/index.html{key_part(shop, "T-0002")}"' in inside
    assert len(notice) == len(sealing.page(new)), "a notice is as long as a page"
    kept = (sealing.out / "private" / "T-0001" / "taken-down" / "index.html").read_text(encoding="utf-8")

    sealing.build(new_path)

    assert sealing.page(old) == notice
    assert (sealing.out / "private" / "T-0001" / "taken-down" / "index.html").read_text(encoding="utf-8") == kept


@pytest.mark.parametrize(("then", "now"), [("false", "true"), ("true", "false")])
def test_a_page_that_was_put_away_comes_back_only_as_pages_are_published_now(shop, then, now):
    write_shop(shop.orders, sealed=then)
    path = shop.order()
    (result,) = shop.build(path)
    page = published(str(path), shop.out)
    retire(page, Retirement(date(2026, 11, 1), ""), date(2026, 11, 2))
    write_shop(shop.orders, sealed=now)

    assert bring_back(page, date(2026, 11, 3)) is False
    assert '<main class="notice">' in shop.page(result)
    shop.build(path)
    assert is_sealed(shop.page(result)) is (now == "true")
    with pytest.raises(RetireError):
        bring_back(page, date(2026, 11, 3))


def test_a_sealed_page_that_was_put_away_comes_back_as_it_was(sealing):
    path = sealing.order()
    (result,) = sealing.build(path)
    before = sealing.page(result)
    page = published(str(path), sealing.out)
    retire(page, Retirement(date(2026, 11, 1), ""), date(2026, 11, 2))
    assert not is_sealed(sealing.page(result))

    assert bring_back(page, date(2026, 11, 3))

    assert sealing.page(result) == before


def test_the_preview_lets_both_scripts_run_and_its_list_holds_the_key(sealing):
    sealing.order()
    bench, board = Workbench(sealing.orders, sealing.out, lambda: date(2026, 11, 25)), Board()
    (result,) = bench.build(bench.orders(), all_answers=False)
    board.show(bench.shown())

    policy = BeautifulSoup(with_news(sealing.page(result), board), "html5lib").find("meta", attrs={"http-equiv": True})
    assert f" '{digest(sealed_script())}'" in policy["content"]
    assert policy["content"].count("script-src 'nonce-") == 1
    assert policy["content"].count("script-src") == 1
    assert KEY.search(board.shown.pages["T-0001"])


def test_a_link_with_its_key_is_short_enough_for_the_code_of_a_card(shop):
    write_shop(shop.orders, sealed="true", **{"web-address": f"https://{'a' * 60}.example/{'b' * 43}"})
    (result,) = shop.build(shop.order())
    (row,) = links_of([result.path], shop.out).rows
    page = BeautifulSoup((shop.out / "private" / "T-0001" / "card.html").read_text(encoding="utf-8"), "html5lib")

    squares = int(page.svg["viewBox"].split()[-1])
    assert len(row.link) == 120 + len("/") + 32 + len("/#") + 43
    assert 52 / squares > 0.5, "a square is larger than half a millimetre"


def test_a_shop_that_does_not_seal_never_loads_the_library(shop, tmp_path):
    shop.order()
    code = (
        "import sys; from explain.cli import main; assert main(['build', *sys.argv[1:]]) == 0;"
        "assert main(['links', *sys.argv[1:]]) == 0; sys.exit('cryptography' in sys.modules)"
    )
    command = [sys.executable, "-c", code, str(shop.orders / "T-0001.yaml"), "--out", str(tmp_path / "out")]

    assert subprocess.run(command, capture_output=True, check=False).returncode == 0
    write_shop(shop.orders, sealed="true")
    assert subprocess.run(command, capture_output=True, check=False).returncode == 1


def test_what_is_bound_in_names_the_address_and_the_script_says_the_same():
    assert bound_to("abc") == b"order-explainer sealed page 1\0abc"
    assert 'const PURPOSE = "order-explainer sealed page 1\\0";' in sealed_script()


def test_another_secret_gives_another_address_and_another_key(sealing):
    path = sealing.order()
    (first,) = sealing.build(path)
    before = opened_page(sealing, first)
    (sealing.orders / "address.secret").unlink()
    shutil.rmtree(sealing.out)

    (second,) = sealing.build(path)

    assert second.page != first.page
    assert BeautifulSoup(opened_page(sealing, second), "html5lib").h1 == BeautifulSoup(before, "html5lib").h1


def test_a_sealed_page_lets_its_one_script_run_by_its_digest_and_nothing_else(sealing):
    (result,) = sealing.build(sealing.order())
    soup = BeautifulSoup(sealing.page(result), "html5lib")
    policy = soup.find("meta", attrs={"http-equiv": "Content-Security-Policy"})["content"]
    script, _ = soup.find_all("script")
    named = base64.b64encode(hashlib.sha256(script.string.encode()).digest()).decode()

    assert [part for part in policy.split("; ") if part.startswith("script-src")] == [f"script-src 'sha256-{named}'"]
    assert policy.split("; ")[0] == "default-src 'none'"
    assert "unsafe" not in policy
