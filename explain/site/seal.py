"""Seal: a page as ciphertext, for shops that ask for it. The key stands behind the # of the link, and nowhere else.

AES-256-GCM. The key of an order comes from the shop's secret by HKDF-SHA-256, apart from its address. The nonce is a
digest of all that is encrypted, so the same page gives the same bytes, and another page never uses a nonce again. The
address is bound in: a sealed page opens at its own address only.

Pages are not compressed: tablets of before 2023 cannot unpack in a script, and the bytes of a packed page depend on who
packs it. They are filled up to a common length, so that the length tells little.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import re
from functools import lru_cache
from typing import TYPE_CHECKING

from markupsafe import Markup
from msgspec import Struct

from explain.language import page_locale, speaking
from explain.order.keys import LANGUAGES
from explain.order.model import Shop
from explain.site.address import page_address, read_or_make_secret
from explain.site.places import CALENDAR_NAME
from explain.site.policy import digest, sealed_script
from explain.story.closed import ClosedWords, closed_words

if TYPE_CHECKING:
    from explain.story.pair import Pair

STEP_BYTES = 192 * 1024
"""What is sealed is a multiple of this long: a usual page, and a notice, one step."""
LENGTH_BYTES = 4
"""In front of the page, how long it is without the filling; the script reads it so."""
KEY_BYTES = 32
NONCE_BYTES = 12
PURPOSE = "order-explainer sealed page 1"
"""Stands in front of all that is derived or bound in: nothing else made of the secret can be the same."""
CALENDAR_LINK = re.compile(r"""href=(["'])reminders\.ics\1""")


class Closed(Struct, frozen=True):
    """The closed page in one language."""

    lang: str
    words: ClosedWords


def page_key(secret: bytes, number: str) -> bytes:
    """The key of an order's page: 32 bytes.

    >>> page_key(b"x" * 32, "QH-1") == page_key(b"x" * 32, "QH-2")
    False
    """
    return _derived(secret, "key", number)


def key_part(shop: Shop, number: str) -> str:
    """What stands behind the address in a link: # and the key in base64url; nothing where pages are not sealed."""
    if not shop.sealed:
        return ""
    key = page_key(read_or_make_secret(shop.path.parent), number)
    return "#" + base64.urlsafe_b64encode(key).decode("ascii").rstrip("=")


def published_html(pair: Pair, html: str) -> str:
    """A page as it is uploaded: as it is, or sealed with its calendar in it where the shop asks for that."""
    if not pair.shop.sealed:
        return html
    secret, number = read_or_make_secret(pair.shop.path.parent), pair.order.number
    return sealed_html(_with_calendar(html, pair, page_address(secret, number)), pair.shop, secret, number)


def published_notice(html: str, shop: Shop, number: str) -> str:
    """A notice that leads to another page as it is uploaded: sealed, it opens with the link of the order it is for."""
    if not shop.sealed:
        return html
    return sealed_html(html, shop, read_or_make_secret(shop.path.parent), number, kind="notice")


def sealed_html(html: str, shop: Shop, secret: bytes, number: str, kind: str = "sealed") -> str:
    """The page that is uploaded in place of another: ciphertext, the phone, and the script that opens it.

    kind: notice for a notice, which later builds know by it.
    """
    from explain.site.render import html_language, phone_link, style  # noqa: PLC0415  slow to import
    from explain.site.templating import environment  # noqa: PLC0415  as above

    address, code = page_address(secret, number), sealed_script()
    with speaking(page_locale(shop.locale, shop.language)):
        return (
            environment()
            .get_template("sealed.html")
            .render(
                lang=html_language(page_locale(shop.locale, shop.language)),
                title=closed_words().title,
                style=style("sealed.css"),
                kind=kind,
                closed=_closed(shop.locale, shop.language),
                phone=shop.phone,
                phone_link=phone_link(shop.phone),
                sealed=base64.b64encode(seal(html, secret, number, address)).decode("ascii"),
                script=Markup(code),  # noqa: S704  our own file
                script_hash=digest(code),
            )
        )


def seal(html: str, secret: bytes, number: str, address: str) -> bytes:
    """Nonce, ciphertext and tag of a page, in this order; the same for the same page."""
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM  # noqa: PLC0415  only for shops that seal

    filled, bound = _filled(html.encode()), bound_to(address)
    nonce_key = _derived(secret, "nonce", number)
    nonce = hmac.digest(nonce_key, len(bound).to_bytes(8) + bound + filled, hashlib.sha256)[:NONCE_BYTES]
    return nonce + AESGCM(page_key(secret, number)).encrypt(nonce, filled, bound)


def bound_to(address: str) -> bytes:
    """What is authenticated beside the page: the address at which it may be opened."""
    return f"{PURPOSE}\0{address}".encode()


def is_sealed(html: str) -> bool:
    """True for an uploaded page that is ciphertext."""
    return '<script type="text/plain" id="sealed">' in html


def _filled(page: bytes) -> bytes:
    told = len(page).to_bytes(LENGTH_BYTES) + page
    return told + bytes(-len(told) % STEP_BYTES)


@lru_cache(maxsize=256)
def _derived(secret: bytes, use: str, number: str) -> bytes:
    from cryptography.hazmat.primitives.hashes import SHA256  # noqa: PLC0415  only for shops that seal
    from cryptography.hazmat.primitives.kdf.hkdf import HKDF  # noqa: PLC0415  as above

    info = f"{PURPOSE}\0{use}\0{number}".encode()
    return HKDF(algorithm=SHA256(), length=KEY_BYTES, salt=None, info=info).derive(secret)


def _closed(locale: str, first: str) -> tuple[Closed, ...]:
    """The closed page in every language of pages, the shop's first: which of them the customer reads is not told."""
    from explain.site.render import html_language  # noqa: PLC0415  slow to import

    told = []
    for code in (first, *(code for code in LANGUAGES if code != first)):
        with speaking(page_locale(locale, code)):
            told.append(Closed(html_language(page_locale(locale, code)), closed_words()))
    return tuple(told)


def _with_calendar(html: str, pair: Pair, address: str) -> str:
    """The page with its calendar in the link to it: no file lies beside a sealed page."""
    from explain.site.calendar_file import calendar_text  # noqa: PLC0415  slow to import
    from explain.story.reminders import reminders  # noqa: PLC0415  as above

    told = reminders(pair.order, pair.shop)
    if not told:
        return html
    text = calendar_text(told, address, pair.order.ordered_on)
    data = base64.b64encode(text.encode()).decode("ascii")
    return CALENDAR_LINK.sub(f'href="data:text/calendar;charset=utf-8;base64,{data}" download="{CALENDAR_NAME}"', html)
