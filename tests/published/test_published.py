"""The files of worked examples themselves: named sources, ids that differ, and none forgotten."""

from __future__ import annotations

import pytest
import yaml

from explain.facts import data_file
from tests.published.reader import FOLDER, section

FILES = sorted(path.stem for path in FOLDER.glob("*.yaml"))
SECTIONS = ("examples", "tables", "misprints", "ours")


def sections_of(quantity: str) -> dict[str, list[dict]]:
    return yaml.safe_load((FOLDER / f"{quantity}.yaml").read_text(encoding="utf-8"))


def all_entries() -> list[dict]:
    return [entry for quantity in FILES for entries in sections_of(quantity).values() for entry in entries]


@pytest.mark.parametrize("quantity", FILES)
def test_every_printed_example_names_a_known_source(quantity):
    known = set(data_file("sources"))

    named = {entry["source"] for name, part in sections_of(quantity).items() if name != "ours" for entry in part}

    assert named <= known


@pytest.mark.parametrize("quantity", FILES)
def test_a_file_of_examples_has_only_the_four_sections(quantity):
    assert set(sections_of(quantity)) <= set(SECTIONS)


def test_no_two_examples_share_an_id():
    ids = [entry["id"] for entry in all_entries()]

    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("quantity", FILES)
def test_every_file_of_examples_is_used_by_a_test(quantity):
    tests = [path.read_text(encoding="utf-8") for path in FOLDER.parent.rglob("test_*.py")]

    assert any(f'("{quantity}")' in text or f'("{quantity}", ' in text for text in tests)


def test_no_example_carries_an_address():
    texts = [path.read_text(encoding="utf-8") for path in FOLDER.glob("*.yaml")]

    assert not [text for text in texts if "http" in text or "www." in text]


def test_the_ball_of_the_impact_rule_falls_inches_not_feet():
    (slip,) = section("drop_ball_height", "misprints")
    rows = {row["id"]: row for row in data_file("tolerances")["impact_us"]["facts"]}

    assert rows["impact-height"]["value"] == slip["right"]
    assert rows["impact-height"]["value"] != slip["printed_wrongly"]
