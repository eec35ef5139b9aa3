"""Firefox of the operating system, driven without a helper program: it speaks WebDriver BiDi itself."""

from __future__ import annotations

import base64
import os
import subprocess
import tempfile
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

from pypdf import PdfReader

from tests.browser.bidi import PATIENCE_S, Bidi, connect

SAYS, ASKS = "log.entryAdded", "network.beforeRequestSent"
PREFERENCES = {
    "services.settings.server": '"data:,#none"',  # no list of studies is fetched when it starts
    "widget.gtk.overlay-scrollbars.enabled": "true",  # as on a phone: the scroll bar takes no width
    "ui.useOverlayScrollbars": "1",
}
SETTLED = "new Promise(done => requestAnimationFrame(() => setTimeout(done)))"
A4_CM = {"width": 21.0, "height": 29.7}


@dataclass(frozen=True, slots=True)
class Tab:
    """A page opened in a tab of its own."""

    bidi: Bidi
    name: str

    def evaluate(self, expression: str) -> Any:
        """A number, text or truth that the page works out."""
        target = {"context": self.name}
        answer = self.bidi.do("script.evaluate", target=target, expression=expression, awaitPromise=True)
        assert answer["type"] == "success", answer
        return answer["result"].get("value")

    def console(self) -> list[str]:
        """All the page said so far: `level: text`."""
        return [f"{entry['level']}: {entry['text']}" for entry in self.bidi.happened(SAYS, self.name)]

    def requests(self) -> list[str]:
        """Addresses asked for over a network. Firefox reports no file; what a page holds itself (data:) is left out."""
        addresses = [asked["request"]["url"] for asked in self.bidi.happened(ASKS, self.name)]
        return [address for address in addresses if not address.startswith("data:")]

    def sideways_px(self) -> int:
        """How far the page can be pushed sideways [px]; 0 for a page that fits."""
        return int(self.evaluate("document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"))

    def printed(self) -> list[str]:
        """The text on each sheet of A4."""
        pdf = self.bidi.do("browsingContext.print", context=self.name, page=A4_CM)["data"]
        return [sheet.extract_text() for sheet in PdfReader(BytesIO(base64.b64decode(pdf))).pages]


def opened(bidi: Bidi, path: Path, width_px: int) -> Tab:
    """Open a file in a new tab of some width, and wait until it is drawn."""
    return opened_at(bidi, path.as_uri(), width_px)


def opened_at(bidi: Bidi, address: str, width_px: int) -> Tab:
    """Open an address in a new tab of some width, and wait until it is drawn."""
    tab = Tab(bidi, bidi.do("browsingContext.create", type="tab")["context"])
    bidi.do("browsingContext.setViewport", context=tab.name, viewport={"width": width_px, "height": 844})
    bidi.do("browsingContext.navigate", context=tab.name, url=address, wait="complete")
    tab.evaluate(SETTLED)
    return tab


def address_of(running: subprocess.Popen[str]) -> str:
    """Where a Firefox that was just started can be spoken to; it says so on its error stream."""
    impatience = threading.Timer(PATIENCE_S, running.kill)
    impatience.start()
    said = []
    for line in running.stderr or ():
        said.append(line)
        if "WebDriver BiDi listening on" in line:
            impatience.cancel()
            threading.Thread(target=running.stderr.read, daemon=True).start()  # so that the pipe never fills
            return line.split()[-1]
    raise RuntimeError(f"Firefox did not start, or not within {PATIENCE_S} s. It said:\n{''.join(said)}")


@contextmanager
def firefox_running(firefox: str) -> Iterator[Bidi]:
    """Start Firefox with an empty profile; end it afterwards."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        lines = [f'user_pref("{name}", {value});' for name, value in PREFERENCES.items()]
        Path(profile, "user.js").write_text("\n".join(lines), encoding="utf-8")
        command = [firefox, "--headless", "--remote-debugging-port=0", "--profile", profile]
        surroundings = os.environ | {"HOME": profile}
        with subprocess.Popen(command, env=surroundings, stderr=subprocess.PIPE, text=True) as running:
            try:
                bidi = connect(address_of(running), SAYS, ASKS)
                with closing(bidi.socket):
                    yield bidi
                    bidi.do("browser.close")
                running.wait(timeout=PATIENCE_S)
            finally:
                running.kill()
