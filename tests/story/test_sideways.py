"""Colours and shifts at the sides: the figures, and on which side of each threshold they are told."""

from __future__ import annotations

import json
import math

import pytest

from explain.facts import data_file
from explain.optics.fringe import transverse_chromatic_prism_dpt
from explain.optics.prism import prentice_prism_dpt, vertical_imbalance_prism_dpt
from explain.story.fringes import fringe_prism_dpt, fringe_seen_from_mm, seen_fringe_prism_dpt
from explain.story.sideways import (
    fringe_matters,
    fringe_text,
    fringe_words,
    imbalance_matters,
    reading_drop_mm,
    reading_imbalance_prism_dpt,
    shift_matters,
    shifts_prism_dpt,
    sideways_blocks,
    sideways_numbers,
)
from tests.conftest import REPOSITORY
from tests.story.readability import reading, sentences_of, words_of
from tests.story.test_words import BRITISH, banned_in
from tests.story.test_words_of_pages import odd_signs
from tests.story.test_zones import texts_of

VERDICTS = data_file("verdicts")
BANDS = VERDICTS["fringe_prism_dpt"]["bands"]
PAIRS = {
    "middling": {},
    "strong": {"prescription": {"right": "-9.00 -1.00 x 20", "left": "-8.00 DS"}},
    "uneven": {"prescription": {"right": "-1.00 DS", "left": "-4.00 DS"}},
    "uneven progressive": {
        "prescription": {"right": "-1.00 DS", "left": "-4.00 DS", "add": "2.00", "heights": "20 / 20"},
        "lenses": {"design": "progressive", "material": "high-index-1.60"},
    },
    "bifocal": {
        "prescription": {"right": "-3.00 DS", "left": "-3.00 DS", "add": "2.00", "heights": "17 / 17"},
        "lenses": {"design": "bifocal"},
    },
}


@pytest.fixture(params=PAIRS)
def any_pair(request, pair_of):
    return pair_of(**PAIRS[request.param])


def leads(pair):
    return [block.lead for block in sideways_blocks(pair) if getattr(block, "lead", "")]


def test_sentences_are_short_plain_and_in_us_english(any_pair):
    blocks = sideways_blocks(any_pair)
    texts = [*texts_of(blocks), *(block.lead for block in blocks if block.kind == "bullets")]

    assert [s for text in texts for s in sentences_of(text) if len(words_of(s)) > 20] == []
    assert [text for text in texts if len(sentences_of(text)) > 3] == []
    assert [text for text in texts if banned_in(text) or BRITISH.findall(text)] == []
    assert odd_signs(texts) == []
    assert reading(texts).grade <= 8.5


def test_a_pair_without_a_prescription_has_no_such_part(pair_of):
    plano = pair_of(prescription={"right": None, "left": None, "pd": "62"}, lenses={"design": "plano"})

    assert sideways_blocks(plano) == []


def test_the_fringe_is_that_of_the_stronger_lens_along_the_level_line(pair_of):
    pair = pair_of(prescription={"right": "-2.00 -2.00 x 180", "left": "-1.00 -2.00 x 90"})

    fringe = fringe_prism_dpt(pair, pair.chosen)

    assert fringe == pytest.approx(transverse_chromatic_prism_dpt(-3.00, 10.0, pair.chosen.material.abbe_number))


@pytest.mark.parametrize(("prism", "most"), [("1 in", 4.0), ("1 out", 4.0), ("1 up", math.hypot(3.0, 1.0))])
def test_ordered_prism_adds_to_the_fringe_on_the_side_where_it_is_worse(pair_of, prism, most):
    pair = pair_of(prescription={"right": {"sphere": "-3.00", "prism": prism}, "left": "-1.00 DS"})

    assert fringe_prism_dpt(pair, pair.chosen) == pytest.approx(most / pair.chosen.material.abbe_number)


