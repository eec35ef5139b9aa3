"""Nothing private: what lies in upload/ after a build knows no surname, no path, no secret and no other customer."""

from __future__ import annotations

import base64
import json
import re
import socket

import pytest

from tests.guard.conftest import HOME, HOST_USER, MAKER, NUMBER, SECRET, SURNAME
from tests.story.invented import as_typed

INLINE = re.compile(rb"data:[a-z/+-]*;base64,([A-Za-z0-9+/=]+)")


@pytest.fixture(scope="module")
def published(demo):
    """Bytes of every file of upload/ by its name, the pictures inside pages unpacked behind them."""
    found = {}
    for path in sorted(one for one in demo.upload.rglob("*") if one.is_file()):
        data = path.read_bytes()
        pictures = b"".join(base64.b64decode(part) for part in INLINE.findall(data))
        found[demo.name(path)] = data + pictures
    return found


@pytest.fixture(scope="module")
def orders(demo):
    """Every order of the shop as typed, by its number."""
    read = [as_typed(path) for path in demo.orders.glob("*.yaml")]
    return {order["order"]: order for order in read if "order" in order}


def holding(published, words):
    words = words if isinstance(words, bytes) else words.encode()
    return [name for name, data in published.items() if words.lower() in data.lower() or words in name.encode()]


def test_the_scan_finds_what_is_there(published, orders):
    assert holding(published, "Odile") or holding(published, next(iter(orders.values()))["for"])
    assert holding(published, b"\x89PNG")
    assert holding(published, "reminders.ics")


@pytest.mark.parametrize("words", [SURNAME, HOME, NUMBER, MAKER, HOST_USER, "1971-02-29", "TO TYPE"])
def test_no_name_no_address_and_no_remark_of_an_order_goes_out(published, demo, words):
    typed = b"".join(path.read_bytes() for path in demo.orders.rglob("*") if path.is_file())

    assert words.encode() in typed or words in (HOST_USER, "TO TYPE")
    assert holding(published, words) == []


def test_no_path_goes_out(published, demo):
    for words in (str(demo.folder), "/tmp", "\\tmp", "/home", "orders/", "private/", ".yaml", ".json", "traces/"):  # noqa: S108
        assert holding(published, words) == [], words


def test_neither_the_secret_nor_the_computer_goes_out(published):
    for words in (SECRET, SECRET[:16], bytes.fromhex(SECRET), base64.b64encode(bytes.fromhex(SECRET)), "secret"):
        assert holding(published, words) == [], words
    name = socket.gethostname()
    assert len(name) < 6 or holding(published, name) == []


def test_nothing_that_a_build_keeps_for_itself_lies_in_upload(published):
    assert {name.rpartition(".")[2] for name in published} == {"html", "ics", "txt", "_headers"}
    for words in ("made-from", "numbers.json", "desk.json", "retired.json", "Bench sheet", "taken-down"):
        assert holding(published, words) == [], words


def test_a_page_knows_no_other_order_customer_or_page(published, orders):
    pages = [name for name in published if name.endswith("/index.html") and not name.startswith("answers/")]
    links = {name.partition("/")[0] for name in pages}
    first_names = {order["for"] for order in orders.values()}
    told = []
    for name in pages:
        text = published[name].decode("utf-8", errors="replace")
        told += [len([number for number in orders if number in text])]
        own = name.partition("/")[0]
        others = [link for link in links - {own} if link in text]
        assert told[-1] <= 1, name
        assert others == [] or 'class="notice"' in text, name
        assert sum(bool(re.search(rf"\b{re.escape(one)}\b", text)) for one in first_names) <= 1, name
    assert sum(told) == len(pages) - 2  # the two notices name no order


def test_what_is_for_everyone_names_no_customer_and_leads_to_none(published, orders):
    links = {name.partition("/")[0] for name in published if "/" in name} - {"answers"}
    public = {name: data for name, data in published.items() if name.partition("/")[0] not in links}

    assert len(public) > 100
    assert len(links) == len(orders)
    for words in (*links, *orders):
        assert holding(public, words) == [], words


def test_the_figures_in_private_are_there_and_hold_what_upload_must_not(demo):
    numbers = json.loads((demo.private / "QH-2101" / "numbers.json").read_text("utf-8"))

    assert numbers
    assert SURNAME in "".join(path.read_text("utf-8") for path in demo.private.rglob("retired.json"))
