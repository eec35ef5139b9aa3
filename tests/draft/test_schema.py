"""The schemas: they accept every demo file, refuse what a schema can see, and say what only the reader sees."""

from __future__ import annotations

import copy
import json
import re

import pytest
import yaml
from jsonschema import Draft202012Validator

from explain.cli import main
from explain.draft.schema import schema_of, schema_text
from explain.draft.taken import Taken
from explain.draft.typed_text import read_text
from explain.draft.writing import order_text
from explain.order import OrderError, read_order, read_shop
from explain.order.keys import ORDER_KEYS, SHOP_KEYS
from tests.conftest import REPOSITORY, demo_orders
from tests.story.invented import copy_demo

ORDER = Draft202012Validator(schema_of(ORDER_KEYS))
SHOP = Draft202012Validator(schema_of(SHOP_KEYS))


class EditorLoader(yaml.SafeLoader):
    """Values as an editor sees them (YAML 1.2): no dates, no octal numbers, only true and false as truth values."""


EditorLoader.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("tag:yaml.org,2002:bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("tag:yaml.org,2002:null", r"null|Null|NULL|~|", ["n", "N", "~", ""]),
    ("tag:yaml.org,2002:float", r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?", "-+.0123456789"),
):
    EditorLoader.add_implicit_resolver(tag, re.compile(rf"^(?:{pattern})$"), list(first))


def as_an_editor_sees(text):
    return yaml.load(text, Loader=EditorLoader)  # noqa: S506  a safe loader with fewer kinds of value


def complaints(validator, content):
    return [error.message for error in validator.iter_errors(content)]


def changed(content, path, change):
    """The content with one place changed: path leads to it, change(group, name) does it."""
    other = copy.deepcopy(content)
    group = other
    for name in path[:-1]:
        group = group[name]
    change(group, path[-1])
    return other


def put(value):
    return lambda group, name: group.__setitem__(name, value)


def take_out(group, name):
    del group[name]


def misspell(group, name):
    group[f"{name}-x"] = group.pop(name)


WRONG = {
    "text": [["a", "list"], {"a": "group"}],
    "number": [999.0, -999.0, "abc", ["1"]],
    "amount": ["abc", ["1.00"]],
    "date": ["10/02/2026", "soon"],
    "choice": ["something else", ["x"]],
    "list": ["something else", {"a": "group"}],
    "group": ["one word", ["a"]],
    "eye": [["a"], {"sphere": -1.0, "colour": "red"}],
    "addition": [9.5, "abc", ["1"]],
    "prism": [["1", ["x"]], {"amount": 1.0}],
    "distance": ["abc", ["31"]],
}


def places(content, group=""):
    """Every key that is written in an order, with the way to it."""
    for key in ORDER_KEYS.under(group):
        if not isinstance(content, dict) or key.name not in content:
            continue
        yield key, (key.name,)
        inner = content[key.name]
        if isinstance(inner, dict):
            yield from ((one, (key.name, *way)) for one, way in places(inner, key.path))
        if key.kind == "list" and isinstance(inner, list) and isinstance(inner[0], dict):
            yield from ((one, (key.name, 0, *way)) for one, way in places(inner[0], f"{key.path}[]"))


def broken(content):
    """Orders with one thing wrong that a schema can see, each with a word about it."""
    for key, way in places(content):
        shown = ".".join(map(str, way))
        free_words = key.kind == "list" and not key.choices and not ORDER_KEYS.under(f"{key.path}[]")
        for wrong in WRONG[key.kind][free_words:]:
            if key.path == "price[].choice" or (
                (key.kind, key.path) == ("choice", "frame.outline") and isinstance(wrong, list)
            ):
                continue
            yield f"{shown} is {wrong}", changed(content, way, put(wrong))
        if key.required:
            yield f"{shown} is missing", changed(content, way, take_out)
        yield (
            f"{shown} is misspelt",
            changed(content, way, misspell),
        )
        yield f"{shown} is empty", changed(content, way, put(""))


def rejected_by_the_reader(folder, content, shop):
    path = folder / "broken.yaml"
    path.write_text(json.dumps(content, ensure_ascii=False), encoding="utf-8")  # JSON is YAML too, and written faster
    try:
        read_order(path, shop)
    except OrderError:
        return True
    return False


def test_the_schemas_are_valid_schemas():
    Draft202012Validator.check_schema(schema_of(ORDER_KEYS))
    Draft202012Validator.check_schema(schema_of(SHOP_KEYS))


def test_every_demo_order_fits_the_schema(demo_order):
    assert complaints(ORDER, as_an_editor_sees(demo_order.read_text(encoding="utf-8"))) == []


def test_the_demo_shop_fits_the_schema():
    assert complaints(SHOP, as_an_editor_sees((REPOSITORY / "orders" / "shop.yaml").read_text(encoding="utf-8"))) == []


def test_every_name_of_the_table_stands_in_a_schema():
    text = schema_text(ORDER_KEYS) + schema_text(SHOP_KEYS)

    own = "additionalProperties"  # a name of the shop's own choosing
    names = {key.path: own if key.name == "*" else key.name for key in (*ORDER_KEYS.keys, *SHOP_KEYS.keys)}

    assert [path for path, name in names.items() if f'"{name}"' not in text] == []


def test_schema_and_reader_refuse_the_same_broken_orders(tmp_path):
    folder = copy_demo(tmp_path / "orders")
    shop = read_shop(folder / "shop.yaml")
    tried: set[str] = set()
    seen_by_reader_only, seen_by_schema_only = [], []
    for path in demo_orders():
        content = as_an_editor_sees(path.read_text(encoding="utf-8"))
        assert not rejected_by_the_reader(folder, content, shop)
        for what, order in broken(content):
            if what in tried:
                continue
            tried.add(what)
            by_schema, by_reader = bool(complaints(ORDER, order)), rejected_by_the_reader(folder, order, shop)
            seen_by_reader_only += [f"{path.stem}: {what}"] if by_reader and not by_schema else []
            seen_by_schema_only += [f"{path.stem}: {what}"] if by_schema and not by_reader else []
            assert by_schema or by_reader, what

    assert len(tried) >= 100
    assert (seen_by_reader_only, seen_by_schema_only) == ([], [])


# Faults that a schema cannot see, since it looks at one value at a time and does not read lines of words.
ONLY_THE_READER = {
    "a cylinder without an axis in a line": (("prescription", "right"), "-1.25 -0.50"),
    "a cylinder without an axis in a group": (("prescription", "right"), {"sphere": -1.25, "cylinder": -0.5}),
    "no sign": (("prescription", "right"), "1.25 DS"),
    "an axis over 180 in a line": (("prescription", "right"), "-1.00 -0.50 x 190"),
    "a prism without a direction": (("prescription", "right"), {"sphere": -1.25, "prism": "2"}),
    "pupils too close together": (("prescription", "pd"), "12 / 13"),
    "a size out of range": (("frame", "size"), "99-18-140"),
    "a day that does not exist": (("date",), "2026-02-30"),
    "a number of an order with a slash": (("order",), "QH/2101"),
    "a name that is too long": (("for",), "x" * 80),
    "a design that needs an addition": (("lenses", "design"), "progressive"),
    "a tint without an add-on that has one": (("lenses", "tint"), {"colour": "grey", "category": 2.0}),
    "a sum that is wrong": (("total",), 1.0),
    "a tax the shop does not have": (("price", 0, "tax"), "no-such-tax"),
    "an amount with three places": (("price", 0, "amount"), "1.234"),
}


@pytest.mark.parametrize("what", ONLY_THE_READER)
def test_what_only_the_reader_sees(tmp_path, what):
    folder = copy_demo(tmp_path / "orders")
    content = as_an_editor_sees(demo_orders()[0].read_text(encoding="utf-8"))
    shop = read_shop(folder / "shop.yaml")
    way, wrong = ONLY_THE_READER[what]
    order = changed(content, way, put(wrong))

    assert complaints(ORDER, order) == []
    assert rejected_by_the_reader(folder, order, shop)


def test_the_command_writes_both_beside_the_orders(tmp_path, monkeypatch, capsys):
    (tmp_path / "orders").mkdir()
    monkeypatch.chdir(tmp_path)

    assert main(["schema"]) == 0

    for name, keys in (("order", ORDER_KEYS), ("shop", SHOP_KEYS)):
        assert json.loads((tmp_path / "orders" / f"{name}.schema.json").read_text(encoding="utf-8")) == schema_of(keys)
    assert order_text(Taken(), "x").splitlines()[0] in capsys.readouterr().out


def test_a_folder_that_is_not_there_is_said(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)

    assert main(["schema", "--out", "nowhere"]) == 2
    assert "explain schema --out FOLDER" in capsys.readouterr().err


def test_an_editor_underlines_only_the_open_lines_of_a_draft():
    taken = Taken({"order": "A-1", "date": "2026-10-02"}).over(read_text("R -1.00 L -1.00 PD 63"))
    content = as_an_editor_sees(order_text(taken, "a test"))
    underlined = {"/".join(map(str, error.absolute_path)) for error in ORDER.iter_errors(content)}

    frame = {f"frame/{name}" for name in ("name", "size", "depth", "outline")}
    missing = ""  # the price, which is not there at all, is shown at the file as a whole
    assert underlined == {"for", *frame, "lenses/design", "lenses/material", missing}
