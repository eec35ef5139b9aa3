"""The table of everything a file may say: each name, what it means, what is allowed, and an example to type.

One table, data/keys.yaml, serves the reader's hints (nearest name, missing value), the README and any schema.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from msgspec import Struct

from explain.facts import data_file

_TABLE: Mapping[str, Any] = data_file("keys")


def _words(name: str) -> tuple[str, ...]:
    return tuple(_TABLE["words"][name])


DESIGNS = _words("designs")
MATERIALS = _words("materials")
ADD_ONS = _words("add-ons")
OUTLINES = _words("outlines")
USES = _words("uses")
USES_WITH_DISTANCE = _words("uses-with-distance")
WEARERS = _words("wearers")
STANDARDS = _words("standards")
LANGUAGES = _words("languages")
OTHER_WORDS: Mapping[str, str] = _TABLE["other-words"]
BILL_CHOICES = ("frame", *DESIGNS, *MATERIALS, *ADD_ONS)


class Key(Struct, frozen=True):
    """One name a file may hold.

    path: its dotted place, with [] for "each of a list" and * for a name of the shop's own choosing.
    kind: text, number, amount, date, choice, switch, list, group, eye, addition, prism or distance.
    unit: of a number, mm, dioptres or degrees; empty for a count or a category.
    lowest and highest: the range of a number, both allowed.
    """

    path: str
    kind: str
    meaning: str
    allowed: str
    example: str
    required: bool = False
    default: str | None = None
    choices: tuple[str, ...] = ()
    lowest: float | None = None
    highest: float | None = None
    unit: str = ""

    @property
    def name(self) -> str:
        """The last part of the path: the word that is typed."""
        return self.path.rpartition(".")[2]

    @property
    def group(self) -> str:
        """The path of the group it belongs to; empty for the outermost."""
        return self.path.rpartition(".")[0]


class KeyTable:
    """The keys of one kind of file, found by path or by group."""

    def __init__(self, file: str, keys: Iterable[Key]) -> None:
        self.file = file
        self.keys = tuple(keys)
        self._by_path = {key.path: key for key in self.keys}
        self._under: dict[str, tuple[Key, ...]] = {}
        for key in self.keys:
            if key.name != "*":
                self._under[key.group] = (*self._under.get(key.group, ()), key)
        self._names = {group: tuple(key.name for key in keys) for group, keys in self._under.items()}
        self._required = {group: tuple(k.name for k in keys if k.required) for group, keys in self._under.items()}

    def __getitem__(self, path: str) -> Key:
        """The key at a path. Raises KeyError for one that the table does not hold."""
        return self._by_path[path]

    def __contains__(self, path: str) -> bool:
        """True for a path in the table."""
        return path in self._by_path

    def under(self, group: str) -> tuple[Key, ...]:
        """The keys that stand directly in a group."""
        return self._under.get(group, ())

    def names_under(self, group: str) -> tuple[str, ...]:
        """The names that can stand directly in a group."""
        return self._names.get(group, ())

    def required_under(self, group: str) -> tuple[str, ...]:
        """The names that have to stand directly in a group."""
        return self._required.get(group, ())

    def groups_with(self, name: str) -> tuple[str, ...]:
        """The groups in which a name does belong."""
        return tuple(
            key.group.removesuffix("[]").removesuffix(".*") for key in self.keys if key.name == name and key.group
        )


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The word most like the one typed, or None when nothing is near. Underscores and capitals do not count.

    >>> nearest("colr", ["name", "colour", "size"])
    'colour'
    """
    from difflib import get_close_matches  # noqa: PLC0415  only needed when something is misspelt

    tidy = word.strip().lower().replace("_", "-")
    if OTHER_WORDS.get(tidy) in tuple(words):
        return OTHER_WORDS[tidy]
    if len(tidy) > 40:
        return None
    found = get_close_matches(tidy, tuple(words), n=1, cutoff=0.6)
    return found[0] if found else None


def in_words(words: Iterable[str], joint: str = "or") -> str:
    """Words as a list in a sentence.

    >>> in_words(["us", "iso"])
    'us or iso'
    """
    *first, last = words
    return f"{', '.join(first)} {joint} {last}" if first else last


def _key(path: str, entry: Mapping[str, Any]) -> Key:
    choices = (
        ()
        if "choices" not in entry
        else BILL_CHOICES
        if entry["choices"] == "bill-choices"
        else _words(entry["choices"])
    )
    allowed = entry["allowed"]
    if choices:
        allowed = allowed.replace("{or}", in_words(choices)).replace("{and}", in_words(choices, "and"))
    lowest, highest = entry.get("range", (None, None))
    required, default = bool(entry.get("required")), entry.get("default")
    return Key(
        path,
        entry["kind"],
        entry["meaning"],
        allowed,
        entry["example"],
        required,
        default,
        choices,
        lowest,
        highest,
        entry.get("unit", ""),
    )


def _choices(name: str) -> tuple[str, ...]:
    if name == "bill-choices":
        return BILL_CHOICES
    return _words(name) if name else ()


def _keys(file: str) -> Iterator[Key]:
    for path, entry in _TABLE[file].items():
        yield _key(path, entry)
        for part, inner in _TABLE["parts"].get(entry.get("parts"), {}).items():
            yield _key(f"{path}.{part}", inner)


ORDER_KEYS = KeyTable("order", _keys("order"))
SHOP_KEYS = KeyTable("shop", _keys("shop"))
