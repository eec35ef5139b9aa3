"""The table of keys: complete, and true to the facts it names."""

from __future__ import annotations

import pytest
import yaml

from explain.facts import data_file
from explain.order.keys import ADD_ONS, DESIGNS, MATERIALS, ORDER_KEYS, SHOP_KEYS, nearest

KEYS = [*ORDER_KEYS.keys, *SHOP_KEYS.keys]


@pytest.mark.parametrize("key", KEYS, ids=lambda key: key.path)
def test_the_example_of_a_key_is_a_line_that_starts_with_its_name(key):
    assert list(yaml.safe_load(key.example)) == [True if key.name == "on" else key.name]


@pytest.mark.parametrize("key", KEYS, ids=lambda key: key.path)
def test_a_key_says_what_it_means_and_what_is_allowed(key):
    assert key.meaning
    assert key.allowed.endswith(".")
    assert "{or}" not in key.allowed
    assert "{and}" not in key.allowed


def test_every_material_has_its_facts():
    assert set(MATERIALS) == set(data_file("materials")["materials"])


def test_every_choice_has_its_words():
    words = data_file("options")

    assert [set(words[group]) for group in ("designs", "materials", "add-ons")] == [
        set(DESIGNS),
        set(MATERIALS),
        set(ADD_ONS),
    ]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("colr", "colour"), ("Near_PD", "near-pd"), ("varifocal", None), ("quite another thing", None)],
)
def test_the_nearest_name_is_suggested_only_when_it_is_near(typed, meant):
    assert nearest(typed, ["name", "colour", "size", "near-pd"]) == meant


def test_another_word_for_the_same_thing_is_known():
    assert nearest("varifocal", DESIGNS) == "progressive"
