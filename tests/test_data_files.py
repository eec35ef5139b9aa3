"""The facts in explain/data: each with its unit, its source and a believable value."""

from __future__ import annotations

import re
import sys
from datetime import date

import pytest
import yaml

from explain.facts import data_file
from explain.pycache import DIGEST_LENGTH

SOURCES = data_file("sources")
MATERIALS = data_file("materials")["materials"]
TOLERANCES = data_file("tolerances")
ROWS = [row for family in ("us", "iso") for row in TOLERANCES[family]["rows"]]
STATUSES = {"read", "from-memory"}
MAY_GIVE_AN_ADDRESS = {"standard", "law", "public-body", "journal", "textbook", "course", "trade-magazine"}
BELIEVABLE = {
    "index_at_587_6_nm": (1.45, 1.90),
    "abbe_number": (25, 65),
    "density_g_per_cm3": (1.0, 3.0),
    "minimum_centre_mm": (1.0, 3.0),
    "minimum_edge_mm": (0.5, 2.5),
    "minimum_centre_for_child_or_one_good_eye_mm": (1.5, 3.0),
}
WORDS = {"impact"}
MATERIAL_KEYS = [
    *("standard-plastic-1.50", "urethane-1.53", "mid-index-1.56", "polycarbonate-1.59"),
    *("high-index-1.60", "high-index-1.67", "high-index-1.74", "crown-glass-1.52"),
]


def facts_of(material: str) -> list[tuple[str, dict]]:
    return [(name, fact) for name, fact in MATERIALS[material].items() if isinstance(fact, dict)]


def test_the_materials_an_order_may_name_are_all_there():
    assert list(MATERIALS) == MATERIAL_KEYS


@pytest.mark.parametrize("material", MATERIALS)
def test_every_number_of_a_material_says_its_unit_or_is_a_ratio(material):
    for name in set(MATERIALS[material]) - WORDS:
        assert name.endswith(("_mm", "_nm", "_g_per_cm3")) or name == "abbe_number", name


@pytest.mark.parametrize("material", MATERIALS)
def test_every_fact_of_a_material_has_a_source_and_a_status(material):
    for name, fact in facts_of(material):
        assert fact["status"] in STATUSES, name
        assert fact["sources"], name
        assert set(fact["sources"]) <= set(SOURCES), name
        assert {seen["source"] for seen in fact.get("also_seen", [])} <= set(SOURCES), name


@pytest.mark.parametrize("material", MATERIALS)
def test_a_fact_of_a_material_that_was_read_has_a_source_that_can_be_read(material):
    for name, fact in facts_of(material):
        recalled = {SOURCES[key]["kind"] for key in fact["sources"]} == {"recalled"}

        assert recalled == (fact["status"] == "from-memory"), name


@pytest.mark.parametrize("material", MATERIALS)
def test_every_number_of_a_material_is_believable(material):
    for name, fact in facts_of(material):
        if name in BELIEVABLE:
            least, most = BELIEVABLE[name]
            assert least <= fact["use"] <= most, name
        else:
            assert isinstance(fact["use"], str), name


@pytest.mark.parametrize("material", MATERIALS)
def test_the_number_in_a_materials_name_is_close_to_its_index(material):
    named = float(material.rsplit("-", 1)[1])

    assert MATERIALS[material]["index_at_587_6_nm"]["use"] == pytest.approx(named, abs=0.011)


@pytest.mark.parametrize("key", SOURCES)
def test_every_source_has_a_title_and_a_kind_and_an_address_only_where_one_may_be_given(key):
    source = SOURCES[key]

    assert set(source) <= {"title", "kind", "address"}
    assert source["title"]
    assert "http" not in source["title"]
    assert "address" not in source or source["kind"] in MAY_GIVE_AN_ADDRESS
    assert re.fullmatch(r"https?://\S+", source.get("address", "https://none"))


@pytest.mark.parametrize("name", ["materials", "tolerances"])
def test_facts_name_their_sources_by_key_and_never_by_address(name):
    assert "http" not in str(data_file(name))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_every_tolerance_row_says_what_it_allows_and_where_it_was_read(row):
    allowed = {key: value for key, value in row.items() if key.startswith("allowed_")}

    assert allowed
    assert all(key.endswith(("_dpt", "_deg", "_mm", "_percent")) for key in allowed)
    assert row["kind"] in {"plus-or-minus", "at-most", "no-limit"}
    assert (None in allowed.values()) == (row["kind"] == "no-limit")
    assert row["lens"] in {"single-vision-or-multifocal", "progressive", "any"}
    assert row["status"] in STATUSES
    assert set(row["sources"]) <= set(SOURCES)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_a_tolerance_row_from_memory_says_how_sure_it_is(row):
    recalled = {SOURCES[key]["kind"] for key in row["sources"]} == {"recalled"}

    assert recalled == (row["status"] == "from-memory") == ("confidence" in row)


def test_no_two_tolerance_rows_share_an_id():
    ids = [row["id"] for row in ROWS]

    assert len(ids) == len(set(ids))


def test_the_two_families_of_tolerances_are_named_apart():
    for family in ("us", "iso"):
        assert all(row["id"].startswith(f"{family}-") for row in TOLERANCES[family]["rows"])


@pytest.mark.parametrize("name", ["thickness_saved_mm", "weight_saved_g", "fringe_prism_dpt", "reflections_of_100"])
def test_every_verdict_says_whose_judgement_it_is_and_its_thresholds_rise(name):
    entry = data_file("verdicts")[name]
    thresholds = [row["below"] for row in entry["bands"]]

    assert entry["status"] in {"judgement", "from-memory"}
    assert thresholds == sorted(set(thresholds))


@pytest.mark.parametrize("name", ["largest_blank_mm", "far_from_middle_mm"])
def test_every_limit_of_the_advice_before_an_order_has_a_source_and_a_status(name):
    fact = data_file("advice")[name]

    assert fact["status"] in STATUSES
    assert {*fact["sources"], *(seen["source"] for seen in fact.get("also_seen", []))} <= set(SOURCES)
    assert 0 < fact["use"] < 100


@pytest.fixture
def facts(tmp_path, monkeypatch):
    """A folder with one file of facts in it, and how often it was read by YAML."""
    times = []
    real = yaml.load
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", None)
    monkeypatch.setattr("explain.facts._DATA", tmp_path)
    monkeypatch.setattr(yaml, "load", lambda *given, **named: times.append(1) or real(*given, **named))
    (tmp_path / "some.yaml").write_text("day: 2026-10-02\nparts: [1, 2.5]\n", encoding="utf-8")
    return tmp_path, times


def read_anew():
    return data_file.__wrapped__("some")


def test_facts_are_read_by_yaml_once_and_kept(facts):
    _, times = facts

    assert read_anew() == read_anew() == {"day": date(2026, 10, 2), "parts": [1, 2.5]}
    assert len(times) == 1


@pytest.mark.parametrize("at", [0, DIGEST_LENGTH, -1])
def test_facts_that_changed_or_were_kept_badly_are_read_again(facts, at):
    folder, times = facts
    read_anew()
    (kept,) = (folder / "__pycache__").iterdir()
    damaged = bytearray(kept.read_bytes())
    damaged[at] ^= 1
    kept.write_bytes(damaged)

    assert read_anew()["parts"] == [1, 2.5]
    (folder / "some.yaml").write_text("parts: [3]\n", encoding="utf-8")
    assert read_anew() == {"parts": [3]}
    assert len(times) == 3
