"""JSON Schema (2020-12) of order and shop files, from the table of keys: an editor completes and underlines.

A schema sees one value at a time. What takes two (a cylinder and its axis, the lines of a bill and its total) and what
a line of words means is seen by `explain check` alone.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from explain.order.frame import FEWEST_POINTS
from explain.order.keys import ORDER_KEYS, OUTLINES, SHOP_KEYS, USES_WITH_DISTANCE, Key, KeyTable

Schema = dict[str, Any]

DIALECT = "https://json-schema.org/draft/2020-12/schema"
TITLES = {"order": "An order for a pair of glasses", "shop": "The shop that sells it"}
WORDS: Schema = {"type": "string", "pattern": r"\S"}
FIGURE: Schema = {"type": "string", "pattern": r"[0-9\uff10-\uff19]"}
NUMBER_OR_NOTHING: Schema = {
    "type": "string",
    "pattern": r"[0-9\uff10-\uff19]|^[Pp]l|[Pp]L|^[Nn]one|^[Nn]il|^[Dd][Ss]|^[Ss]ph|^-$|^\u221e|^inf",
}
DAY: Schema = {"type": "string", "pattern": r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}\s*$"}
FILE: Schema = {"type": "string", "pattern": r"[/\\]|\.[A-Za-z0-9]{1,8}$"}
POINT: Schema = {"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": ["number", "string"]}}


def schema_of(keys: KeyTable) -> Schema:
    """The schema of one kind of file."""
    return {"$schema": DIALECT, "title": TITLES[keys.file], **_group("", keys)}


def schema_text(keys: KeyTable) -> str:
    """The schema as the text of its file."""
    return json.dumps(schema_of(keys), indent=1, ensure_ascii=False) + "\n"


def write_schemas(folder: Path) -> list[Path]:
    """Write both schemas into a folder, over earlier ones. Raises OSError when they cannot be written."""
    paths = []
    for keys in (ORDER_KEYS, SHOP_KEYS):
        path = folder / f"{keys.file}.schema.json"
        path.write_text(schema_text(keys), encoding="utf-8", newline="\n")
        paths.append(path)
    return paths


def _group(path: str, keys: KeyTable) -> Schema:
    """The names under a path; other names are refused, unless the shop chooses them."""
    known = keys.under(path)
    group: Schema = {"type": "object", "properties": {key.name: _value(key, keys) for key in known}}
    group["required"] = [key.name for key in known if key.required]
    own = f"{path}.*"
    group["additionalProperties"] = False
    if own in keys:
        group["additionalProperties"] = _value(keys[own], keys)
    elif any(key.group == own for key in keys.keys):
        group["additionalProperties"] = _group(own, keys)
    return group


def _value(key: Key, keys: KeyTable) -> Schema:
    said: Schema = {"description": f"{key.meaning[:1].upper()}{key.meaning[1:]}. {key.allowed}"}
    if key.default is not None:
        said["description"] += f" Left out: {key.default}."
    return said | KINDS[key.kind](key, keys)


def _text(_key: Key, _keys: KeyTable) -> Schema:
    return {"anyOf": [WORDS, {"type": "number"}]}


def _in_range(key: Key) -> Schema:
    limits = {"minimum": key.lowest, "maximum": key.highest}
    return {"type": "number"} | {name: limit for name, limit in limits.items() if limit is not None}


def _number(key: Key, _keys: KeyTable) -> Schema:
    return {"anyOf": [_in_range(key), NUMBER_OR_NOTHING]}


def _amount(_key: Key, _keys: KeyTable) -> Schema:
    return {"anyOf": [{"type": "number"}, FIGURE]}


def _day(_key: Key, _keys: KeyTable) -> Schema:
    return dict(DAY)


def _choice(key: Key, _keys: KeyTable) -> Schema:
    one_of: Schema = {"enum": list(key.choices)}
    if key.choices == OUTLINES:
        return {"anyOf": [one_of, FILE, {"type": "array", "minItems": FEWEST_POINTS, "items": POINT}]}
    return one_of


def _switch(_key: Key, _keys: KeyTable) -> Schema:
    return {"type": "boolean"}


def _list(key: Key, keys: KeyTable) -> Schema:
    if keys.under(f"{key.path}[]"):
        group = _group(f"{key.path}[]", keys)
        listed: Schema = {"type": "array", "minItems": 1, "items": group}
        one_alone = key.example.partition(": ")[2].startswith("{")
        return {"anyOf": [group, listed]} if one_alone else listed
    item = _item(key)
    return {"anyOf": [item, {"type": "array", "minItems": 1, "items": item}]}


def _item(key: Key) -> Schema:
    far = [word for word in USES_WITH_DISTANCE if word in key.choices]
    if far:
        words = "|".join(re.escape(word) for word in far)
        return {"anyOf": [{"enum": list(key.choices)}, {"type": "string", "pattern": rf"^(?:{words})\b.*[0-9]"}]}
    return {"enum": list(key.choices)} if key.choices else {"anyOf": [WORDS, {"type": "number"}]}


def _names(key: Key, keys: KeyTable) -> Schema:
    """A group. One that lists choices holds an amount for each; one without inner names is the shop's own."""
    if key.choices:
        amount = _amount(key, keys)
        return {"type": "object", "properties": dict.fromkeys(key.choices, amount), "additionalProperties": False}
    group = _group(key.path, keys)
    return {"anyOf": [group, {"enum": ["none", "first pair"]}]} if "or none" in key.allowed else group


def _eye(key: Key, keys: KeyTable) -> Schema:
    return {"anyOf": [WORDS, {"type": "number"}, _group(key.path, keys)]}


def _addition(key: Key, keys: KeyTable) -> Schema:
    parts = [_group(key.path, keys)] if keys.under(key.path) else []
    return {"anyOf": [_in_range(key), FIGURE, *parts]}


def _prism(key: Key, keys: KeyTable) -> Schema:
    return {"anyOf": [WORDS, {"type": "array", "minItems": 1, "items": WORDS}, _group(key.path, keys)]}


def _distance(_key: Key, _keys: KeyTable) -> Schema:
    return {"anyOf": [{"type": "number", "exclusiveMinimum": 0}, FIGURE]}


KINDS: Mapping[str, Callable[[Key, KeyTable], Schema]] = {
    "text": _text,
    "number": _number,
    "amount": _amount,
    "date": _day,
    "choice": _choice,
    "switch": _switch,
    "list": _list,
    "group": _names,
    "eye": _eye,
    "addition": _addition,
    "prism": _prism,
    "distance": _distance,
}
