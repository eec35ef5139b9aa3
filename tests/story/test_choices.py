"""Each choice: five parts, as much against as for, and figures that end with leaving it off."""

from __future__ import annotations

import pytest

from explain.facts import data_file
from explain.optics.reflection import two_surface_transmittance
from explain.order.keys import ADD_ONS
from explain.story.choices import choices_section
from explain.story.fringes import fringe_prism_dpt
from explain.story.reflections import reflected_per_100

SUN = {"design": "plano", "material": "polycarbonate-1.59", "add-ons": ["sun-tint"]}


def choices_of(section):
    return [block for block in section.blocks if block.kind == "choice"]


@pytest.fixture
def choice_of(pair_of, place):
    """The block about the lens kind (0), the material (1) or the first add-on (2)."""
    return lambda number, **changes: choices_of(choices_section(pair_of(**changes), place))[number]


def test_the_lens_kind_the_material_and_every_add_on_have_a_block(demo_pair, place):
    found = choices_of(choices_section(demo_pair, place))

    assert len(found) == 2 + len(demo_pair.order.lenses.add_ons)


def test_every_choice_has_as_many_points_against_as_for(demo_pair, place):
    for choice in choices_of(choices_section(demo_pair, place)):
        assert len(choice.reasons_for) == len(choice.reasons_against) > 0
        assert choice.what
        assert choice.not_worth


def test_the_figures_of_every_choice_start_with_yours_and_end_with_leaving_it_off(demo_pair, place):
    for choice in choices_of(choices_section(demo_pair, place)):
        assert choice.figures.rows[0][0] == "Yours"
        assert choice.figures.rows[-1][0].startswith("Leave it off")
        assert {len(row) for row in choice.figures.rows} == {len(choice.figures.columns)}


@pytest.mark.parametrize("key", ADD_ONS)
def test_every_add_on_that_can_be_ordered_has_its_words(choice_of, key):
    needed = {"tint": {"colour": "gray", "category": "2"}} if key in {"sun-tint", "polarised"} else {}

    choice = choice_of(2, lenses={"add-ons": [key], **needed})

    assert choice.name
    assert choice.figures.rows


def test_what_was_paid_for_a_choice_stands_in_its_figures(choice_of):
    lines = [{"item": "Hard layer", "amount": "15.00", "choice": "hard-layer"}]
    lenses = {"add-ons": ["hard-layer"]}

    assert choice_of(2, lenses=lenses, price=lines).figures.rows[0][-1] == "$15.00"
    assert "$" not in choice_of(2, lenses=lenses).figures.rows[0][-1]


def test_the_plainest_material_has_nothing_to_leave_off(choice_of):
    rows = choice_of(1).figures.rows

    assert "plainest" in rows[1][1]


def test_another_material_is_set_beside_the_plainest(choice_of):
    rows = choice_of(1, lenses={"material": "high-index-1.67"}).figures.rows

    assert rows[1][0] == "Leave it off: standard plastic 1.50"
    assert float(rows[0][1].split("\N{NO-BREAK SPACE}")[0]) < float(rows[1][1].split("\N{NO-BREAK SPACE}")[0])


def test_color_fringes_are_those_of_the_stronger_lens_10_mm_aside(pair_of):
    pair = pair_of(prescription={"right": "-2.00 DS", "left": "-4.00 -1.00 x 90"})

    abbe = pair.chosen.material.abbe_number
    assert fringe_prism_dpt(pair, pair.chosen) == pytest.approx(5.0 * 1.0 / abbe)  # 5 dioptres x 1 cm / Abbe number


def test_a_bare_lens_throws_back_what_its_index_says(pair_of):
    pair = pair_of(lenses={"material": "high-index-1.67", "add-ons": ["anti-reflective"]})
    index = pair.chosen.material.index_at_587_6_nm

    assert reflected_per_100(pair) == pytest.approx(100 * (1 - two_surface_transmittance(index)))
    assert 7.5 < reflected_per_100(pair_of()) < reflected_per_100(pair) < 13


def test_the_anti_reflective_figures_compare_with_the_bare_lens(choice_of):
    layer = choice_of(2, lenses={"material": "high-index-1.67", "add-ons": ["anti-reflective"]})

    yours, leave_off = layer.figures.rows[0], layer.figures.rows[-1]
    assert yours[1:4] == ("0.3 to 1.0", "0.5 to 2.0", "98.0 to 99.5")
    assert leave_off[1:] == ("6.2", "11.9", "88.1", "no charge")
    assert "about 12 in 100" in layer.for_your_pair[1]


@pytest.mark.parametrize(
    ("add_ons", "told"),
    [(["hard-layer"], True), (["light-reactive"], True), (["anti-reflective"], False), (["polarised"], False)],
)
def test_without_a_layer_a_bare_lens_is_told_of_unless_its_tint_takes_more(pair_of, place, add_ons, told):
    blocks = choices_section(pair_of(lenses={"add-ons": add_ons}), place).blocks
    tables = [block for block in blocks if block.kind == "table"]

    assert [table.rows[0][0] for table in tables] == (["Yours, bare"] if told else [])


@pytest.mark.parametrize(
    ("add_on", "columns"), [("hard-layer", 5), ("light-reactive", 3), ("polarised", 3), ("sun-tint", 3)]
)
def test_what_passes_is_told_of_clear_lenses_alone(choice_of, add_on, columns):
    tint = {"tint": {"colour": "gray", "category": "2"}} if columns == 3 else {}

    layer = choice_of(2, lenses={"add-ons": ["anti-reflective", add_on], **tint})

    assert len(layer.figures.columns) == columns
    assert bool(layer.for_your_pair) == (add_on in {"hard-layer", "light-reactive"})


@pytest.mark.parametrize("category", range(5))
def test_a_tint_says_how_much_light_its_category_lets_through(choice_of, category):
    lenses = SUN | {"tint": {"colour": "brown", "category": str(category)}}
    low, high = data_file("tints")["let_through_of_100"][category]

    (text,) = choice_of(2, prescription={"right": None, "left": None}, lenses=lenses).for_your_pair

    assert "brown" in text
    assert f"category {category}" in text
    assert f"{low} to {high} of every 100" in text


@pytest.mark.parametrize("design", ["single-vision", "progressive", "bifocal", "reading", "plano"])
def test_leaving_off_a_lens_kind_says_what_there_would_be_instead(choice_of, design):
    eyes = {"right": None, "left": None} if design == "plano" else {"add": "1.50", "heights": "18 / 18"}

    choice = choice_of(0, prescription=eyes, lenses={"design": design})

    assert choice.figures.rows[1][0] == data_file("left_off")[design]


def test_a_layer_says_how_plain_its_difference_is_and_a_material_what_its_fringe_means(choice_of):
    lenses = {"material": "high-index-1.67", "add-ons": ["anti-reflective"]}

    assert choice_of(2, lenses=lenses).for_your_pair[0].endswith("That is plain to see.")
    assert choice_of(1, lenses=lenses).for_your_pair[0].endswith("Its color fringe is 0.13: some people notice it.")
