"""The bench sheet in words: layout, thickness, and every limit the shop's standard sets before anything is measured."""

from __future__ import annotations

import pytest

from explain.story.bench import bench_sheet, decentration_text
from explain.story.limits import as_ordered, check_rows
from explain.story.verify import comparisons, outside
from explain.story.wording import NO_BREAK
from tests.story.invented import sayings

PROGRESSIVE = {
    "lenses": {"design": "progressive"},
    "prescription": {"right": "-4.00 -1.00 x 30", "add": "2.00", "heights": "20 / 22", "pd": "31 / 33"},
}


def rows_of(pair):
    return {(row.what, row.eye): (plainly(row.ordered), plainly(row.allowed)) for row in check_rows(pair)}


def layout_of(pair):
    return {row[0]: tuple(plainly(cell) for cell in row[1:]) for row in bench_sheet(pair).layout.rows}


def plainly(text):
    return text.replace(NO_BREAK, " ")


def test_the_sheet_says_where_each_cross_lies(pair_of):
    layout = layout_of(pair_of(**PROGRESSIVE))

    assert layout["Decentration from the box center"] == ("3.0 mm in, 1.0 mm up", "1.0 mm in, 3.0 mm up")
    assert layout["Fitting cross above the lowest point"] == ("20.0 mm", "22.0 mm")
    assert layout["Ordered"][0] == "−4.00 −1.00 x 30, add +2.00"


def test_a_cross_outside_and_below_the_middle_is_said_so(pair_of):
    pair = pair_of(prescription={"pd": "37 / 37", "heights": "15 / 15"})

    assert [plainly(decentration_text(eye)) for eye in pair.eyes] == ["3.0 mm out, 4.0 mm down"] * 2


def test_the_eight_thicknesses_of_mirrored_lenses_mirror_each_other(pair_of):
    pair = pair_of(prescription={"right": "-4.00 DS", "left": "-4.00 DS"})
    (_, _, *right), (_, _, *left) = bench_sheet(pair).thickness.rows

    assert right[:8] == [left[at] for at in (4, 3, 2, 1, 0, 7, 6, 5)]
    assert right[8] == left[8] >= max(right[:8])


def test_the_limits_are_those_the_finished_pair_is_held_to(pair_of):
    told = rows_of(pair_of(**PROGRESSIVE))
    checked = {"right": "-4.00 -1.00 x 30", "left": "-3.00 DS", "add": "2.00", "pd": "31 / 33", "heights": "20 / 22"}
    held = comparisons(pair_of(**PROGRESSIVE, checked=checked))

    assert len([row for row in told if not row[0].startswith("Center")]) == len(held)
    assert told["Sphere, minus form", "right"] == ("−4.00", "± 0.16")
    assert told["Axis", "right"] == ("30", "± 3")
    assert told["Cross to nose middle", "left"] == ("33.0 mm", "± 1.0 mm")


@pytest.mark.parametrize("changes", [{}, PROGRESSIVE, {"prescription": {"right": "balance"}}])
def test_a_pair_measured_as_it_was_ordered_is_inside_every_limit(pair_of, changes):
    pair = pair_of(**changes)

    assert outside(pair_of(**changes)) == ()
    assert as_ordered(pair).right == (None if pair.eyes[0].ordered.is_balance else pair.eyes[0].made)
    assert check_rows(pair)


def test_a_limit_in_percent_is_not_rounded_up(pair_of):
    told = rows_of(pair_of(prescription={"right": "-7.25 DS"}))

    assert told["Sphere, minus form", "right"] == ("−7.25", "± 0.14")  # 2 in 100 of 7.25 are 0.145


def test_a_single_lens_has_a_sheet_of_its_own(pair_of):
    sheet = bench_sheet(pair_of(prescription={"left": "none"}))

    assert len(sheet.drawings) == 1
    assert {row.eye for row in sheet.checks} == {"right"}


def test_prism_that_was_ordered_is_laid_out_and_limited(pair_of):
    pair = pair_of(prescription={"right": {"sphere": "-4.00", "prism": "2 in"}})

    assert layout_of(pair)["Prism"] == ("2.00 base in", "none")
    assert rows_of(pair)["Prism", "right"][0] == "2.00"


def test_the_sheet_does_not_name_the_customer(pair_of):
    assert [text for text in sayings(bench_sheet(pair_of(**PROGRESSIVE))) if "Odile" in text] == []
