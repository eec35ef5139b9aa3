"""Answers told: charts and figures of the example in place, of nobody's pair, and where their facts are from."""

from __future__ import annotations

import re
from datetime import date

import pytest

from explain.facts import data_file
from explain.order.answer import read_answer
from explain.order.answer_keys import FIGURES, IN_MATERIAL, VALUES
from explain.order.keys import MATERIALS
from explain.story.answers import AnswerError, alike, index_of, sources_text, tell_answer
from explain.story.example import Example, NotInExampleError, example_text, value_text
from explain.story.example_figures import figure_of, retold, table_of
from explain.story.page import tell
from tests.story.invented import EXAMPLE, changed, pair_in, sayings, write_answer

PROGRESSIVE = {
    "prescription": {"right": "+1.00 -0.50 x 90", "left": "+1.00 DS", "add": "2.00", "heights": "20 / 20"},
    "lenses": {"design": "progressive"},
}
BIFOCAL = PROGRESSIVE | {"lenses": {"design": "bifocal"}}
FITTING = {"zones": PROGRESSIVE, "meridian": PROGRESSIVE, "sight-near": PROGRESSIVE, "window": BIFOCAL}


@pytest.fixture
def answer_of(tmp_path):
    return lambda text="Thin in the middle.\n", name="a", **changes: (
        read_answer(write_answer(tmp_path / "faq", name, text=text, **changes)).answer
    )


@pytest.fixture
def example_of(answer_of, demo_shop):
    return lambda **changes: Example(answer_of(example=changed(changes, EXAMPLE)).example, demo_shop)


@pytest.mark.parametrize("name", FIGURES)
def test_every_figure_can_be_placed_and_speaks_to_no_owner(example_of, name):
    figure = figure_of(example_of(**FITTING.get(name, {})), name)

    assert figure.table.rows
    said = [text for text in sayings(figure) if re.search(r"\byours?\b(?! printer)", text, re.IGNORECASE)]
    assert said == []


@pytest.mark.parametrize("name", ["zones", "window", "meridian", "sight-near"])
def test_a_figure_that_the_example_does_not_have_says_what_it_needs(example_of, name):
    with pytest.raises(NotInExampleError, match=re.escape(FIGURES[name]["needs"])):
        figure_of(example_of(), name)


def test_the_figures_are_those_of_the_same_pairs_page(example_of, tmp_path):
    same = {"prescription": EXAMPLE["prescription"], "frame": EXAMPLE["frame"], "lenses": EXAMPLE["lenses"]}
    page = tell(pair_in(tmp_path, **same))
    drawn = [block.drawing for group in page.groups for part in group.sections for block in part.blocks
             if block.kind == "figure"]  # fmt: skip

    assert figure_of(example_of(), "edge").drawing.lines in [getattr(one, "lines", None) for one in drawn]


@pytest.mark.parametrize("name", VALUES)
def test_every_value_is_given_with_its_unit(example_of, name):
    said = value_text(example_of(**(PROGRESSIVE if name in ("reading_cm", "corridor_mm") else {})), name)

    units = r"\u00a0(mm|in|g|oz|cm)\b|bank card|in 100 (smaller|bigger)|in 100$|prism diopters"
    assert re.search(units, said)


@pytest.mark.parametrize("name", IN_MATERIAL)
@pytest.mark.parametrize("material", ["polycarbonate-1.59", "crown-glass-1.52"])
def test_a_value_can_be_asked_for_in_another_material_offered_or_not(example_of, name, material):
    assert value_text(example_of(), name, material)


def test_values_of_the_example_as_worked_out_once(example_of):
    example = example_of()

    assert value_text(example, "thickest_mm") == "7.2\u00a0mm"
    assert value_text(example, "thickest_mm", "high-index-1.67") == "5.2\u00a0mm"
    assert value_text(example, "saved_mm", "high-index-1.67") == "2.0\u00a0mm"
    assert value_text(example, "far_point_cm") == "20\u00a0cm (8\u00a0in)"
    assert value_text(example, "reflected_per_100") == "8 in 100"


def test_a_far_sighted_eye_has_no_far_point(example_of):
    with pytest.raises(NotInExampleError, match="far_point_cm"):
        value_text(example_of(prescription={"right": "+3.00 DS", "left": "+3.00 DS"}), "far_point_cm")