def test_the_table_has_a_row_for_each_material_and_a_column_for_each_place(pair_of):
    pair = pair_of()
    table = next(block for block in sideways_blocks(pair) if block.kind == "table" and block.columns[0] == "Material")

    assert len(table.rows) == 1 + len(pair.others)
    assert [column[:2].strip("\N{NO-BREAK SPACE}") for column in table.columns[1:]] == ["5", "10", "15"]
    (mine,) = [row for row in table.rows if row[0].endswith("(yours)")]
    assert [float(cell) for cell in mine[1:]] == pytest.approx(
        [fringe_prism_dpt(pair, pair.chosen, off) for off in (5.0, 10.0, 15.0)], abs=0.0051
    )


@pytest.mark.parametrize(("below", "words"), [(row["below"], row["sentence"]) for row in BANDS[:-1]])
def test_a_band_of_fringes_ends_just_below_its_threshold(below, words):
    assert fringe_words(below - 0.0051) == words
    assert fringe_words(below) != words
    assert fringe_words(below - 0.004) != words  # printed as the threshold itself


def test_each_threshold_says_where_it_comes_from_and_the_bands_begin_at_the_one_that_is_shown():
    shown_from = VERDICTS["shown_from"].values()

    assert all(entry["status"] in {"judgement", "from-memory"} and entry["use"] > 0 for entry in shown_from)
    assert BANDS[0]["below"] == seen_fringe_prism_dpt()


def test_where_colors_begin_to_show_is_where_the_fringe_reaches_what_some_see(pair_of):
    pair = pair_of(prescription={"right": {"sphere": "-3.00", "cylinder": "-1.00", "axis": "30", "prism": "1 up"}})

    place = fringe_seen_from_mm(pair, pair.chosen)

    assert 0 < place < 25
    assert fringe_prism_dpt(pair, pair.chosen, place) == pytest.approx(seen_fringe_prism_dpt())


def test_colors_that_begin_beyond_any_lens_are_not_placed():
    assert "begin to show" in fringe_text(0.04, 25.0)
    assert "begin to show" not in fringe_text(0.04, 25.1)


def test_a_lens_without_level_power_shows_no_colors_anywhere(pair_of):
    pair = pair_of(prescription={"right": "plano", "left": "plano", "add": None})

    assert fringe_seen_from_mm(pair, pair.chosen) == math.inf
    assert sideways_numbers(pair)["fringe_seen_from_mm"] is None
    assert not fringe_matters(pair)


def test_weak_lenses_get_no_such_part(pair_of):
    assert sideways_blocks(pair_of(prescription={"right": "-1.00 DS", "left": "-1.00 DS"})) == []


@pytest.mark.parametrize(("power", "shown"), [("-3.75 DS", False), ("-4.00 DS", True)])
def test_colors_are_told_from_what_some_people_see_15_mm_aside(pair_of, power, shown):
    pair = pair_of(prescription={"right": power, "left": power})

    assert fringe_matters(pair) == shown
    assert ("Colored edges." in leads(pair)) == shown


@pytest.mark.parametrize(("power", "shown"), [("-1.75 DS", False), ("-2.00 DS", True), ("+2.00 DS", True)])
def test_shifts_are_told_from_two_prism_diopters_on(pair_of, power, shown):
    pair = pair_of(prescription={"right": power, "left": power})

    assert shift_matters(pair) == shown
    assert ("Shifted views." in leads(pair)) == shown


def test_a_shift_is_prentices_rule_and_includes_what_an_oblique_cylinder_turns(pair_of):
    round_lens = pair_of(prescription={"right": "-3.00 DS", "left": "-3.00 DS"})
    oblique = pair_of(prescription={"right": "-3.00 -2.00 x 45", "left": "-3.00 DS"})

    assert shifts_prism_dpt(round_lens, round_lens.eyes[0]) == pytest.approx((prentice_prism_dpt(-3.0, 10),) * 2)
    assert shifts_prism_dpt(oblique, oblique.eyes[0])[0] == pytest.approx(math.hypot(4.0, 1.0))


def test_ordered_prism_does_not_change_the_shifts(pair_of):
    plain = pair_of(prescription={"right": "-3.00 DS"})
    prism = pair_of(prescription={"right": {"sphere": "-3.00", "prism": "2 up"}})

    assert shifts_prism_dpt(prism, prism.eyes[0]) == shifts_prism_dpt(plain, plain.eyes[0])


