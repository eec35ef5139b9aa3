"""A shop and two orders with words of one's choosing in every place where words may be typed, and what comes of it."""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import html5lib
from bs4 import BeautifulSoup

from explain.cli import main
from tests.story.invented import changed, write_order, write_shop

ORDER_TEXTS = (
    *("for", "frame.name", "frame.colour", "lenses.tint.colour", "inspected[].what", "inspected[].by"),
    *("accepted.by", "accepted.why", "replaces.what", "replaces.why", "price[].item"),
)
SHOP_TEXTS = (
    *("name", "optician", "address", "hours", "returns", "remakes", "cover", "tax-number"),
    *("taxes.*.name", "taxes.*.why"),
)
BOUND_TEXTS = {
    *("order", "frame.size", "prescription.right.prism.base", "prescription.left.prism.base", "replaces.order"),
    *("checked.right.prism.base", "checked.left.prism.base", "previous.right.prism.base", "previous.left.prism.base"),
    *("price[].tax", "phone", "email", "web-address", "currency", "locale", "retire-after", "csv.columns.*"),
}
"""Texts of which only a few forms are read: numbers of orders, sizes, phones, addresses, names of other things."""
PLACES = tuple(f"{text}" for text in (*ORDER_TEXTS, *SHOP_TEXTS))
OWN_WORDS = "Dear {{ for }}: *{{ shop.name }}* of {{ shop.optician }}, {{ shop.hours }}.\n"
OLD, NEW = "T-0001", "T-0002"


def marked(words: str, place: str) -> str:
    """The words with the number of their place behind them, so that each can be found again."""
    return f"{words}{10 + PLACES.index(place)}"


def write_all(folder: Path, words: str, plain: frozenset[str] = frozenset()) -> None:
    """Write shop and orders into a folder. plain: places that get plain words instead."""

    folder.mkdir(exist_ok=True)

    def said(place: str) -> str:
        return marked("Zq7 plain " if place in plain else words, place)

    taxes = {"a-tax": {"name": said("taxes.*.name"), "why": said("taxes.*.why")}}
    texts = {name: said(name) for name in SHOP_TEXTS if "." not in name and name != "address"}
    write_shop(folder, **texts, address=[said("address")], taxes=taxes)
    (folder / "words").mkdir(parents=True)
    (folder / "words" / "care.md").write_text(OWN_WORDS, encoding="utf-8")
    order = _order(said)
    write_order(folder, **changed({"replaces": None}, order), order=OLD)
    write_order(folder, **order, order=NEW)


def _order(said: Any) -> dict[str, Any]:
    lenses = {"add-ons": ["sun-tint"], "tint": {"colour": said("lenses.tint.colour"), "category": "1"}}
    looked_at = {"what": [said("inspected[].what")], "by": said("inspected[].by"), "on": "2026-10-12"}
    bill = [
        {"item": said("price[].item"), "amount": "100.00", "choice": "frame", "tax": "a-tax"},
        {"item": "Lenses", "amount": "80.00", "choice": "single-vision"},
        {"item": "Tint", "amount": "25.00", "choice": "sun-tint"},
    ]
    return {
        "for": said("for"),
        "frame": {"name": said("frame.name"), "colour": said("frame.colour")},
        "lenses": lenses,
        "inspected": [looked_at],
        "checked": {"right": "-3.50 DS", "left": "-3.00 DS", "pd": "31 / 31", "on": "2026-10-09"},
        "accepted": {"by": said("accepted.by"), "why": said("accepted.why")},
        "replaces": {"order": OLD, "what": said("replaces.what"), "why": said("replaces.why")},
        "price": bill,
    }


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a build made of some words. lent: the answers for everyone are those of another build."""

    folder: Path
    words: str
    lent: bool

    def said_at(self, place: str) -> str:
        """The words at a place, as a reader sees them: spaces count once, and marks that only part are not seen."""
        return seen(marked(self.words, place))

    def files(self, pattern: str) -> dict[str, str]:
        out = self.folder / "out"
        paths = sorted(path for path in out.rglob(pattern) if path.is_file())
        return {path.relative_to(out).as_posix(): path.read_text(encoding="utf-8") for path in paths}

    def order_page(self) -> str:
        (page,) = (text for name, text in self.files("index.html").items() if "Order T-0002" in text)
        return page


def seen(text: str) -> str:
    return " ".join(re.sub("[\u2068\u2069]", "", text).split())


def parsed(html: str) -> BeautifulSoup:
    html5lib.HTMLParser(strict=True).parse(html)
    return BeautifulSoup(html, "html5lib")


def build(folder: Path, words: str, capsys: Any, monkeypatch: Any, answers: Path | None = None) -> Outcome:
    """Build with the words in every place. The command must end well. answers: to be taken over, not to be built."""
    write_all(folder / "orders", words)
    monkeypatch.chdir(folder)
    orders = [f"orders/{number}.yaml" for number in (OLD, NEW)] if answers else []
    if answers:
        shutil.copytree(answers / "out" / "upload" / "answers", folder / "out" / "upload" / "answers")
    status = main(["build", *orders, "--out", "out"])
    told = "\n".join(capsys.readouterr())
    assert status == 0, told
    return Outcome(folder, words, bool(answers))
