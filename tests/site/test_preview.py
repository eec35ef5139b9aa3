"""Preview: pages for this computer alone, with the faults and a reload in them, and upload/ left as it was built."""

from __future__ import annotations

import http.client
import re
import threading
from datetime import date

import pytest

from explain.site.preview import LOOPBACK, Board, Shown, serve
from explain.site.rebuild import Workbench

TODAY = date(2026, 11, 25)


@pytest.fixture
def bench(shop):
    shop.order()
    shop.order(order="T-0002")
    bench = Workbench(shop.orders, shop.out, lambda: TODAY)
    bench.build(bench.orders(), all_answers=False)
    return bench


@pytest.fixture
def board(bench):
    board = Board()
    board.show(bench.shown())
    return board


@pytest.fixture
def ask(bench, board):
    server = serve(bench.out / "upload", board)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()

    def ask_it(path, host=None):
        port = server.server_address[1]
        connection = http.client.HTTPConnection(LOOPBACK, port, timeout=30)
        connection.request("GET", path, headers={"Host": host or f"{LOOPBACK}:{port}"})
        answer = connection.getresponse()
        text = answer.read().decode("utf-8")
        connection.close()
        return answer.status, text

    yield ask_it
    board.end()
    server.shutdown()
    server.server_close()
    thread.join()
    assert not thread.is_alive()


def test_it_listens_on_this_computer_only(board, tmp_path):
    server = serve(tmp_path, board)

    assert server.server_address[0] == "127.0.0.1"
    server.server_close()


def test_the_list_leads_to_each_page_and_a_page_reloads_itself(ask, board, shop):
    _, listed = ask("/")
    link = board.shown.pages["T-0001"]
    status, page = ask(link)

    assert status == 200
    assert f'href="{link}"' in listed
    assert "location.reload()" in page
    assert "connect-src 'self'" in page
    built = (shop.out / "upload" / link.lstrip("/")).read_text(encoding="utf-8")
    assert "<script" not in built


def test_a_fault_stands_on_every_page_in_the_terminals_words(ask, board, bench, shop):
    order = shop.order(prescription={"right": "-4.00 -1.00"})
    (result,) = bench.build([order], all_answers=False)
    board.show(bench.shown())

    for path in ("/", board.shown.pages["T-0002"]):
        page = ask(path)[1]
        assert '<pre role="alert"' in page
        nonce = re.search('<style nonce="([^"]+)">', page)[1]
        assert path == "/" or f"style-src 'nonce-{nonce}' 'sha256-" in page
        assert str(result.faults[0]).splitlines()[-1] in page

    shop.order()
    bench.build([order], all_answers=False)
    board.show(bench.shown())
    assert "alert" not in ask("/")[1]


def test_whoever_waits_is_told_when_something_changed(ask, board):
    told = []
    waiting = threading.Thread(target=lambda: told.append(ask(f"/_news?{board.number}")[1]))
    waiting.start()

    board.show(Shown({}))
    waiting.join(timeout=10)

    assert told == [str(board.number)]


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.elsewhere.example", ""])
def test_a_page_from_elsewhere_gets_nothing(ask, host):
    assert ask("/", host=host or " ")[0] == 403


@pytest.mark.parametrize("path", ["/../private/T-0001/numbers.json", "/%2e%2e/private/T-0001/numbers.json"])
def test_nothing_outside_the_upload_folder_is_shown(ask, shop, path):
    assert (shop.out / "private" / "T-0001" / "numbers.json").is_file()
    assert ask(path)[0] == 404


def test_only_what_changed_is_built_and_the_shop_file_concerns_all(bench, shop):
    orders = bench.orders()

    assert bench.concerned([orders[0]]) == [orders[0]]
    assert bench.concerned([shop.orders / "shop.yaml"]) == orders
    assert bench.concerned([shop.orders / "words" / "care.md", orders[0]]) == orders


def test_an_order_that_was_taken_away_is_shown_no_more(bench):
    bench.orders()[0].unlink()

    assert list(bench.shown().pages) == ["T-0002"]
