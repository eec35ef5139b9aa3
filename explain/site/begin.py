"""Begin: the files of a new shop, laid out in a folder, none of them over another."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from string import Template

from msgspec import Struct

from explain.order import OrderError, read_order, read_shop
from explain.order.faults import Fault
from explain.order.keys import in_words
from explain.site.places import templates_folder

FILES: Mapping[str, str] = {
    "orders/shop.yaml": "shop.yaml",
    "orders/A-0001.yaml": "order.yaml",
    ".gitignore": "gitignore",
    "README.md": "README.md",
}
"""Each file of a new shop, and its template in templates/begin/."""


class BeginError(Exception):
    """A shop that cannot be laid out; the message says why, and what to type."""


class Start(Struct, frozen=True):
    """What a new shop says about itself. address: its lines."""

    name: str
    optician: str
    phone: str
    address: tuple[str, ...]
    hours: str
    locale: str
    currency: str


def lay_out(folder: Path, start: Start, today: date) -> list[Path]:
    """Write the files of a new shop, and give their paths. Raises BeginError, and then nothing was written."""
    there = [folder / name for name in FILES if (folder / name).exists()]
    if there:
        raise BeginError(
            f"{in_words(map(Path.as_posix, there), 'and')} {'is' if len(there) == 1 else 'are'} there already.\n"
            "A shop is laid out beside what is there, never over it.\n"
            "Name another folder, for example:   explain begin my-shop"
        )
    texts = {folder / name: _filled(template, start, today) for name, template in FILES.items()}
    _refuse_faults(texts[folder / "orders/shop.yaml"], texts[folder / "orders/A-0001.yaml"])
    for path, text in texts.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    return list(texts)


def _filled(template: str, start: Start, today: date) -> str:
    text = (templates_folder() / "begin" / template).read_text(encoding="utf-8")
    if not template.endswith(".yaml"):
        return text
    words = {name: _quoted(getattr(start, name)) for name in ("name", "optician", "phone", "hours")}
    return Template(text).substitute(
        words,
        address="\n".join(f"  - {_quoted(line)}" for line in start.address),
        currency=start.currency,
        locale=start.locale,
        standard="us" if start.locale.endswith("US") else "iso",
        today=today.isoformat(),
    )


def _quoted(words: str) -> str:
    return json.dumps(words, ensure_ascii=False)


def _refuse_faults(shop: str, order: str) -> None:
    """Read both files where nobody sees them, and raise BeginError with every fault of what was answered."""
    with tempfile.TemporaryDirectory() as folder:
        shop_path, order_path = Path(folder, "shop.yaml"), Path(folder, "order.yaml")
        shop_path.write_text(shop, encoding="utf-8")
        order_path.write_text(order, encoding="utf-8")
        try:
            read_order(order_path, read_shop(shop_path))
        except OrderError as error:
            raise BeginError("\n\n".join(_said(fault) for fault in error.faults)) from error


def _said(fault: Fault) -> str:
    name = fault.key.partition(".")[0].partition("[")[0]
    return f"--{name}: {fault.message}\n{fault.allowed}\n{fault.advice}"
