"""The desk page: all orders at each build, valid, closed to all but its one script, and never in upload/."""

from __future__ import annotations

import base64
import hashlib
from datetime import date

import html5lib
from bs4 import BeautifulSoup

from explain.site.retire import published, retire
from explain.site.retired import Retirement
from tests.story.invented import write_shop


def desk_of(shop):
    text = (shop.out / "private" / "index.html").read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(text)
    return BeautifulSoup(text, "html5lib")


def test_building_one_order_shows_all_that_lie_beside_it(shop):
    shop.order(order="T-0002", date="2026-10-09")
    shop.build(shop.order())

    assert [cell.get_text() for cell in desk_of(shop).select("tbody strong")] == ["T-0002", "T-0001"]
    assert [cell.get_text() for cell in desk_of(shop).select(".state")] == ["checked", "published"]
    assert "2 orders: 0 open, 0 with doubts, 1 checked, 1 published, 0 put away." in desk_of(shop).get_text()


def test_a_faulty_order_is_shown_with_its_fault_in_the_build_that_refused_it(shop):
    shop.build(shop.order(checked={"right": "-4.50 DS"}))

    assert "0.50 dioptres off" in desk_of(shop).select_one("tbody li").get_text()
    assert desk_of(shop).select_one(".state").get_text() == "open"


def test_every_file_it_leads_to_is_there(shop):
    shop.build(shop.order())
    links = [link["href"] for link in desk_of(shop).select("tbody a") if ":" not in link["href"]]

    assert len(links) == 4
    assert [link for link in links if not (shop.out / "private" / link).is_file()] == []


def test_its_policy_allows_its_own_script_by_digest_and_nothing_else(shop):
    shop.build(shop.order())
    soup = desk_of(shop)
    policy = soup.find("meta", attrs={"http-equiv": "Content-Security-Policy"})["content"]
    (script,) = soup.find_all("script")

    digest = base64.b64encode(hashlib.sha256(script.string.encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in policy
    assert "default-src 'none'" in policy
    assert soup.find(src=True) is None


def test_it_says_that_it_never_leaves_the_shop_and_what_is_missing_for_whole_links(shop):
    shop.build(shop.order())
    assert "This page never leaves the shop" in desk_of(shop).get_text()
    assert "web-address:" not in desk_of(shop).get_text()
    write_shop(shop.orders, **{"web-address": None})

    shop.build(shop.order())

    assert "web-address:" in desk_of(shop).select_one(".caution").get_text()


def test_nothing_of_the_desk_lies_in_upload(shop):
    shop.build(shop.order())
    upload, private = shop.out / "upload", shop.out / "private"

    names = {path.name for path in private.rglob("*") if path.is_file()} - {
        "index.html",
        "answers.txt",
        "build-record.txt",
        "titles.json",
        ".building",
    }
    assert names == {"bench.html", "card.html", "card-4x6.html", "desk.json", "numbers.json", "made-from.txt"}
    texts = [path.read_bytes() for path in upload.rglob("*") if path.is_file()]
    assert [path for path in upload.rglob("*") if path.name in names] == []
    assert [text for text in texts if b"never leaves the shop" in text or b"Bench sheet" in text] == []


def test_what_a_customer_is_called_cannot_break_out_of_the_page(shop):
    shop.build(shop.order(**{"for": "<b>O'\"dile"}))

    assert desk_of(shop).find("b") is None


def test_a_page_that_leads_on_or_was_put_away_offers_no_link_to_copy_and_says_its_day(shop):
    made_again = {"replaces": {"order": "T-0001", "what": "the left lens", "why": "its axis was off"}}
    retired = shop.order(order="T-0003")
    shop.build(shop.order(), retired, shop.order(order="T-0002", **made_again), today=date(2026, 11, 1))
    retire(published(str(retired), shop.out), Retirement(date(2026, 11, 1), ""), date(2026, 11, 1))
    shop.build(shop.orders / "T-0002.yaml", today=date(2026, 11, 1))
    soup = desk_of(shop)
    rows = {row.strong.get_text(): row for row in soup.select("tbody tr")}

    assert rows["T-0001"].select_one(".state").get_text() == "leads on to T-0002"
    assert "put away on 2026-11-01" in " ".join(rows["T-0003"].get_text(" ").split())
    assert "its page goes on 2028-10-02" in " ".join(rows["T-0002"].get_text(" ").split())
    assert [len(rows[number].select("button.copy")) for number in sorted(rows)] == [0, 1, 0]
    assert "1 published, 1 put away, 1 made again and leading on." in soup.select_one(".counts").get_text()