def test_looking_down_a_progressive_the_add_counts_as_well(pair_of):
    given = {"right": "+2.00 DS", "left": "+2.00 DS", "add": "2.00", "heights": "20 / 20"}
    progressive = pair_of(prescription=given, lenses={"design": "progressive", "material": "high-index-1.60"})

    # the far part 2.0, and 2.00 x 10^2 / (2 x 14) / 10 from the growing add
    assert shifts_prism_dpt(progressive, progressive.eyes[0])[1] == pytest.approx(2.0 + 0.714, abs=0.001)


@pytest.mark.parametrize(("left", "shown"), [("-2.25 DS", False), ("-2.50 DS", True)])
def test_uneven_shifts_are_told_from_one_and_a_half_prism_diopters_on(pair_of, left, shown):
    pair = pair_of(prescription={"right": "-1.00 DS", "left": left})

    assert imbalance_matters(pair) == shown
    assert any(block.kind == "bullets" for block in sideways_blocks(pair)) == shown
    assert (reading_imbalance_prism_dpt(pair) >= VERDICTS["shown_from"]["imbalance_prism_dpt"]["use"]) == shown


@pytest.mark.parametrize(("left", "unlike"), [("-2.75 DS", False), ("-2.50 DS", True), ("-6.00 DS", True)])
def test_eyes_whose_views_part_are_called_unlike(pair_of, left, unlike):
    blocks = sideways_blocks(pair_of(prescription={"left": left}))

    assert ("uneven-eyes" in [block.name for block in blocks if block.kind == "prose"]) == unlike


def test_eyes_unlike_along_the_level_line_only_get_words_but_no_remedies(pair_of):
    blocks = sideways_blocks(pair_of(prescription={"right": "-1.00 DS", "left": "-1.00 -3.00 x 90"}))

    assert [block.kind for block in blocks][-2:] == ["paragraph", "prose"]
    assert blocks[-2].text == "Your eyes differ by 3.00 diopters."


def test_the_imbalance_of_single_vision_lenses_is_the_published_rule(pair_of):
    pair = pair_of(prescription={"right": "-3.00 -2.00 x 180", "left": "-2.75 -2.50 x 90"})
    right, left = (eye.ordered.power for eye in pair.eyes)

    assert reading_imbalance_prism_dpt(pair) == pytest.approx(vertical_imbalance_prism_dpt(right, left, 10.0))


def test_in_progressives_the_imbalance_is_where_full_power_starts_and_equal_adds_cancel(pair_of):
    pair = pair_of(**PAIRS["uneven progressive"])

    assert reading_drop_mm(pair) == 14.0
    assert reading_imbalance_prism_dpt(pair) == pytest.approx(3.0 * 1.4)


@pytest.mark.parametrize("left", ["none", "balance"])
def test_one_eye_alone_has_no_imbalance(pair_of, left):
    pair = pair_of(prescription={"right": "-6.00 DS", "left": left})

    assert reading_imbalance_prism_dpt(pair) is None
    assert not imbalance_matters(pair)


def test_the_usual_remedies_are_named_and_left_to_whoever_tested_the_eyes(pair_of):
    *_, prose, ways = sideways_blocks(pair_of(**PAIRS["uneven"]))
    named = " ".join(ways.items)

    assert all(word in named for word in ("Slab-off", "Dropped centers", "separate pair", "Contact lenses"))
    words = (REPOSITORY / "templates" / "words" / f"{prose.name}.md").read_text(encoding="utf-8")
    assert "for whoever tested them to say" in words


def test_dropped_centers_are_not_named_for_progressives(pair_of):
    (ways,) = [block for block in sideways_blocks(pair_of(**PAIRS["uneven progressive"])) if block.kind == "bullets"]

    assert "Dropped" not in " ".join(ways.items)


def test_figures_are_full_and_name_their_units(any_pair):
    figures = sideways_numbers(any_pair)

    json.dumps(figures, allow_nan=False)
    assert {name for name in figures if not name.endswith(("_mm", "_prism_dpt"))} <= {"right", "left"}
    assert set(figures["right"]) == {"shift_10_mm_aside_prism_dpt", "shift_10_mm_down_prism_dpt"}
