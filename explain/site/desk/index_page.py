"""Index page: the desk itself, one page of all orders, written at each build and never uploaded."""

from __future__ import annotations

import base64
import hashlib
from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

from markupsafe import Markup

from explain.site.desk.papers import PAPER_NAMES, html
from explain.site.desk.rows import Found, Row, beside, desk_rows
from explain.site.places import templates_folder
from explain.site.publish import write_whole

INDEX_NAME = "index.html"


def write_desk(paths: Sequence[Path], out: Path, found: Mapping[Path, Found]) -> Path:
    """Write the desk for these orders and all that lie beside them; give where it is."""
    page = out / "private" / INDEX_NAME
    write_whole(page, desk_html(desk_rows(beside(paths), out, found)))
    return page


def desk_html(rows: Sequence[Row]) -> str:
    """The desk as one page of HTML. It alone may run a script: ours, allowed by its digest."""
    code = script()
    return html(
        "desk.html",
        lang="en",
        title="Desk",
        rows=rows,
        counts=Counter(row.state for row in rows),
        has_links=not any(row.link.startswith("upload/") for row in rows),
        paper_names=PAPER_NAMES,
        script=Markup(code),  # noqa: S704  our own file
        script_hash=script_hash(code),
    )


@cache
def script() -> str:
    """The one script of the desk: it copies links and filters the table."""
    return (templates_folder() / "desk.js").read_text(encoding="utf-8")


def script_hash(code: str) -> str:
    """Name a script as a Content-Security-Policy does.

    >>> script_hash("")
    'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='
    """
    return "sha256-" + base64.b64encode(hashlib.sha256(code.encode()).digest()).decode()
