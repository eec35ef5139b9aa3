"""What an answer for everyone may hold: its header's keys, its subjects, and what its text can ask to be placed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec.structs import replace

from explain.facts import data_file
from explain.order.keys import ORDER_KEYS, Key, KeyTable, in_words

_TABLE: Mapping[str, Any] = data_file("answers")

SUBJECTS: Mapping[str, str] = _TABLE["subjects"]
EXAMPLE_KEYS: tuple[str, ...] = tuple(_TABLE["example"])
FIGURES: Mapping[str, Mapping[str, str]] = _TABLE["figures"]
TABLES: Mapping[str, Mapping[str, str]] = FIGURES | _TABLE["tables"]
VALUES: Mapping[str, Mapping[str, Any]] = _TABLE["values"]
IN_MATERIAL = tuple(name for name, entry in VALUES.items() if entry.get("in_material"))
SHOP_FACTS = ("shop", "phone", "hours", "returns", "remakes", "cover")
WITHOUT_EXAMPLE = ("fade",)


def known_sources() -> frozenset[str]:
    """Keys that `sources` may name: those of data/sources.yaml, and facts and sources of data/words_sources.yaml."""
    words = data_file("words_sources")
    return frozenset((*data_file("sources"), *words["more"], *words["facts"]))


def _keys() -> Iterator[Key]:
    for name, entry in _TABLE["keys"].items():
        choices = tuple(SUBJECTS) if entry.get("choices") == "subjects" else ()
        allowed = entry["allowed"].replace("{or}", in_words(choices)) if choices else entry["allowed"]
        required = bool(entry.get("required"))
        yield Key(name, entry["kind"], entry["meaning"], allowed, entry["example"], required, choices=choices)
    for key in ORDER_KEYS.keys:
        if key.path.partition(".")[0].removesuffix("[]") in EXAMPLE_KEYS:
            yield replace(key, path=f"example.{key.path}")


ANSWER_KEYS = KeyTable("answer", _keys())