def test_a_material_costs_nothing_to_compare_with_itself(example_of):
    assert value_text(example_of(), "saved_mm", "standard-plastic-1.50") == "0.0\u00a0mm"
    assert "standard-plastic-1.50" in MATERIALS


def test_the_example_is_said_in_words(example_of):
    assert example_text(example_of()).replace("\u00a0", " ") == (
        "Both eyes −5.00. Pupils 62 mm apart. "
        "Single-vision lenses in standard plastic 1.50, each 52 mm wide and 36 mm tall."
    )


def test_eyes_that_differ_are_said_one_by_one(example_of):
    said = example_text(example_of(prescription={"left": "-4.00 -1.00 x 10"}))

    assert said.startswith("Right eye −5.00. Left eye −4.00 −1.00 x 10.")


def test_charts_stand_where_the_text_asks_and_the_example_before_the_first(answer_of, demo_shop):
    text = "Up to [[value: thickest_mm]].\n\n[[figure: edge]]\n\nThen:\n\n[[table: weights]]\n"

    story = tell_answer(answer_of(text, example=EXAMPLE), demo_shop)

    assert [block.kind for block in story.blocks] == ["prose", "note", "figure", "prose", "table"]
    assert story.blocks[0].values == (("value: thickest_mm", "7.2\u00a0mm"),)


def test_an_answer_without_charts_states_its_example_at_the_end(answer_of, demo_shop):
    story = tell_answer(answer_of("Up to [[value: thickest_mm]].\n", example=EXAMPLE), demo_shop)

    assert [block.kind for block in story.blocks] == ["prose", "note"]


def test_what_the_example_cannot_give_is_said_with_its_line_all_at_once(answer_of, demo_shop):
    answer = answer_of("[[figure: zones]]\n\n[[figure: window]]\n\n[[value: corridor_mm]]\n", example=EXAMPLE)

    with pytest.raises(AnswerError) as caught:
        tell_answer(answer, demo_shop)

    assert [fault.line - answer.text_line for fault in caught.value.faults] == [0, 2, 4]


def test_an_example_that_cannot_be_made_is_said(answer_of, demo_shop):
    example = changed(
        {"prescription": {"right": "+20.00 DS", "left": "+20.00 DS"}, "frame": {"size": "70-14-140", "depth": "60"}},
        EXAMPLE,
    )

    with pytest.raises(AnswerError, match="cannot be made"):
        tell_answer(answer_of(example=example), demo_shop)


def test_a_table_alone_has_every_material_that_the_shop_offers(example_of, demo_shop):
    rows = table_of(example_of(), "weights").rows

    assert len(rows) == len(demo_shop.materials)


def test_the_index_has_its_subjects_in_their_order_and_leaves_out_empty_ones(answer_of):
    answers = [
        answer_of(name="a", subject="repairs"),
        answer_of(name="b"),
        answer_of(name="c", subject="prescription"),
        answer_of(name="d"),
    ]

    found = index_of(answers)

    assert [(subject.id, [link.name for link in subject.answers]) for subject in found] == [
        ("prescription", ["c"]),
        ("thickness", ["b", "d"]),
        ("repairs", ["a"]),
    ]


def test_answers_alike_are_of_the_same_subject_and_those_that_follow_come_first(answer_of):
    answers = [answer_of(name=name) for name in "abc"] + [answer_of(name="d", subject="prism")]

    assert [link.name for link in alike(answers[1], answers)] == ["c", "a"]


def test_sources_are_given_by_title_once_and_habit_is_called_habit():
    said = sources_text(["ph-01", "ph-01", "common practice, no source: x", "from memory: y"])

    assert said.count(data_file("sources")["photochromic_review"]["title"]) == 1
    assert said.endswith("The rest is common practice, no source. Recalled, not looked up.")
    assert sources_text([]) == ""


def test_retelling_leaves_numbers_and_days_alone():
    assert retold((1.5, date(2026, 1, 1), None)) == (1.5, date(2026, 1, 1), None)
    assert retold("Hold a ruler; set your printer to 100 %. Your eyes.") == (
        "Hold a ruler; set your printer to 100 %. The eyes."
    )
