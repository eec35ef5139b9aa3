"""A shop that seals its pages, built as it would, and a host that sends them with the policy of the file _headers."""

from __future__ import annotations

import re
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from explain.order import read_shop
from explain.site.address import page_address, read_or_make_secret
from explain.site.desk.link import page_link
from tests.story.invented import copy_demo

HOST = "https://glasses.quillharbor.example"
REMADE = "replaces: {order: QH-2101, what: the left lens was made again, why: its axis was 6 degrees off}\n"


def built_sealed(folder: Path) -> Path:
    """Build three demo orders, one of them made again, into site_out/ of a folder; gives that folder."""
    orders = copy_demo(folder / "orders")
    shop, first = orders / "shop.yaml", orders / "QH-2101.yaml"
    shop.write_text(shop.read_text(encoding="utf-8").replace("sealed: false", "sealed: true"), encoding="utf-8")
    again = first.read_text(encoding="utf-8").replace("QH-2101", "QH-2111") + REMADE
    (orders / "QH-2111.yaml").write_text(again, encoding="utf-8")
    explain("build", *(f"orders/QH-{number}.yaml" for number in (2101, 2102, 2105, 2111)), folder=folder)
    return folder


def links_told(folder: Path) -> dict[str, str]:
    """The link of each order that `explain links` prints."""
    return dict(re.findall(r"^(\S+) .*?(https://\S+)", explain("links", folder=folder), re.MULTILINE))


def link_of(folder: Path, number: str) -> str:
    """The link that the customer of an order has, even one that is not to be sent any more."""
    shop = read_shop(folder / "orders" / "shop.yaml")
    return page_link(shop, page_address(read_or_make_secret(folder / "orders"), number), number)


def explain(*words: str, folder: Path) -> str:
    """Run the command in a folder; gives what it prints."""
    command = [sys.executable, "-m", "explain", *words]
    finished = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert words[0] == "links" or finished.returncode == 0, finished.stdout + finished.stderr
    return finished.stdout


@contextmanager
def hosted(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """Send upload/ while inside; gives the address, and all that is asked for, growing."""
    asked: list[str] = []
    handler = partial(_Host, asked, directory=str(folder / "site_out" / "upload"))
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    server.daemon_threads, server.block_on_close = True, False
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}", asked
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


class _Host(SimpleHTTPRequestHandler):
    """Sends pages as a host that reads _headers does."""

    def __init__(self, asked: list[str], *arguments: object, **options: object) -> None:
        self.asked = asked
        super().__init__(*arguments, **options)  # type: ignore[arg-type]

    def end_headers(self) -> None:
        everywhere = Path(self.directory, "_headers").read_text(encoding="utf-8").split("/answers/*")[0]
        for line in everywhere.splitlines()[1:]:
            self.send_header(*line.strip().split(": ", 1))
        super().end_headers()

    def log_message(self, _: str, *arguments: object) -> None:
        self.asked.append(str(arguments[0]))
