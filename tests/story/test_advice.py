"""Advice: the materials side by side for the optician, with the figures of numbers.json, in 80 letters."""

from __future__ import annotations

import json
import re

import pytest
from msgspec.structs import replace

from explain.site.numbers import numbers
from explain.story.advice import WIDE, advice_figures, advice_on, advice_text
from explain.story.wording import plain
from tests.story.test_thickness import made

PLUS = {"right": "+4.00 DS", "left": "+3.00 DS"}


def table_of(pair):
    """Rows of the table by the name of the material, split at two spaces or more."""
    lines = advice_text(advice_on(pair)).splitlines()[1:]
    rows = [re.split(r" {2,}", line) for line in lines if re.search(r"\d mm +\d", line)]
    return {name: cells for name, *cells in rows}


def remarks_of(pair):
    return " ".join(advice_on(pair).remarks)


def test_the_comparison_fits_80_letters(demo_pair):
    lines = advice_text(advice_on(demo_pair)).splitlines()

    assert max(len(line) for line in lines) <= WIDE
    assert lines[0].split() == ["Material", "Thickest", "Thinnest", "Weight", "Fringe", "Price"]


def test_every_material_has_a_row_and_the_ordered_one_is_marked_in_words(demo_pair):
    table = table_of(demo_pair)

    assert set(table) == {made.material.name for made in (demo_pair.chosen, *demo_pair.others)}
    assert [name for name, cells in table.items() if cells[-1] == "ordered"] == [demo_pair.chosen.material.name]


def test_the_figures_of_the_table_are_those_of_numbers_json_rounded(demo_pair):
    figures = numbers(demo_pair)
    table = table_of(demo_pair)
    names = {made.material.key: made.material.name for made in (demo_pair.chosen, *demo_pair.others)}

    for one in (figures["chosen"], *figures["others"]):
        thinnest = min(min(lens["centre_mm"], lens["thinnest_edge_mm"]) for lens in one["lenses"].values())
        assert table[names[one["material"]]][:4] == [
            f"{plain(one['thickest_mm'], 1)} mm",
            f"{plain(thinnest, 1)} mm",
            f"{plain(one['weight_g'], 0)} g",
            plain(one["fringe_10_mm_aside_prism_dpt"], 2),
        ]
    for side, eye in figures["eyes"].items():
        assert advice_on(demo_pair).smallest_blank_mm[side] == eye["smallest_blank_mm"]


def test_the_figures_for_another_program_are_those_of_numbers_json_in_full(demo_pair):
    figures = numbers(demo_pair)
    given = json.loads(json.dumps(advice_figures(advice_on(demo_pair))))

    by_key = {one["material"]: one for one in given["materials"]}
    for one in (figures["chosen"], *figures["others"]):
        mine = by_key[one["material"]]
        assert [mine[name] for name in ("thickest_mm", "weight_g", "fringe_10_mm_aside_prism_dpt")] == [
            one[name] for name in ("thickest_mm", "weight_g", "fringe_10_mm_aside_prism_dpt")
        ]
        assert mine["ordered"] == (one is figures["chosen"])


def test_a_price_is_the_shop_s_and_a_material_that_is_not_on_its_list_has_none(pair_of):
    table = table_of(pair_of(lenses={"material": "mid-index-1.56"}))

    assert table["High-index plastic 1.67"][4] == "+85.00"
    assert table["Standard plastic 1.50"][4] == "0.00"
    assert table["Mid-index plastic 1.56"][4] == "no price"


@pytest.mark.parametrize(
    ("saved_mm", "words"),
    [
        (0.4, "thickness 0.4 mm less, hard to see;"),
        (0.5, "thickness 0.5 mm less, visible side by side (170.00 for 1 mm);"),
        (0.0, "thickness the same;"),
    ],
)
def test_a_saving_has_its_words_and_a_price_only_where_it_can_be_seen(pair_of, saved_mm, words):
    pair = pair_of(lenses={"material": "high-index-1.67"})
    others = tuple(made(one, 3.0 + saved_mm, 20.0) for one in pair.others)

    assert words in remarks_of(replace(pair, chosen=made(pair.chosen, 3.0, 20.0), others=others)) + ";"


def test_nothing_is_said_to_be_saved_by_the_plainest_material(pair_of):
    assert "against" not in remarks_of(pair_of())


def test_a_cheaper_material_that_does_nearly_the_same_is_named(pair_of):
    pair = pair_of(lenses={"material": "high-index-1.74"})

    assert re.search(r"Nearly the same for \d+\.\d\d less: \S+", remarks_of(pair))
    assert "Nearly" not in remarks_of(pair_of())


def test_a_cheaper_material_that_spreads_colours_more_is_said_to_only_where_it_may_be_seen(pair_of):
    strong, weak = (
        remarks_of(pair_of(prescription={"right": power, "left": power}, lenses={"material": "high-index-1.60"}))
        for power in ("-6.00 DS", "-1.00 DS")
    )

    assert "less: polycarbonate 1.59" in strong
    assert ", fringe 0.20 against 0.15." in strong
    assert "less: polycarbonate 1.59" in weak
    assert "fringe" not in weak


def test_for_a_child_only_a_tough_material_is_named_as_nearly_the_same(pair_of):
    weak = {"prescription": {"right": "-1.00 DS", "left": "-1.00 DS"}, "lenses": {"material": "high-index-1.74"}}

    assert "less: high-index plastic 1.67" in remarks_of(pair_of(**weak))
    assert "less: polycarbonate 1.59" in remarks_of(pair_of(**weak, wearer=["child"]))


def test_lenses_from_stock_are_set_against_ground_ones(pair_of):
    ground, stock = (pair_of(prescription=PLUS, lenses={"blank": blank}) for blank in (None, "70"))

    thinner = stock.chosen.thickest_mm - ground.chosen.thickest_mm
    assert f"Ground for the frame instead of cut from stock: {plain(thinner, 1)} mm thinner" in remarks_of(stock)
    assert "stock" not in remarks_of(ground)
    assert "stock" not in remarks_of(pair_of(lenses={"blank": "70"}))  # a minus lens is the same either way


def test_a_material_that_cannot_be_curved_to_the_power_is_named(pair_of):
    pair = pair_of(lenses={"material": "high-index-1.74"})
    others = tuple(one for one in pair.others if one.material.key != "standard-plastic-1.50")

    assert "Cannot be curved" not in remarks_of(pair)
    assert "curved to this power in this frame: Standard plastic 1.50." in remarks_of(replace(pair, others=others))


@pytest.mark.parametrize(
    ("shop", "lenses", "largest"),
    [
        ({"largest-blank": None}, {}, "75"),
        ({"largest-blank": "80"}, {}, "80"),
        ({"largest-blank": "80"}, {"blank": "65"}, "65"),
    ],
    ids=["the usual one", "the shop's", "the order's"],
)
def test_the_largest_blank_is_the_orders_else_the_shops_else_the_usual_one(pair_of, shop, lenses, largest):
    assert f"Largest: {largest} mm." in advice_text(advice_on(pair_of(shop=shop, lenses=lenses)))


def test_lenses_alike_share_one_figure_for_the_blank_and_a_lens_alone_has_its_side(pair_of):
    assert " mm each (2 for cutting)" in advice_text(advice_on(pair_of()))
    assert "Blank needed: left " in advice_text(advice_on(pair_of(prescription={"right": "none"})))
