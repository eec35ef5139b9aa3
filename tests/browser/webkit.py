"""WebKit of the operating system (WebKitGTK's small browser), driven through WebDriver on a display nobody sees.

Its driver can neither print nor tell what a page says on the console. So a second start, without the driver, writes
the console of all pages to a file. A page's content policy forbids every address, so a request would be said there.
"""

from __future__ import annotations

import html
import os
import subprocess
import time
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from selenium.webdriver import WebKitGTK
from selenium.webdriver.webkitgtk.service import Service

PATIENCE_S = 60
SETTLED = "requestAnimationFrame(() => setTimeout(arguments[0]))"


@contextmanager
def display_running(xvfb: str) -> Iterator[str]:
    """Start a display in memory; gives its name, such as ":1"."""
    reading, writing = os.pipe()
    command = [xvfb, "-displayfd", str(writing), "-screen", "0", "1280x1024x24", "-nolisten", "tcp"]
    with subprocess.Popen(command, pass_fds=[writing], stderr=subprocess.DEVNULL) as running:
        os.close(writing)
        try:
            with os.fdopen(reading) as said:
                number = said.readline().strip()
            assert number, f"{xvfb} did not start"
            yield f":{number}"
        finally:
            running.terminate()


def surroundings(display: str, home: Path) -> dict[str, str]:
    """Environment of a browser that shows itself on a display and keeps its files in a home of its own."""
    return os.environ | {"DISPLAY": display, "GDK_BACKEND": "x11", "HOME": str(home), "XDG_RUNTIME_DIR": str(home)}


@contextmanager
def webkit_running(driver: str, environment: dict[str, str]) -> Iterator[WebKitGTK]:
    """Start the browser through its driver."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # Selenium uses what Selenium deprecates
        webkit = WebKitGTK(service=Service(executable_path=driver, env=environment))
    try:
        yield webkit
    finally:
        webkit.quit()


def frame_of(page: Path, width_px: int, extra: str = "") -> str:
    """A frame as wide as a phone: the browser's own window cannot be made that narrow."""
    style = f"border: 0; width: {width_px}px; height: 844px"
    return f'<iframe src="{html.escape(page.as_uri())}" style="{style}"{extra}></iframe>'


def open_framed(webkit: WebKitGTK, page: Path, width_px: int, folder: Path) -> None:
    """Open a page in a frame and wait until it is drawn; scripts then run inside that page."""
    holder = folder / "holder.html"
    holder.write_text(f"<!doctype html><title>x</title>{frame_of(page, width_px)}", encoding="utf-8")
    webkit.get(holder.as_uri())
    webkit.switch_to.frame(0)
    webkit.execute_async_script(SETTLED)


def console_of(pages: Sequence[Path], browser: str, environment: dict[str, str], folder: Path) -> list[str]:
    """All that pages say on the console while they load, each line with its page's address; one start for all."""
    loaded = " onload=\"console.log('loaded')\""
    holder, said = folder / "all.html", folder / "console.txt"
    frames = "".join(frame_of(page, 390, loaded) for page in pages)
    holder.write_text(f"<!doctype html><title>x</title>{frames}", encoding="utf-8")
    command = [browser, "--enable-write-console-messages-to-stdout=true", holder.as_uri()]
    with said.open("wb") as into, subprocess.Popen(command, env=environment, stdout=into, stderr=into) as running:
        deadline = time.monotonic() + PATIENCE_S
        try:
            while said.read_text().count("CONSOLE LOG loaded") < len(pages):
                assert time.monotonic() < deadline, f"not all pages loaded in {PATIENCE_S} s:\n{said.read_text()}"
                assert running.poll() is None, f"the browser ended:\n{said.read_text()}"
                time.sleep(0.1)
        finally:
            running.terminate()
    return [
        line for line in said.read_text(encoding="utf-8").splitlines() if "CONSOLE" in line and holder.name not in line
    ]
