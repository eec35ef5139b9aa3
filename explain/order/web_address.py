"""The address under which the shop publishes its pages: where every customer's link begins."""

from __future__ import annotations

import re
from urllib.parse import urlsplit

from explain.order.faults import UnclearError
from explain.order.fields import Section
from explain.order.keys import Key
from explain.order.numbers import cut

HOST = re.compile(r"(?=.{4,253}\Z)(?:[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?\.)+[a-z][a-z0-9-]{0,61}[a-z0-9]")
PATH = re.compile(r"[A-Za-z0-9._~/-]*")
LONGEST = 120
"""A link of 200 letters, the key of a sealed page included, makes a QR code with squares of 0.8 mm on a small card."""


def read_web_address(root: Section) -> str | None:
    """The address without a slash at its end; None where the shop names none."""
    raw = root.raw_text("web-address", LONGEST) if root.has("web-address") else None
    return None if raw is None else root.attempt("web-address", lambda: _address(raw, root.key("web-address")))


def _address(typed: str, key: Key) -> str:
    """Raises UnclearError for anything that is not a plain https address: a link carries health data."""
    message = _what_is_wrong(typed)
    if message:
        raise UnclearError(f"{cut(typed)} {message}", key.allowed, f"Type it as in:   {key.example}")
    host, _, path = typed.strip().removeprefix("https://").partition("/")
    return f"https://{host.lower()}/{path}".rstrip("/")


def _what_is_wrong(typed: str) -> str:
    if not typed.strip().startswith("https://"):
        return "is not an address that starts with https://"
    try:
        parts = urlsplit(typed.strip())
        port = parts.port
    except ValueError:
        return "is not an address"
    plain = parts.netloc.lower() == f"{parts.hostname or ''}{'' if port is None else f':{port}'}"
    if not plain or not HOST.fullmatch(parts.hostname or "") or not PATH.fullmatch(parts.path):
        return "is not an address that a page can lie under"
    return "has more behind it than a folder" if "?" in typed or "#" in typed else ""
