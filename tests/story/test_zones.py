"""The parts of a progressive lens in words and figures: at the joints, and against what optics worked out."""

from __future__ import annotations

import json

import pytest

from explain.optics.progressive import clear_span, is_inside, reading_part_mm
from explain.story.marks import marks_text
from explain.story.parts import FAR_CM, distance_words, enlargement, parts_of, reach
from explain.story.zones import left_text, progressive_blocks, zones_numbers
from tests.story.readability import reading, sentences_of, words_of
from tests.story.test_words import BRITISH, banned_in
from tests.story.test_words_of_pages import odd_signs

INFINITE = float("inf")
SIZES = {
    "ordinary": {},
    "shallow": {"height": 15, "depth": 28},
    "deep": {"height": 26, "depth": 50},
    "weak add": {"add": 0.75},
    "strong add": {"add": 3.50},
    "cut off": {"height": 9, "depth": 30, "add": 2.00},
    "uneven": {"heights": "20 / 16"},
}


@pytest.fixture
def progressive_of(pair_of):
    """A pair of progressives of our own size."""

    def pair(*, add=2.25, height=20, depth=38, heights=None, size="52-17-140", outline="rounded", **prescription):
        return pair_of(
            prescription={
                "right": "+1.50 -0.50 x 90",
                "left": "+1.75 -0.75 x 85",
                "add": f"{add:.2f}",
                "pd": "30.5 / 31",
                "heights": heights or f"{height} / {height}",
                **prescription,
            },
            frame={"size": size, "depth": str(depth), "outline": outline},
            lenses={"design": "progressive", "material": "high-index-1.60"},
        )

    return pair


@pytest.fixture(params=SIZES)
def any_progressive(request, progressive_of):
    return progressive_of(**SIZES[request.param])


def texts_of(blocks):
    """All that blocks say in sentences."""
    texts = []
    for block in blocks:
        texts += [getattr(block, name) for name in ("finding", "measure", "note", "text") if getattr(block, name, "")]
        texts += getattr(block, "items", ())
        if hasattr(block, "drawing"):
            texts += [block.table.note, block.drawing.description]
    return [text for text in texts if text]


def figure_of(pair):
    (figure,) = [block for block in progressive_blocks(pair) if block.kind == "figure"]
    return figure


def mm_in(cell):
    return float(cell.removeprefix("up to ").split("\N{NO-BREAK SPACE}")[0])


def test_only_progressives_have_such_parts(pair_of, progressive_of):
    assert progressive_blocks(pair_of()) == []
    assert zones_numbers(pair_of()) == {}
    assert progressive_blocks(progressive_of()) != []


def test_sentences_are_short_plain_and_in_us_english(any_progressive):
    texts = texts_of(progressive_blocks(any_progressive))

    assert [s for text in texts for s in sentences_of(text) if len(words_of(s)) > 20] == []
    assert [text for text in texts if len(sentences_of(text)) > 3] == []
    assert [
        (banned_in(text), BRITISH.findall(text)) for text in texts if banned_in(text) or BRITISH.findall(text)
    ] == []
    assert odd_signs(texts) == []
    assert reading(texts).grade <= 8.5


def test_the_page_says_that_this_is_a_sketch_and_not_the_makers_map(any_progressive):
    blocks = progressive_blocks(any_progressive)

    assert "A sketch of" in figure_of(any_progressive).measure
    assert any(block.kind == "note" and "not from the maker's own map" in block.text for block in blocks)


def test_each_row_gives_the_power_s_distance_and_the_width_at_its_height(progressive_of):
    pair = progressive_of()
    lens = pair.eyes[0].sketch
    rows = figure_of(pair).table.rows

    assert [row[0] for row in rows] == [
        "level with it",
        *(f"{mm:.1f}\N{NO-BREAK SPACE}mm" for mm in (3.5, 7, 10.5, 14)),
    ]
    assert rows[2][1] == "73 to 89\N{NO-BREAK SPACE}cm (29 to 35\N{NO-BREAK SPACE}in)"
    for row, down in zip(rows, (0, 3.5, 7, 10.5, 14), strict=True):
        span = clear_span(lens, down)
        assert mm_in(row[2]) == pytest.approx(span.width_mm, abs=0.051)
        assert row[2].startswith("up to") != span.ends_by_law


def test_the_table_ends_at_the_rim_where_full_power_is_not_reached(progressive_of):
    pair = progressive_of(**SIZES["cut off"])
    figure = figure_of(pair)

    assert "ends before full reading power" in figure.finding
    assert mm_in(figure.table.rows[-1][0]) == pytest.approx(pair.eyes[0].sketch.bottom_mm, abs=0.05)


@pytest.mark.parametrize(
    ("nearest", "furthest", "words"),
    [
        (INFINITE, INFINITE, "far"),
        (600, INFINITE, "far"),
        (599, INFINITE, "6 m (20 ft) and beyond"),
        (57.1, INFINITE, "57 cm (22 in) and beyond"),
        (52, 533, "52 cm (20 in) to 5.3 m (17 ft)"),
        (40.0, 44.4, "40 to 44 cm (16 to 17 in)"),
        (40.0, 40.4, "40 cm (16 in)"),
        (40.0, 199.9, "40 to 200 cm (16 to 79 in)"),
        (40.0, 200.0, "40 cm (16 in) to 2 m (7 ft)"),
    ],
)
def test_a_span_of_distances_in_words(nearest, furthest, words):
    assert distance_words(nearest, furthest).replace("\N{NO-BREAK SPACE}", " ") == words


