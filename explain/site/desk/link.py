"""Link: where a customer finds the page."""

from __future__ import annotations

from pathlib import Path

from explain.order.model import Shop
from explain.site.address import SECRET_NAME, page_address, read_or_make_secret
from explain.site.seal import key_part


def page_link(shop: Shop, address: str, number: str) -> str:
    """The whole link where the shop publishes its pages, else the folder of the page in upload/; with its key."""
    return f"{shop.web_address or 'upload'}/{address}/{key_part(shop, number)}"


def published_address(out: Path, shop_folder: Path, number: str) -> str | None:
    """The address of a page that is there; None where it is not built. No secret is made."""
    if not (shop_folder / SECRET_NAME).is_file():
        return None
    address = page_address(read_or_make_secret(shop_folder), number)
    return address if (out / "upload" / address / "index.html").is_file() else None
