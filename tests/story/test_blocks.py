"""Blocks: how much room a table asks for, and that every kind of block has a name of its own."""

from __future__ import annotations

from typing import get_args

import pytest

from explain.story.blocks import Block, Table


def test_every_kind_of_block_has_a_name_of_its_own():
    kinds = [kind.kind for kind in get_args(Block)]

    assert len(kinds) == len(set(kinds)) > 5


@pytest.mark.parametrize(
    ("cells", "width"),
    [
        (("a", "b"), "slim"),
        (("x" * 11, "x" * 11), "slim"),  # 11 + 11 letters and 2 + 2 between: 26
        (("x" * 12, "x" * 11), "even"),  # 27
        (("x" * 20, "x" * 19), "even"),  # 43
        (("x" * 20, "x" * 20), "broad"),  # 44
    ],
)
def test_a_table_asks_for_the_room_its_longest_words_need(cells, width):
    assert Table("", ("", ""), (cells,)).width == width


def test_long_words_in_a_heading_count_as_those_in_a_row():
    assert Table("", ("x" * 20, "x" * 20), (("a", "b"),)).width == "broad"


def test_many_short_words_do_not_make_a_table_broad():
    assert Table("", ("", ""), (("a b c d e f g h i j k l m n o p q r s t", "b"),)).width == "slim"


def test_a_table_without_rows_has_a_width_too():
    assert Table("", ("What", "Figure"), ()).width == "slim"


def test_a_row_with_a_cell_too_few_is_refused():
    with pytest.raises(ValueError, match="shorter"):
        Table("", ("a", "b"), (("only one",),)).width  # noqa: B018