@pytest.mark.parametrize(("width_mm", "times"), [(45.0, 2.0), (45.1, 1.5), (60.0, 1.5), (60.1, 1.25), (80.0, 1.0)])
def test_a_lens_is_drawn_as_large_as_the_sheet_allows(width_mm, times):
    assert enlargement(width_mm) == times


def test_what_remains_is_said_once_where_both_lenses_are_alike(progressive_of):
    alike = left_text(list(progressive_of().eyes))
    uneven = left_text(list(progressive_of(heights="20 / 18").eyes))

    assert "each lens" in alike
    assert "right lens" in uneven
    assert "left lens" in uneven


def test_what_remains_of_one_lens_is_said_of_that_lens(progressive_of):
    pair = progressive_of(left="none")

    text = left_text(list(pair.eyes))

    assert "your right lens" in text
    assert f"{reading_part_mm(pair.eyes[0].sketch):.1f}" in text


def test_a_lens_cut_off_says_how_much_reading_power_is_left(progressive_of):
    text = left_text(list(progressive_of(**SIZES["cut off"]).eyes))

    assert "before full reading power" in text
    assert "of the 2.00 diopters" in text


@pytest.mark.parametrize(("add", "short"), [(2.25, "(22 or 225)"), (0.75, "(07 or 075)"), (3.0, "(30 or 300)")])
def test_the_add_is_shortened_as_makers_engrave_it(add, short):
    assert short in marks_text(add)


def test_marks_that_the_frame_cuts_away_are_named(progressive_of):
    small = progressive_of(size="40-28-140", depth=32, height=16, outline="round")
    lost = [block.text for block in progressive_blocks(small) if "cuts away" in getattr(block, "text", "")]

    assert len(lost) == 1
    assert "the inner mark of each lens" in lost[0]
    assert not [block for block in progressive_blocks(progressive_of()) if "cuts away" in getattr(block, "text", "")]


def test_an_eye_with_focus_of_its_own_and_one_without_are_told_apart(progressive_of):
    weak, strong = (progressive_blocks(progressive_of(add=add))[-1].text for add in (0.75, 3.50))

    assert "1.75 of its own focus" in weak
    assert "no focus of its own" in strong


@pytest.mark.parametrize("size", SIZES)
def test_the_drawing_shows_the_lens_as_its_wearer_sees_it(progressive_of, size):
    pair = progressive_of(**SIZES[size])
    drawing, lens = figure_of(pair).drawing, pair.eyes[0].sketch

    assert drawing.nose_side == "left"
    assert {(-x, y) for x, y in drawing.outline} == set(lens.outline)
    assert all(is_inside(lens.outline, (-x, y)) for x, y in drawing.marks)
    assert all(is_inside(lens.outline, (-label.at[0], label.at[1])) for label in drawing.labels)
    middles = [(a[0] + b[0]) / 2 for a, b in zip(drawing.left_wall, drawing.right_wall, strict=True)]
    assert middles[-1] < middles[0]  # it leans to the nose, on the wearer's left


def test_a_left_lens_alone_is_drawn_with_its_nose_on_the_right(progressive_of):
    assert figure_of(progressive_of(right="none")).drawing.nose_side == "right"


def test_the_reach_to_the_side_is_longer_outward_than_to_the_nose_in_far_and_near(progressive_of):
    eye = progressive_of().eyes[0]
    lens = eye.sketch

    for name, down, distance in parts_of(lens):
        (nose_deg, nose_cm), (outer_deg, outer_cm) = reach(eye, lens, down, distance)
        if name == "Arm's length":
            assert (nose_cm, nose_deg) == pytest.approx((outer_cm, outer_deg), rel=0.02)
        else:
            assert nose_deg < outer_deg
            assert nose_cm < outer_cm


def test_figures_are_full_and_name_their_units(any_progressive):
    figures = zones_numbers(any_progressive)

    assert set(figures) == {"right", "left"}
    json.dumps(figures, allow_nan=False)
    for eye in any_progressive.eyes:
        mine = figures[eye.side]
        assert mine["reading_part_mm"] == reading_part_mm(eye.sketch)
        named = [name for name, figure in mine.items() if isinstance(figure, float)]
        assert [name for name in named if not name.endswith(("_mm", "_dpt"))] == []


def test_a_demo_progressive_has_its_parts_and_no_other_demo_does(demo_pair):
    assert bool(progressive_blocks(demo_pair)) == (demo_pair.order.lenses.design == "progressive")
    assert bool(zones_numbers(demo_pair)) == (demo_pair.order.lenses.design == "progressive")


def test_far_begins_where_its_words_do():
    assert distance_words(FAR_CM - 1, INFINITE).replace("\N{NO-BREAK SPACE}", " ") == "6 m (20 ft) and beyond"
    assert distance_words(FAR_CM, INFINITE) == "far"
