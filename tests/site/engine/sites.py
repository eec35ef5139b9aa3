"""Small shops and their sites, built by real processes, and what must hold of a site at every moment."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from bs4 import BeautifulSoup

from explain.site.build import build
from tests.conftest import REPOSITORY
from tests.story.invented import write_order, write_shop

SECRET = "5e" * 32 + "\n"
TODAY = date(2026, 11, 25)
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(REPOSITORY), "SOURCE_DATE_EPOCH": "1795564800"}


def shop_with(folder: Path, count: int, **changes) -> list[Path]:
    """A shop with so many orders, and a secret that is always the same."""
    (folder / "orders").mkdir(parents=True, exist_ok=True)
    write_shop(folder / "orders")
    secret = folder / "orders" / "address.secret"
    secret.write_text(SECRET, encoding="ascii")
    secret.chmod(0o600)
    orders = [f"T-{number:04}" for number in range(1, count + 1)]
    return [write_order(folder / "orders", order=order, sent="2026-10-10", **changes) for order in orders]


def explain(folder: Path, *words: str, before: Sequence[str] = (), **options) -> subprocess.Popen[str]:
    """The command, started in a shop's folder in a group of its own. before: what starts it."""
    command = [*before, sys.executable, "-m", "explain", *words]
    streams = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    own = {"cwd": folder, "env": ENVIRONMENT, "text": True, "start_new_session": True}
    return subprocess.Popen(command, preexec_fn=_hear_ctrl_c, **own | streams | options)  # noqa: PLW1509  one call


def _hear_ctrl_c() -> None:
    """A shell starts jobs in the background deaf to Ctrl-C, and so would be what a test started there starts."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def uploaded(out: Path) -> dict[str, bytes]:
    """Every file that may go to the web host."""
    found = (path for path in (out / "upload").rglob("*") if path.is_file())
    return {path.relative_to(out / "upload").as_posix(): path.read_bytes() for path in found}


def clean(paths: list[Path], out: Path) -> dict[str, bytes]:
    """What a build of these orders from nothing uploads."""
    shutil.rmtree(out, ignore_errors=True)
    for _ in build(paths, out, all_answers=True):
        pass
    return uploaded(out)


def dead_links(out: Path) -> list[str]:
    """Links of customers' pages to other files of the site that are not there."""
    found = []
    for page in (out / "upload").glob("*/index.html"):
        links = [link["href"] for link in BeautifulSoup(page.read_bytes(), "html.parser").find_all("a", href=True)]
        near = [link.split("#")[0] for link in links if ":" not in link.split("/")[0]]
        found += [f"{page}: {link}" for link in near if link and not (page.parent / link).is_file()]
    return found


def built(paths, out, made=None, **options):
    """Build everything; the names of the orders that were made anew."""
    if made is not None:
        made.clear()
    results = list(build(paths, out, all_answers=True, today=TODAY, **options))
    return results if made is None else sorted(made)


def own(folder, name, text):
    """A file of the shop's own."""
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def age(folder):
    """Make a folder and all in it look old."""
    for path in (folder, *folder.rglob("*")):
        os.utime(path, (1_700_000_000, 1_700_000_000))
