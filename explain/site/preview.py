"""Preview: shows upload/ on this computer alone, reloads the open page, and shows the faults of orders in it.

What is added to a page is added while it is sent; the files in upload/ stay as they were built.
"""

from __future__ import annotations

import re
import secrets
import threading
from collections.abc import Mapping, Sequence
from html import escape
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import urlsplit

from msgspec import Struct

LOOPBACK = "127.0.0.1"
NEWS = "/_news"
LONGEST_WAIT_S = 20.0
STRICT = "form-action 'none'"
STYLED = "style-src "
RELOAD = """(async () => { const kept = document.querySelectorAll("#faults, style[nonce]");
new MutationObserver(() => document.body.prepend(...kept)).observe(document, {childList: true});
for (;;) { try {
const news = await (await fetch("%s?%d")).text(); if (news !== "%d") { location.reload(); return; }
} catch { await new Promise(done => setTimeout(done, 1000)); } } })();"""
"""Waits for news. A sealed page that opens puts another tree in its place, and the faults move into that."""
BOX = (
    "#faults{white-space:pre-wrap;border:3px solid #a00;background:#fff;color:#111;padding:12px;margin:0 0 12px;"
    "position:sticky;top:0;z-index:9;max-height:50vh;overflow:auto;"
    "font:16px/1.4 monospace}"
)
LIST = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>Pages being written</title><link rel="icon" href="data:,"></head>
<body><main><h1>Pages being written</h1><ul>
%s</ul><p><a href="/answers/index.html">Answers for everyone</a></p></main></body></html>
"""


class Shown(Struct, frozen=True):
    """What there is to show: links to the pages by order number, and the faults in the terminal's words."""

    pages: Mapping[str, str]
    faults: Sequence[str] = ()


class Board:
    """What is shown now; each change has a number, and those who wait for the next one are woken."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._is_over = False
        self.number = 0
        self.shown = Shown({})

    def show(self, shown: Shown) -> None:
        """Show something else from now on."""
        with self._changed:
            self.shown, self.number = shown, self.number + 1
            self._changed.notify_all()

    def end(self) -> None:
        """Let nobody wait any more."""
        with self._changed:
            self._is_over = True
            self._changed.notify_all()

    def wait_for_other_than(self, number: int) -> int:
        """Wait a while for a change; give the number of what is shown then."""
        with self._changed:
            self._changed.wait_for(lambda: self._is_over or self.number != number, LONGEST_WAIT_S)
            return self.number


def with_news(html: str, board: Board) -> str:
    """A page as it is shown: the faults on top of it, and a script that reloads it when something changed."""
    number, faults = board.number, "\n\n".join(board.shown.faults)
    nonce = secrets.token_urlsafe(12)
    box = f'<pre role="alert" id="faults">{escape(faults)}</pre>' if faults else ""
    look = f'<style nonce="{nonce}">{BOX}</style>' if faults else ""
    script = f'<script nonce="{nonce}">{RELOAD % (NEWS, number, number)}</script>'
    html = html.replace(STYLED, f"{STYLED}'nonce-{nonce}' ", 1)
    own = f"{STRICT}; script-src"
    html = html.replace(own if own in html else STRICT, f"{STRICT}; connect-src 'self'; script-src 'nonce-{nonce}'", 1)
    html = html.replace("</head>", f"{look}</head>", 1)
    return html.replace("<body>", f"<body>{box}", 1).replace("</body>", f"{script}</body>", 1)


def list_html(shown: Shown) -> str:
    """A list of the pages, which the upload folder itself never shows."""
    return LIST % "".join(
        f'<li><a href="{escape(link)}">{escape(number)}</a></li>\n' for number, link in sorted(shown.pages.items())
    )


def serve(upload: Path, board: Board, port: int = 0) -> ThreadingHTTPServer:
    """A server for this computer alone, not started yet. port 0: any free one. Raises OSError for one in use."""

    class _Handler(_PreviewHandler):
        def __init__(self, *arguments: object, **options: object) -> None:
            self.board = board
            super().__init__(*arguments, directory=str(upload), **options)  # type: ignore[arg-type]

    server = ThreadingHTTPServer((LOOPBACK, port), _Handler)
    server.daemon_threads = True
    server.block_on_close = False
    return server


class _PreviewHandler(SimpleHTTPRequestHandler):
    """Sends pages with the news in them, and nothing to a site that only pretends to be this computer."""

    board: Board

    def do_GET(self) -> None:
        """Answer one request."""
        parts = urlsplit(self.path)
        if not self._is_ours():
            self.send_error(HTTPStatus.FORBIDDEN)
        elif parts.path == NEWS:
            seen = int(parts.query) if parts.query.isdecimal() else -1
            self._send(str(self.board.wait_for_other_than(seen)), "text/plain")
        elif parts.path == "/":
            self._send(with_news(list_html(self.board.shown), self.board), "text/html")
        elif (page := self._page()) is not None:
            self._send(with_news(page.read_text(encoding="utf-8"), self.board), "text/html")
        else:
            super().do_GET()

    def log_message(self, *_: object) -> None:
        """Keep the terminal for the orders."""

    def list_directory(self, _: object) -> None:
        """Refuse to list a folder: a web host would not either."""
        self.send_error(HTTPStatus.NOT_FOUND)

    def _is_ours(self) -> bool:
        """True for a request that names this computer; another name means a page from elsewhere is asking."""
        name = re.sub(r":[0-9]+$", "", self.headers.get("Host", ""))
        return name in (LOOPBACK, "localhost")

    def _page(self) -> Path | None:
        path = Path(self.translate_path(self.path))
        page = path / "index.html" if path.is_dir() and urlsplit(self.path).path.endswith("/") else path
        return page if page.suffix == ".html" and page.is_file() else None

    def _send(self, text: str, kind: str) -> None:
        data = text.encode("utf-8")
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        self.send_header("Content-Length", str(len(data)))
        self.send_header("Cache-Control", "no-store")
        self.end_headers()
        self.wfile.write(data)
