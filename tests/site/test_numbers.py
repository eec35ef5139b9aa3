"""numbers.json: every figure with its unit in the key, nothing rounded, nobody named."""

from __future__ import annotations

import json
import re

import pytest

from explain.order import read_order, read_shop
from explain.site.numbers import numbers, numbers_text
from explain.story.pair import work_out
from tests.conftest import REPOSITORY
from tests.story.invented import pair_in

UNITS = ("_mm", "_cm", "_deg", "_arcmin", "_dpt", "_prism_dpt", "_g", "_s", "_celsius", "_of_100", "_ratio")
WITHOUT_UNIT = {"index_at_587_6_nm", "category"}


@pytest.fixture
def demo_numbers(demo_results, demo_order):
    path = demo_results[demo_order.stem].page.parents[2] / "private" / demo_order.stem / "numbers.json"
    return json.loads(path.read_text(encoding="utf-8"))


@pytest.fixture
def demo_pair(demo_order):
    shop = read_shop(REPOSITORY / "orders" / "shop.yaml")
    return work_out(read_order(demo_order, shop).order, shop)


def leaves(thing, key=""):
    """Every single value with the key it stands under."""
    if isinstance(thing, dict):
        return [leaf for name, value in thing.items() for leaf in leaves(value, name)]
    if isinstance(thing, list):
        return [leaf for value in thing for leaf in leaves(value, key)]
    return [(key, thing)]


def test_every_number_says_its_unit_in_its_key(demo_numbers):
    numeric = {key for key, value in leaves(demo_numbers) if isinstance(value, int | float) and value is not True}
    numeric -= {key for key, value in leaves(demo_numbers) if isinstance(value, bool)}

    assert len(numeric) > 20
    assert {key for key in numeric if not key.endswith(UNITS)} <= WITHOUT_UNIT


def test_nobody_is_named(demo_numbers, demo_pair):
    text = json.dumps(demo_numbers)

    order = demo_pair.order
    assert order.first_name not in text
    assert order.frame.name not in text
    assert demo_pair.shop.name not in text
    assert order.number in text


def test_nothing_is_rounded(demo_numbers, demo_pair):
    chosen = demo_numbers["chosen"]

    assert chosen["thickest_mm"] == demo_pair.chosen.thickest_mm
    assert chosen["weight_g"] == demo_pair.chosen.weight_g
    for side, lens in demo_pair.chosen.lenses.items():
        assert chosen["lenses"][side]["thickest_edge_mm"] == lens.thickest_edge.thickness_mm
    assert any(len(re.sub(r"\d+\.", "", str(value))) > 8 for _, value in leaves(chosen) if isinstance(value, float))


def test_every_material_the_page_compares_has_its_figures(demo_numbers, demo_pair):
    assert demo_numbers["chosen"]["material"] == demo_pair.order.lenses.material
    found = [made["material"] for made in demo_numbers["others"]]
    assert found == [made.material.key for made in demo_pair.others]


def test_the_edge_of_the_chosen_lens_is_given_all_the_way_round(demo_numbers):
    for lens in demo_numbers["chosen"]["lenses"].values():
        edge = lens["edge"]
        assert max(point["thickness_mm"] for point in edge) == pytest.approx(lens["thickest_edge_mm"], abs=0.02)
        assert [point["angle_deg"] for point in edge] == sorted(point["angle_deg"] for point in edge)
        assert edge[-1]["angle_deg"] - edge[0]["angle_deg"] > 340


def test_each_measured_value_stands_beside_its_limit(demo_numbers):
    for one in demo_numbers["checked"]:
        (unit,) = {key.removeprefix("allowed_") for key in one if key.startswith("allowed_")}
        allowed = one[f"allowed_{unit}"]
        assert one["inside"] == (allowed is None or one[f"off_by_{unit}"] <= allowed + 1e-9)


def test_a_pair_with_an_add_has_its_figures_for_near(tmp_path):
    prescription = {"right": "-0.50 DS", "left": "-0.25 DS", "add": "1.50"}
    found = numbers(pair_in(tmp_path, prescription=prescription, lenses={"design": "reading"}))

    right = found["eyes"]["right"]
    assert right["add_dpt"] == 1.5
    assert right["near_power"]["sphere_dpt"] == 1.0
    assert right["nearest_ready_made_reader"]["power_dpt"] == 1.0


def test_a_balance_lens_is_marked_and_has_no_prescription(tmp_path):
    found = numbers(pair_in(tmp_path, prescription={"left": "balance"}))

    assert found["eyes"]["left"]["balance"] is True
    assert "ordered" not in found["eyes"]["left"]
    assert found["anisometropia_dpt"] is None


def test_the_same_order_gives_the_same_text_and_no_value_that_json_does_not_know(tmp_path):
    texts = {numbers_text(pair_in(tmp_path)) for _ in range(2)}

    (text,) = texts
    assert text.endswith("}\n")
    assert not re.search(r"\b(NaN|Infinity)\b", text)


def test_the_text_is_what_python_writes_with_one_blank_a_level(tmp_path):
    pair = pair_in(tmp_path)

    assert numbers_text(pair) == json.dumps(numbers(pair), indent=1, ensure_ascii=False) + "\n"
