"""The reading window of bifocals in words and figures."""

from __future__ import annotations

import json

import pytest

from explain.story.window import bifocal_blocks, jump_text, sharp_text, window_numbers, window_of
from tests.story.readability import reading, sentences_of, words_of
from tests.story.test_words import BRITISH, banned_in
from tests.story.test_words_of_pages import odd_signs
from tests.story.test_zones import texts_of


@pytest.fixture
def bifocal_of(pair_of):
    def pair(*, add=2.50, height=17, depth=42, **prescription):
        return pair_of(
            prescription={
                "right": "-2.00 DS",
                "left": "-1.75 DS",
                "add": f"{add:.2f}",
                "heights": f"{height} / {height}",
                **prescription,
            },
            frame={"size": "54-18-145", "depth": str(depth), "outline": "rounded"},
            lenses={"design": "bifocal", "material": "high-index-1.60"},
        )

    return pair


def figure_of(pair):
    (figure,) = [block for block in bifocal_blocks(pair) if block.kind == "figure"]
    return figure


def test_only_bifocals_have_a_window(pair_of, bifocal_of):
    assert bifocal_blocks(pair_of()) == []
    assert window_numbers(pair_of()) == {}
    assert bifocal_blocks(bifocal_of()) != []


@pytest.mark.parametrize(
    "changes", [{}, {"add": 1.00}, {"add": 3.50, "height": 26, "depth": 50}, {"height": 12, "depth": 28}]
)
def test_sentences_are_short_plain_and_in_us_english(bifocal_of, changes):
    texts = texts_of(bifocal_blocks(bifocal_of(**changes)))

    assert [s for text in texts for s in sentences_of(text) if len(words_of(s)) > 20] == []
    assert [text for text in texts if len(sentences_of(text)) > 3] == []
    assert [text for text in texts if banned_in(text) or BRITISH.findall(text)] == []
    assert odd_signs(texts) == []
    assert reading(texts).grade <= 8.5


def test_the_jump_is_said_in_prism_and_on_the_page_that_is_read():
    assert "1.25 prism diopters" in jump_text(2.50)
    assert "5.0\N{NO-BREAK SPACE}mm" in jump_text(2.50)
    assert "5.0\N{NO-BREAK SPACE}mm" in jump_text(3.50)  # 1.75 at 28.6 cm


@pytest.mark.parametrize(
    ("add", "span", "screen"),
    [
        (2.50, "about 40 cm", True),
        (2.00, "40 to 50 cm", True),
        (1.50, "40 to 67 cm", False),
        (3.50, "about 29 cm", True),
    ],
)
def test_what_is_sharp_in_the_window_and_whether_a_screen_is(add, span, screen):
    text = sharp_text(add).replace("\N{NO-BREAK SPACE}", " ")

    assert span in text
    assert ("A screen at 60 cm" in text) == screen


def test_the_line_sits_at_the_ordered_height_and_the_three_parts_add_up(bifocal_of):
    pair = bifocal_of(height=17, depth=42)
    window = window_of(pair, pair.eyes[0])
    cells = {row[0]: row[1] for row in figure_of(pair).table.rows}

    assert window.top[1] == 17 - 42 / 2
    assert cells["Line above the lowest point"] == "17.0\N{NO-BREAK SPACE}mm"
    assert window.far_part_mm + window.tall_mm < 42
    assert cells["Far part above the line"] == f"{window.far_part_mm:.1f}\N{NO-BREAK SPACE}mm"
    assert cells["Window below the line"] == f"{window.tall_mm:.1f}\N{NO-BREAK SPACE}mm"


def test_the_window_stands_toward_the_nose_for_both_eyes(bifocal_of):
    pair = bifocal_of()
    right, left = (window_of(pair, eye) for eye in pair.eyes)

    assert right.top[0] == pytest.approx(-left.top[0])
    assert right.top[0] > pair.eyes[0].reference_point[0]
    label = figure_of(pair).drawing.labels[1]
    assert label.at[0] < 0  # the right lens, as its wearer sees it: the nose is on the left


def test_where_the_line_sits_is_said_once_for_lenses_that_are_alike(bifocal_of):
    def said(pair):
        return [block.text for block in bifocal_blocks(pair) if " lens the line sits" in getattr(block, "text", "")]

    alike, uneven = said(bifocal_of()), said(bifocal_of(heights="17 / 18"))

    assert len(alike) == 1
    assert "In each lens" in alike[0]
    assert len(uneven) == 2
    assert "In your right lens" in uneven[0]
    assert "18.0" in uneven[1]


def test_a_near_distance_that_was_measured_is_used(bifocal_of):
    given, worked_out = bifocal_of(**{"near-pd": "28 / 28"}), bifocal_of()

    assert window_of(given, given.eyes[0]).top[0] == (54 + 18) / 2 - 28
    assert window_of(given, given.eyes[0]).top[0] > window_of(worked_out, worked_out.eyes[0]).top[0]


def test_a_window_that_ends_before_the_rim_is_said_to(bifocal_of):
    assert "down to the rim" in figure_of(bifocal_of()).drawing.description
    assert "far power below it again" in figure_of(bifocal_of(height=26, depth=50)).drawing.description


def test_figures_are_full_and_name_their_units(bifocal_of):
    figures = window_numbers(bifocal_of())

    json.dumps(figures, allow_nan=False)
    assert figures["right"]["image_jump_prism_dpt"] == 1.25
    named = [name for name, figure in figures["right"].items() if isinstance(figure, float)]
    assert [name for name in named if not name.endswith(("_mm", "_dpt", "_cm"))] == []


def test_a_demo_bifocal_has_its_window_and_no_other_demo_does(demo_pair):
    assert bool(bifocal_blocks(demo_pair)) == (demo_pair.order.lenses.design == "bifocal")
