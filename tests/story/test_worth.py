"""Worth: what a material changed, figure by figure, on both sides of each threshold, and what each unit cost."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from msgspec.structs import replace

from explain.facts import data_file
from explain.optics.fringe import transverse_chromatic_prism_dpt
from explain.story.fringes import seen_fringe_prism_dpt
from explain.story.verdict import each, saving_text
from explain.story.worth import TOO_LITTLE, effects, effects_table
from tests.conftest import demo_orders
from tests.story.test_thickness import made

PAID = [{"item": "Material 1.67", "amount": "85.00", "choice": "high-index-1.67"}]
MATERIAL = {"material": "high-index-1.67", "add-ons": ["anti-reflective"]}


@pytest.fixture
def rows_of(pair_of, place):
    """Rows of the table for a 1.67 pair, by their heading, with figures of our choosing for it and the plainest."""

    def rows(mine, plainest, **changes):
        pair = pair_of(**{"lenses": MATERIAL, "price": PAID, **changes})
        others = tuple(made(one, *plainest) if one is pair.plainest else one for one in pair.others)
        table = effects_table(replace(pair, chosen=made(pair.chosen, *mine), others=others), place)
        return {row[0]: [cell.replace("\N{NO-BREAK SPACE}", " ") for cell in row[1:]] for row in table.rows}

    return rows


@pytest.mark.parametrize(
    ("saved_mm", "row"),
    [
        (0.4, ["0.4 mm less", "hard to see", TOO_LITTLE]),
        (0.5, ["0.5 mm less", "visible side by side", "$170.00 for 1 mm"]),
        (0.9, ["0.9 mm less", "visible side by side", "$94.44 for 1 mm"]),
        (1.0, ["1.0 mm less", "plain to see", "$85.00 for 1 mm"]),
        (0.0, ["no difference", "", ""]),
        (-0.6, ["0.6 mm more", "visible side by side", ""]),
    ],
)
def test_a_thickness_saved_has_its_words_and_a_price_for_each_mm_only_where_it_can_be_seen(rows_of, saved_mm, row):
    assert rows_of((3.0, 10.0), (3.0 + saved_mm, 15.0))["Thickness"] == row


@pytest.mark.parametrize(
    ("saved_g", "row"),
    [
        (2.4, ["2 g less", "too little to feel", TOO_LITTLE]),
        (2.5, ["3 g less", "you may feel it at the end of a day", "$28.33 for 1 g"]),
        (4.6, ["5 g less", "easy to feel", "$17.00 for 1 g"]),
        (0.4, ["no difference", "", ""]),
        (-3.2, ["3 g more", "you may feel it at the end of a day", ""]),
    ],
)
def test_a_weight_saved_has_its_words_and_a_price_for_each_gram_only_where_it_can_be_felt(rows_of, saved_g, row):
    assert rows_of((3.0, 10.0), (5.0, 10.0 + saved_g))["Weight"] == row


def test_no_price_stands_where_nothing_saved_can_be_noticed(rows_of):
    rows = rows_of((3.0, 18.0), (3.3, 19.0))

    assert rows["Thickness"] == ["0.3 mm less", "hard to see"]
    assert "$" not in str(rows)


@pytest.mark.parametrize("price", [None, "0.00", "-20.00"], ids=["not on the bill", "for nothing", "a reduction"])
def test_no_price_stands_where_nothing_was_paid_for_the_material(rows_of, price):
    lines = [{"item": "Lenses", "amount": "80.00", "choice": "single-vision"}]
    lines += [{**PAID[0], "amount": price}] if price else []

    assert "$" not in str(rows_of((3.0, 10.0), (5.0, 20.0), price=lines))


def test_two_prices_are_said_to_share_one_sum_and_one_alone_is_not(pair_of, place):
    pair = pair_of(lenses=MATERIAL, price=PAID)
    notes = []
    for weight_g in (20.0, 11.0):
        others = tuple(made(one, 5.0, weight_g) for one in pair.others)
        notes.append(effects_table(replace(pair, chosen=made(pair.chosen, 3.0, 10.0), others=others), place).note)

    assert "share 1 sum: you paid $85.00 once" in notes[0]
    assert "share" not in notes[1]
    assert all("our own judgment" in note for note in notes)


@pytest.mark.parametrize(
    ("power", "words"), [("-3.00", "most people notice none"), ("-3.25", "some"), ("-6.00", "some"), ("-6.25", "many")]
)
def test_the_fringe_has_the_words_of_its_own_width(rows_of, power, words):
    eyes = {"right": f"{power} DS", "left": f"{power} DS"}
    width = transverse_chromatic_prism_dpt(float(power), 10, 32) - transverse_chromatic_prism_dpt(float(power), 10, 58)

    change, meaning, _ = rows_of((3.0, 10.0), (5.0, 20.0), prescription=eyes)["Color fringe"]

    assert meaning.startswith(words)
    assert change.endswith(" wider")
    assert float(change.split()[0]) == pytest.approx(width, abs=0.011)  # a difference of two printed figures


def test_a_fringe_counts_from_where_the_part_on_looking_through_the_sides_is_shown():
    assert data_file("verdicts")["fringe_prism_dpt"]["bands"][0]["below"] == seen_fringe_prism_dpt()


@pytest.mark.parametrize(
    ("key", "row"),
    [
        ("high-index-1.67", ["4 in 100 more", "visible side by side"]),
        ("polycarbonate-1.59", ["2 in 100 more", "hard to see"]),
        ("high-index-1.74", ["6 in 100 more", "plain to see"]),
    ],
)
def test_bare_reflections_have_a_row_and_under_a_layer_they_have_none(pair_of, key, row):
    bare = {one.what: one for one in effects(pair_of(lenses={"material": key}))}
    layered = {one.what: one for one in effects(pair_of(lenses=MATERIAL))}

    assert [bare["Reflections"].change, bare["Reflections"].words] == row
    assert "Reflections" not in layered


def test_lenses_without_power_have_no_row_for_fringes(pair_of):
    plano = pair_of(prescription={"right": None, "left": None}, lenses={"design": "plano", **MATERIAL})

    assert [one.what for one in effects(plano)] == ["Thickness", "Weight"]


def test_nothing_is_set_out_for_the_plainest_material_or_where_strength_is_the_reason(pair_of, place):
    child = pair_of(lenses={"material": "polycarbonate-1.59"}, wearer=["child"])

    assert effects_table(pair_of(), place) is None
    assert effects_table(child, place) is None
    assert effects_table(pair_of(lenses={"material": "polycarbonate-1.59"}), place) is not None


def test_the_price_of_a_unit_times_what_was_saved_is_what_was_paid():
    assert each(Decimal("85.00"), Decimal("2.2")) * Decimal("2.2") == pytest.approx(
        Decimal("85.00"), abs=Decimal("0.02")
    )


def test_the_printed_figures_are_those_worked_out(demo_pair, place):
    table = effects_table(demo_pair, place)
    if table is None:
        assert demo_pair.chosen.material.key in {demo_pair.plainest.material.key, "polycarbonate-1.59"}
        return
    saved = demo_pair.plainest.thickest_mm - demo_pair.chosen.thickest_mm
    assert float(re.match(r"[\d.]+", table.rows[0][1])[0]) == pytest.approx(saved, abs=0.05)


def test_a_demo_customer_is_told_that_they_would_not_notice(demo_pair_of, place):
    texts = [saving_text(demo_pair_of(path), place) for path in demo_orders()]

    assert any(text.startswith("You would not notice: it saves") for text in texts)
