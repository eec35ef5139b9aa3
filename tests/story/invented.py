"""Small invented orders: a plain one, changed key by key, written to a folder and read as any other."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import yaml
from msgspec import Struct

from explain.order import read_order, read_shop
from explain.story.pair import Pair, work_out
from tests.conftest import REPOSITORY

PLAIN: dict[str, Any] = {
    "order": "T-0001",
    "date": "2026-10-02",
    "for": "Odile",
    "prescription": {"right": "-4.00 DS", "left": "-3.00 DS", "pd": "31 / 31"},
    "frame": {"name": "Rowan", "colour": "slate", "size": "50-18-140", "depth": "38", "outline": "rounded"},
    "lenses": {"design": "single-vision", "material": "standard-plastic-1.50"},
    "price": [
        {"item": "Frame", "amount": "100.00", "choice": "frame"},
        {"item": "Lenses", "amount": "80.00", "choice": "single-vision"},
    ],
}


def changed(changes: dict[str, Any], base: dict[str, Any] = PLAIN) -> dict[str, Any]:
    """The plain order with some keys changed; in a group the other keys stay, and None takes a key out."""
    order = dict(base)
    for key, value in changes.items():
        old = order.get(key)
        order[key] = changed(value, old if isinstance(old, dict) else {}) if isinstance(value, dict) else value
    return {key: value for key, value in order.items() if value is not None}


def write_shop(folder: Path, **changes: Any) -> Path:
    """The demo shop with some keys changed, in a folder."""
    return write_yaml(folder / "shop.yaml", changed(changes, as_typed(REPOSITORY / "orders" / "shop.yaml")))


def as_typed(path: Path) -> dict[str, Any]:
    """The content of an order or shop file, every value as the text that was typed."""
    text = path.read_text(encoding="utf-8")
    content: dict[str, Any] = yaml.load(text, Loader=yaml.BaseLoader)  # noqa: S506  text only, nothing is built
    return content


def write_order(folder: Path, **changes: Any) -> Path:
    """The plain order with some keys changed, in a file named after its number."""
    order = changed(changes)
    return write_yaml(folder / f"{order['order']}.yaml", order)


def copy_demo(folder: Path) -> Path:
    """The demo shop, its orders and the files they name, in a new folder, without the secret of the real ones."""
    copied: Path = shutil.copytree(REPOSITORY / "orders", folder, ignore=shutil.ignore_patterns("*.secret", "*.png"))
    return copied


def write_yaml(path: Path, content: dict[str, Any]) -> Path:
    path.write_text(yaml.safe_dump(content, sort_keys=False, allow_unicode=True, width=1000), encoding="utf-8")
    return path


def pair_in(folder: Path, *, shop: dict[str, Any] | None = None, **changes: Any) -> Pair:
    """The plain order with some keys changed, read and worked out."""
    read = read_shop(write_shop(folder, **(shop or {})))
    return work_out(read_order(write_order(folder, **changes), read).order, read)


def sayings(thing: Any) -> list[str]:
    """Every string inside blocks, sections or drawings, in the order of the page."""
    if isinstance(thing, str):
        return [thing]
    if isinstance(thing, Struct):
        return [text for name in thing.__struct_fields__ for text in sayings(getattr(thing, name))]
    return [text for part in thing for text in sayings(part)] if isinstance(thing, tuple) else []


EXAMPLE: dict[str, Any] = {
    "prescription": {"right": "-5.00 DS", "left": "-5.00 DS", "pd": "62"},
    "frame": {"name": "Example", "size": "52-18-140", "depth": "36", "outline": "rounded"},
    "lenses": {"design": "single-vision", "material": "standard-plastic-1.50"},
}
ANSWER: dict[str, Any] = {
    "title": "Why lens edges are thick",
    "question": "Why are the edges of my lenses thick?",
    "subject": "thickness",
    "audience": "people who are near-sighted",
    "reviewed": "2026-11-25",
}


def write_answer(folder: Path, name: str, *, text: str = "They are thin in the middle.\n", **changes: Any) -> Path:
    """A plain answer with some keys of its header changed, and its text."""
    folder.mkdir(parents=True, exist_ok=True)
    header = yaml.safe_dump(changed(changes, ANSWER), sort_keys=False, allow_unicode=True, width=1000)
    path = folder / f"{name}.md"
    path.write_text(f"---\n{header}---\n{text}", encoding="utf-8")
    return path
