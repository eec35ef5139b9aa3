"""One measured figure beside the ordered one: a plain word for each result, and a name for each row."""

from __future__ import annotations

import pytest

from explain.language import speaking
from explain.story.figures import NAMES, NAMES_IN_ROWS, result_words
from explain.story.verify import Comparison

SPACE = "\N{NO-BREAK SPACE}"


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (Comparison("sphere", "right", "dpt", -4, -4, 0.13, 0), "as ordered"),
        (Comparison("sphere", "right", "dpt", -4, -4.004, 0.13, 0.004), "as ordered"),
        (Comparison("sphere", "right", "dpt", -4, -4.13, 0.13, 0.13), "inside"),
        (Comparison("sphere", "right", "dpt", -4, -4.25, 0.13, 0.25), "outside by 0.12 diopters"),
        (Comparison("axis", "right", "deg", 85, 88, 2, 3), "outside by 1 degree"),
        (Comparison("axis", "right", "deg", 85, 89, 2, 4), "outside by 2 degrees"),
        (Comparison("height", "left", "mm", 20, 21.5, 1, 1.5), f"outside by 0.5{SPACE}mm"),
        (Comparison("pd", "right", "mm", 30, 32, None, 2), f"2.0{SPACE}mm off"),
        (Comparison("prism", "right", "prism_dpt", 1, 1.5, 0.33, 0.5), "outside by 0.17 prism diopters"),
        (Comparison("pd", "right", "mm", 30, 30, None, 0), "as ordered"),
    ],
)
def test_each_result_is_a_plain_word(one, words):
    assert result_words(one) == words


def test_each_quantity_has_a_row_for_both_eyes_or_for_the_pair():
    eyes = {quantity: {eye for one, eye in NAMES_IN_ROWS if one == quantity} for quantity in NAMES}

    assert {quantity for quantity, _ in NAMES_IN_ROWS} == set(NAMES)
    assert [quantity for quantity, those in eyes.items() if those not in ({"right", "left"}, {"both"})] == []


def test_the_decimal_mark_of_a_result_is_that_of_the_language():
    with speaking("es_ES"):
        words = result_words(Comparison("height", "left", "mm", 20, 21.5, 1, 1.5))

    assert f"0,5{SPACE}mm" in words
