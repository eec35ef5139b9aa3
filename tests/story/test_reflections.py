"""Reflections in words and figures: worked out for a bare lens, an example for a layer, published ones named so."""

from __future__ import annotations

import re

import numpy as np
import pytest

from explain.facts import data_file, material
from explain.optics.coating import ghost_share, stack_reflectance
from explain.story.reflections import (
    each_face_as_sold,
    faces,
    four_films,
    four_films_as_made,
    ghost_texts,
    light_table,
    light_thrown_back,
    one_in,
    passed_of_100,
    reflected_per_100,
    reflection_numbers,
)
from tests.story.readability import reading, sentences_of, words_of
from tests.story.test_words import BRITISH, TERMS, banned_in

INDEXES = {key: material(key).index_at_587_6_nm for key in data_file("materials")["materials"]}
each_material = pytest.mark.parametrize("index", INDEXES.values(), ids=INDEXES.keys())


def table(index, *, price="$48.00"):
    return light_table(index, clear=True, price=price)


def cells(index, label):
    return next(row[1:] for row in table(index).rows if label in row[0])


@each_material
def test_the_bare_lens_is_worked_out_and_passes_the_rest_of_what_it_throws_back(index):
    each, both, passes, _ = cells(index, "bare")

    assert float(each) == pytest.approx(100 * faces(index).bare, abs=0.05)
    assert float(passes) == pytest.approx(passed_of_100(faces(index).bare), abs=0.05)
    assert float(passes) + float(both) == pytest.approx(100, abs=0.11)


def test_the_bare_lens_has_the_figure_of_the_bill(pair_of):
    pair = pair_of()

    both = cells(pair.chosen.material.index_at_587_6_nm, "bare")[1]
    assert float(both) == pytest.approx(reflected_per_100(pair), abs=0.05)
    assert light_thrown_back(pair) == f"about 0.5 to 2.0 of 100 parts of light, not {float(both):.0f}"


@each_material
@pytest.mark.parametrize(("price", "yours"), [("$48.00", "0.5 to 2.0"), (None, "bare")])
def test_published_figures_stand_beside_worked_out_ones_and_are_named_so(index, price, yours):
    told = table(index, price=price)
    sold = told.rows[0] if price else told.rows[-1]

    assert sold[1:4] == ("0.3 to 1.0", "0.5 to 2.0", "98.0 to 99.5")
    assert yours in (told.rows[0][2] if price else told.rows[0][0])
    assert "are not the layer on your lens." in told.note
    assert ("not measured on yours." if price else "we found no checked study.") in told.note


def test_both_faces_as_sold_throw_back_what_was_published():
    sold = data_file("coating")["as_sold_thrown_back_of_100"]

    ends = (each_face_as_sold().low, each_face_as_sold().high)
    assert [100 - passed_of_100(end) for end in ends] == pytest.approx([sold["low"], sold["high"]])


@each_material
def test_the_example_agrees_with_the_published_figures(index):
    """Both faces of our example throw back 0.3 to 1.6 of 100; popular pages say 0.5 to 2."""
    four = faces(index).four_films
    back = [100 - passed_of_100(four.high), 100 - passed_of_100(four.low)]

    sold = data_file("coating")["as_sold_thrown_back_of_100"]
    assert back[1] < back[0] < sold["high"]
    assert back[0] > 0.5 * sold["low"]


@each_material
def test_films_that_come_out_wrong_throw_back_more_and_less_than_planned(index):
    sensitivity = data_file("coating")["luminous_efficiency_by_nm"]["use"]
    planned = sum(w * stack_reflectance(four_films(), index, nm) for nm, w in sensitivity.items())

    four = faces(index).four_films
    assert four.low < planned / sum(sensitivity.values()) < four.high
    ways = np.hstack([film.thickness_nm for film in four_films_as_made()])
    assert len({tuple(way) for way in ways}) == 81


@each_material
def test_a_ghost_behind_four_films_is_far_fainter_than_in_a_bare_lens(index):
    lens = faces(index)

    assert lens.ghost < ghost_share(lens.bare) / 20
    assert lens.ghost >= ghost_share(lens.four_films.high)


@each_material
def test_texts_say_where_reflections_come_from_with_the_figures_of_the_material(index):
    behind, ahead, layer = ghost_texts(index, layered=True)

    bare = faces(index).bare
    assert f"about {round(100 * 2 * bare / (1 + bare))} in 100" in behind
    assert "at night" in ahead
    assert f"1 part in {one_in(ghost_share(bare))} of" in ahead
    assert "did not measure it on yours." in layer
    assert ghost_texts(index, layered=False) == (behind, ahead)


def test_each_number_of_the_table_is_kept_in_full(pair_of):
    pair = pair_of()
    figures = reflection_numbers(pair)

    for name, label in (("as_sold", "Yours"), ("four_films", "films"), ("bare", "bare")):
        kept = [figures[name][key] for key in ("each_face_of_100", "both_faces_of_100", "passed_of_100")]
        told = cells(pair.chosen.material.index_at_587_6_nm, label)
        assert [float(end) for cell in told[:3] for end in (cell.split(" to ") * 2)[:2]] == pytest.approx(
            [end for ends in kept for end in ends], abs=0.051
        )


@pytest.mark.parametrize(
    ("count", "words"),
    [(192.3, "190"), (199.9, "190"), (633, "630"), (999.5, "990"), (1000, "1,000"), (6540, "6,000"), (81000, "80,000")],
)
def test_a_small_share_is_rounded_down_to_a_rough_figure(count, words):
    assert one_in(1 / count) == words


@each_material
def test_sentences_are_short_plain_and_us(index):
    texts = list(ghost_texts(index, layered=True))
    for text in [*texts, table(index).note, table(index, price=None).note]:
        assert [sentence for sentence in sentences_of(text) if len(words_of(sentence)) > 20] == []
        assert banned_in(text) == []
        assert BRITISH.findall(text) == []
        assert re.findall(r"!|--|[–—]", text) == []
        assert len(sentences_of(text)) <= 3
    assert reading(texts).grade <= 8.5
    assert reading(texts, terms=TERMS).grade <= 7
