"""Tints in words: categories, ranges, and the driving rule on both sides of its limits."""

from __future__ import annotations

import pytest

from explain.facts import data_file, least_at_night_of_100, may_drive_by_day
from explain.optics.spread import Spread
from explain.optics.tint import tint_category
from explain.story.tints import categories_text, category_range, driving_words, tint_table
from tests.story.readability import sentences_of, words_of
from tests.story.test_words import BRITISH, banned_in

RANGES = data_file("tints")["let_through_of_100"]


def test_only_the_darkest_category_is_not_for_driving_by_day():
    assert [key for key in RANGES if not may_drive_by_day(key)] == [4]
    assert not may_drive_by_day(5)
    assert least_at_night_of_100() == 75


@pytest.mark.parametrize(
    ("category", "words"),
    [(0, "day and night"), (1, "by day only"), (2, "by day only"), (3, "by day only"), (4, "never")],
)
def test_driving_by_category(category, words):
    assert driving_words(category) == words


def test_the_table_of_tints_has_every_category_and_its_range_and_marks_this_pair(pair_of):
    lenses = {"add-ons": ["sun-tint"], "tint": {"colour": "gray", "category": "2"}}
    table = tint_table(pair_of(lenses=lenses).order)

    assert [row[0] for row in table.rows] == ["0", "1", "2 (yours)", "3", "4"]
    assert [row[1] for row in table.rows] == [f"{low} to {high}" for low, high in RANGES.values()]
    assert "75 of 100" in table.note
    assert [row[0] for row in tint_table(pair_of().order).rows] == [str(key) for key in RANGES]


@pytest.mark.parametrize("category", RANGES)
def test_a_range_holds_its_own_category(category):
    through = category_range(category)

    assert tint_category(through.high, RANGES) == category
    assert tint_category(through.low + 0.1, RANGES) == category


def test_light_reactive_lenses_start_in_category_0_and_darken_to_2_or_3():
    facts = data_file("light_reactive")

    assert {tint_category(end, RANGES) for end in facts["clear"]["passed_of_100"]} == {0}
    assert "category 2 or 3." in categories_text(Spread(*facts["dark_in_sun"]["passed_of_100"]))
    assert "category 1." in categories_text(Spread(50, 60))


def test_sentences_are_short_plain_and_us(pair_of):
    text = f"{categories_text(Spread(15, 40))} {tint_table(pair_of().order).note}"

    assert [sentence for sentence in sentences_of(text) if len(words_of(sentence)) > 20] == []
    assert banned_in(text) == []
    assert BRITISH.findall(text) == []
