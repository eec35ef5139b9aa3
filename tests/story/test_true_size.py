"""True size: which lens is drawn, where its cross and the pupil stand, and what is said where the order knows less."""

from __future__ import annotations

import pytest

from explain.optics.outline import box_size_mm
from explain.story.true_size import compare_table, lens_to_compare, lenses_to_keep
from tests.story.invented import sayings

ADD = {"add": "1.75", "heights": "18 / 17"}
HEIGHTS = {"heights": "20 / 19"}


def plain(text):
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_the_lens_drawn_is_that_of_the_order_and_its_cross_where_the_lens_is_centred(pair_of):
    pair = pair_of(prescription=HEIGHTS)

    for figure, eye in zip(lenses_to_keep(pair), pair.eyes, strict=True):
        assert figure.drawing.outline == eye.outline
        assert figure.drawing.centre == eye.reference_point
        assert figure.drawing.nose_side == {"right": "right", "left": "left"}[eye.side]


def test_the_height_written_on_the_lens_is_that_of_the_cross_above_the_lowest_point(pair_of):
    figure = lens_to_compare(pair_of(prescription=HEIGHTS))
    lowest = min(y for _, y in figure.drawing.outline)

    assert plain(figure.drawing.height_label) == "20.0 mm"
    assert figure.drawing.centre[1] - lowest == pytest.approx(20.0, abs=0.01)


def test_the_pupil_is_drawn_only_where_its_height_was_measured(pair_of):
    assert lens_to_compare(pair_of(prescription=HEIGHTS)).drawing.has_pupil
    unknown = lens_to_compare(pair_of()).drawing
    assert (unknown.has_pupil, unknown.height_label) == (False, "")


@pytest.mark.parametrize(
    ("design", "eyes", "finding"),
    [
        ("single-vision", HEIGHTS, "in the ring"),
        ("progressive", ADD, "in the ring"),
        ("single-vision", {}, "on the broken line"),
        ("reading", {"add": "1.50"}, "on the broken line"),
        ("bifocal", ADD, "lower lid"),
    ],
)
def test_the_finding_says_no_more_than_the_order_knows(pair_of, design, eyes, finding):
    assert finding in lens_to_compare(pair_of(prescription=eyes, lenses={"design": design})).finding


def test_a_bifocal_shows_its_window_and_no_other_lens_has_one(pair_of):
    assert lens_to_compare(pair_of(prescription=ADD, lenses={"design": "bifocal"})).drawing.window
    assert lens_to_compare(pair_of(prescription=ADD, lenses={"design": "progressive"})).drawing.window == ()


@pytest.mark.parametrize(
    ("design", "eyes", "column", "cells"),
    [
        (
            "single-vision",
            HEIGHTS,
            "Pupil above the lowest point",
            ["20.0 mm (about 13/16 in)", "19.0 mm (about 3/4 in)"],
        ),
        ("bifocal", ADD, "Line above the lowest point", ["18.0 mm (about 11/16 in)", "17.0 mm (about 11/16 in)"]),
        ("single-vision", {}, "Middle of nose to pupil", ["31.0 mm (about 1 1/4 in)", "31.0 mm (about 1 1/4 in)"]),
    ],
)
def test_figures_to_compare_by_a_ruler_are_given_for_both_eyes(pair_of, design, eyes, column, cells):
    table = compare_table(pair_of(prescription=eyes, lenses={"design": design}))

    assert table.columns[1] == column
    assert [row[0] for row in table.rows] == ["Right eye", "Left eye"]
    assert [plain(row[1]) for row in table.rows] == cells


def test_the_cross_is_as_far_from_the_nose_side_as_the_pd_and_the_bridge_say(pair_of):
    pair = pair_of(prescription={"pd": "30 / 31.5"})

    rows = [dict(figure.table.rows) for figure in lenses_to_keep(pair)]

    half_bridge = pair.order.frame.bridge_mm / 2
    assert [plain(row["Cross to the nose side"]) for row in rows] == [
        f"{30 - half_bridge:.1f} mm",
        f"{31.5 - half_bridge:.1f} mm",
    ]


def test_each_drawing_is_described_with_its_size_and_place_in_words(demo_pair):
    for figure, eye in zip(lenses_to_keep(demo_pair), demo_pair.eyes, strict=True):
        wide, deep = box_size_mm(eye.outline)
        spoken = plain(figure.drawing.description)
        assert f"{wide:.1f} mm wide and {deep:.1f} mm deep" in spoken


def test_a_figure_says_that_only_paper_shows_true_size(pair_of):
    assert any("50 mm on paper" in text for text in sayings(lens_to_compare(pair_of())))
    assert "screen" in lens_to_compare(pair_of()).note
