"""Reflections in words and figures: worked out for a bare lens, an example for a layer, published ones named so."""

from __future__ import annotations

import re

import pytest

from explain.facts import data_file, material
from explain.optics.coating import ghost_share, stack_reflectance
from explain.story.choices import COATED_LOSS_PER_100, reflected_per_100
from explain.story.reflections import (
    faces,
    four_films,
    four_films_as_made,
    ghost_paragraphs,
    light_passed_table,
    one_in,
    passed_of_100,
)
from tests.story.readability import reading, sentences_of, words_of
from tests.story.test_words import BRITISH, TERMS, banned_in

INDEXES = {key: material(key).index_at_587_6_nm for key in data_file("materials")["materials"]}
each_material = pytest.mark.parametrize("index", INDEXES.values(), ids=INDEXES.keys())


def cells(index, label):
    return next(row[1:] for row in light_passed_table(index).rows if label in row[0])


@each_material
def test_the_bare_lens_is_worked_out_and_passes_the_rest_of_what_it_throws_back(index):
    passes, back = cells(index, "Bare")

    assert float(passes) == pytest.approx(passed_of_100(faces(index).bare), abs=0.05)
    assert float(passes) + float(back) == pytest.approx(100, abs=0.11)


def test_the_bare_lens_has_the_figure_of_the_other_parts_of_the_page(pair_of):
    pair = pair_of()

    _, back = cells(pair.chosen.material.index_at_587_6_nm, "Bare")
    assert float(back) == pytest.approx(reflected_per_100(pair), abs=0.05)


@each_material
def test_published_figures_stand_beside_worked_out_ones_and_are_named_so(index):
    table = light_passed_table(index)
    labels = [row[0] for row in table.rows]

    assert [label for label in labels if "(worked out)" in label] == labels[:2]
    assert labels[2] == "Layers as sold (published)"
    assert table.rows[2][1:] == ("98.0 to 99.5", "0.5 to 2.0")
    assert "They are not the layer on your lens." in table.note
    assert "We found no checked study." in table.note


@each_material
def test_the_example_agrees_with_the_published_figures(index):
    """Both faces of our example throw back 0.3 to 1.6 of 100; popular pages say 0.5 to 2."""
    four = faces(index).four_films
    back = [100 - passed_of_100(four.high), 100 - passed_of_100(four.low)]

    sold = data_file("coating")["as_sold_thrown_back_of_100"]
    assert back[1] < back[0] < sold["high"]
    assert back[0] > 0.5 * sold["low"]


def test_the_published_range_rounds_to_the_one_the_choice_gives():
    sold = data_file("coating")["as_sold_thrown_back_of_100"]

    assert COATED_LOSS_PER_100 == (1, 2) == (int(sold["low"] + 0.5), int(sold["high"]))


@each_material
def test_films_that_come_out_wrong_throw_back_more_and_less_than_planned(index):
    sensitivity = data_file("coating")["luminous_efficiency_by_nm"]["use"]
    planned = sum(w * stack_reflectance(four_films(), index, nm) for nm, w in sensitivity.items())

    four = faces(index).four_films
    assert four.low < planned / sum(sensitivity.values()) < four.high
    assert len(four_films_as_made()) == 81


@each_material
def test_a_ghost_behind_four_films_is_far_fainter_than_in_a_bare_lens(index):
    lens = faces(index)

    assert lens.ghost < ghost_share(lens.bare) / 20
    assert lens.ghost >= ghost_share(lens.four_films.high)


@each_material
def test_paragraphs_say_where_reflections_come_from_with_the_figures_of_the_material(index):
    behind, ahead, layer = ghost_paragraphs(index, layered=True)

    assert "behind" in behind.lead
    bare = faces(index).bare
    assert f"about {round(100 * 2 * bare / (1 + bare))} in 100" in behind.text
    assert "night" in ahead.lead
    assert f"1 part in {one_in(ghost_share(bare))} of" in ahead.text
    assert "did not measure it on yours." in layer.text
    assert ghost_paragraphs(index, layered=False) == (behind, ahead)


@pytest.mark.parametrize(
    ("count", "words"),
    [(192.3, "190"), (199.9, "190"), (633, "630"), (999.5, "990"), (1000, "1,000"), (6540, "6,000"), (81000, "80,000")],
)
def test_a_small_share_is_rounded_down_to_a_rough_figure(count, words):
    assert one_in(1 / count) == words


@each_material
def test_sentences_are_short_plain_and_us(index):
    paragraphs = ghost_paragraphs(index, layered=True)
    texts = [f"{one.lead} {one.text}" for one in paragraphs]
    for text in [*texts, light_passed_table(index).note]:
        assert [sentence for sentence in sentences_of(text) if len(words_of(sentence)) > 20] == []
        assert banned_in(text) == []
        assert BRITISH.findall(text) == []
        assert re.findall(r"!|--|[–—]", text) == []
    assert all(len(sentences_of(one.text)) <= 3 for one in paragraphs)
    assert reading(texts).grade <= 8.5
    assert reading(texts, terms=TERMS).grade <= 7
