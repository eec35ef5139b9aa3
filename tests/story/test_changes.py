"""Changes: what is different from the old pair, in words, with zero, one and both eyes, and at the edges."""

from __future__ import annotations

import pytest
from hypothesis import given

from explain.optics.power import transposed
from explain.order.previous import eye_changes
from explain.story.changes import (
    change_blocks,
    change_numbers,
    change_text,
    kind_text,
    large_text,
    power_text,
    prism_change_text,
)
from tests.optics.test_change import BENT

ADD = {"add": "2.00", "heights": "18 / 18"}


def said(blocks):
    return " ".join(block.text for block in blocks if block.kind == "paragraph")


def table_of(blocks):
    return next((block for block in blocks if block.kind == "table"), None)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("-1.00 DS", "-1.00 DS", "the same"),
        ("-1.00 DS", "-1.25 DS", "0.25 more minus"),
        ("-1.25 DS", "-1.00 DS", "0.25 less minus"),
        ("+2.00 DS", "+2.75 DS", "0.75 more plus"),
        ("+2.00 DS", "+1.00 DS", "1.00 less plus"),
        ("+0.25 DS", "-0.25 DS", "0.50 more minus"),
        ("-0.25 DS", "+0.25 DS", "0.50 more plus"),
        ("-1.00 DS", "plano", "1.00 less minus"),
        ("+1.00 DS", "plano", "1.00 less plus"),
        ("-2.00 +1.00 x 80", "-1.00 -1.00 x 170", "the same"),
        ("-2.00 -0.25 x 95", "-2.25 -0.25 x 95", "0.25 more minus"),
        ("-2.00 DS", "-2.00 -0.75 x 90", "up to 0.75 more minus, a cylinder of 0.75 is new"),
        ("-2.00 -0.75 x 90", "-2.00 DS", "up to 0.75 less minus, no cylinder now"),
        ("-2.00 -0.50 x 90", "-2.00 -0.75 x 90", "up to 0.25 more minus, cylinder 0.25 stronger"),
        ("-2.00 -1.00 x 90", "-2.00 -1.00 x 91", "up to 0.02 less minus, axis turned by 1 degree"),
        ("-2.00 -1.00 x 90", "-2.00 -1.00 x 100", "up to 0.17 less minus, axis turned by 10 degrees"),
    ],
)
def test_a_change_is_given_in_figures_and_plain_words(pair_of, old, new, words):
    (change,) = eye_changes(pair_of(prescription={"right": new}, previous={"right": old}).order)

    assert change_text(change) == words


@given(BENT)
def test_a_power_is_written_the_same_whichever_way_it_was_typed(power):
    assert power_text(power) == power_text(transposed(power))


@pytest.mark.parametrize(("old", "words"), [("1.75", "reading power 0.25 more"), ("2.50", "reading power 0.50 less")])
def test_a_change_of_the_add_is_named(pair_of, old, words):
    previous = {"right": "-4.00 DS", "add": old, "design": "progressive"}

    (change,) = eye_changes(pair_of(prescription=ADD, lenses={"design": "progressive"}, previous=previous).order)

    assert change_text(change) == words


@pytest.mark.parametrize(
    ("previous", "rows"),
    [({"design": "single-vision"}, 0), ({"left": "-3.00 DS"}, 1), ({"right": "-4.00 DS", "left": "-3.00 DS"}, 2)],
)
def test_there_is_a_row_for_each_eye_that_can_be_compared(pair_of, previous, rows):
    table = table_of(change_blocks(pair_of(previous=previous).order))

    assert (len(table.rows) if table else 0) == rows


@pytest.mark.parametrize(
    ("previous", "words"),
    [
        (None, "do not know the old pair"),
        ({"design": "single-vision"}, "do not know the old pair"),
        ("none", "This is a first pair"),
        ({"design": "bifocal"}, "from lined bifocal to single-vision"),
    ],
)
def test_what_cannot_be_compared_is_said(pair_of, previous, words):
    blocks = change_blocks(pair_of(previous=previous).order)

    assert table_of(blocks) is None
    assert words in said(blocks)


def test_a_pair_without_power_is_not_compared(pair_of):
    assert change_blocks(pair_of(prescription={"right": None, "left": None}, lenses={"design": "plano"}).order) == []


def test_the_same_pair_again_says_so_and_no_more(pair_of):
    blocks = change_blocks(pair_of(previous={"right": "-4.00 DS", "left": "-3.00 DS", "design": "single-vision"}).order)

    assert {row[2] for row in table_of(blocks).rows} == {"the same"}
    assert said(blocks) == ""


@pytest.mark.parametrize(("old", "calm"), [("-3.25 DS", False), ("-3.00 DS", True)])
def test_a_large_change_has_a_calm_sentence_and_one_at_the_limit_has_none(pair_of, old, calm):
    text = said(change_blocks(pair_of(previous={"right": old}).order))

    assert ("our own judgment" in text) == calm
    assert ("ask whoever tested" in text) == calm


def test_one_or_both_lenses_are_named_where_the_change_is_large():
    assert "the right lens" in large_text(["right"])
    assert "both lenses" in large_text(["right", "left"])


def test_a_change_of_kind_is_named():
    assert kind_text("reading", "progressive") == "The lens kind changed from near only to progressive."


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("-4.00 DS", "-4.00 DS", ""),
        ("-4.00 DS prism 1 up", "-4.00 DS prism 1 up", ""),
        ("-4.00 DS", "-4.00 DS prism 1 up", "The prism of the right lens is new."),
        ("-4.00 DS prism 1 up", "-4.00 DS prism 1.5 up", "The prism of the right lens changed."),
        ("-4.00 DS prism 1 up", "-4.00 DS", "The prism of the right lens is gone."),
    ],
)
def test_new_changed_and_dropped_prism_is_named(pair_of, old, new, words):
    assert prism_change_text(pair_of(prescription={"right": new}, previous={"right": old}).order) == words


def test_prism_in_both_lenses_is_said_once(pair_of):
    eyes = {"right": "-4.00 DS prism 1 up", "left": "-3.00 DS prism 1 down"}
    pair = pair_of(prescription=eyes, previous={"right": "-4.00 DS", "left": "-3.00 DS"})

    assert prism_change_text(pair.order) == "The prism of each lens is new."


def test_the_figures_of_a_change_are_kept_in_full(pair_of):
    order = pair_of(prescription={"right": "-4.00 -1.00 x 20"}, previous={"right": "-3.50 -1.00 x 10"}).order

    assert list(change_numbers(order)) == ["right"]
    assert change_numbers(order)["right"]["axis_turn_deg"] == 10
    assert change_numbers(order)["right"]["largest_change_dpt"] == pytest.approx(-0.50 - 0.1736, abs=1e-4)
    assert change_numbers(pair_of().order) == {}
