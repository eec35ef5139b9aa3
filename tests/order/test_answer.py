"""Answers: what a whole one holds, how its header and text are told apart, and what its text may ask for."""

from __future__ import annotations

from datetime import date

import pytest

from explain.facts import data_file
from explain.order.answer import read_answer
from explain.order.answer_keys import ANSWER_KEYS, FIGURES, SUBJECTS, VALUES, WITHOUT_EXAMPLE, known_sources
from explain.order.answer_text import left_out
from explain.order.faults import OrderError
from explain.site.places import templates_folder
from tests.story.invented import EXAMPLE, write_answer

FORMAT = (templates_folder() / "faq" / "README.md").read_text(encoding="utf-8")


def messages(path, names=()):
    with pytest.raises(OrderError) as caught:
        read_answer(path, names)
    return [fault.message for fault in caught.value.faults]


def test_a_whole_answer_is_read_with_its_example_as_an_order_of_nobody(tmp_path):
    read = read_answer(write_answer(tmp_path, "thick-edges", sources=["ph-01"], example=EXAMPLE))

    answer = read.answer
    assert (answer.name, answer.subject, answer.reviewed) == ("thick-edges", "thickness", date(2026, 11, 25))
    assert answer.example.right.power.sphere_dpt == -5.0
    assert (answer.example.first_name, answer.example.bill.lines) == ("", ())
    assert answer.sources == ("ph-01",)
    assert read.doubts == ()


def test_the_text_keeps_its_line_in_the_file(tmp_path):
    path = write_answer(tmp_path, "thick-edges", text="First.\n\nThird [[value: nothing]].\n")

    with pytest.raises(OrderError) as caught:
        read_answer(path)

    (fault,) = caught.value.faults
    assert path.read_text(encoding="utf-8").splitlines()[fault.line - 1].startswith("Third")


def test_the_example_of_the_format_description_is_a_whole_answer(tmp_path):
    (shown,) = (block for block in FORMAT.split("```") if block.strip().startswith("---"))
    path = tmp_path / "thick-edges.md"
    path.write_text(shown.lstrip("\n"), encoding="utf-8")

    assert read_answer(path).answer.example is not None


def test_common_practice_may_stand_with_or_without_quotation_marks(tmp_path):
    path = write_answer(tmp_path, "a")
    text = path.read_text(encoding="utf-8")
    for written in ("[common practice, no source]", "common practice, no source", '["common practice, no source: x"]'):
        path.write_text(text.replace("reviewed:", f"sources: {written}\nreviewed:"), encoding="utf-8")

        (source,) = read_answer(path).answer.sources
        assert source.startswith("common practice")


@pytest.mark.parametrize("name", ["Thick-Edges", "thick_edges", "thick--edges", "-thick", "index", "dickste-glaeser-ä"])
def test_a_name_that_makes_no_address_is_refused(tmp_path, name):
    assert "cannot be the name of an answer" in messages(write_answer(tmp_path, name))[0]


@pytest.mark.parametrize("figure", sorted(FIGURES))
def test_a_figure_needs_an_example_unless_it_is_of_all_such_lenses(tmp_path, figure):
    path = write_answer(tmp_path, "a", text=f"Short.\n\n[[figure: {figure}]]\n")

    if figure in WITHOUT_EXAMPLE:
        assert read_answer(path).answer.example is None
    else:
        assert ["has none" in message for message in messages(path)] == [True]


def test_all_faults_of_header_example_and_text_come_at_once(tmp_path):
    example = EXAMPLE | {"prescription": {"right": "-5.00 -1.00", "left": "-5.00 DS", "pd": "62"}}
    path = write_answer(tmp_path, "a", subject="thick", example=example, text="See [x](nowhere.html) and [[y]].\n")

    said = messages(path, {"a"})

    assert len(said) == 4
    for part in ("subject cannot be", "no axis", "no answer", "cannot be placed"):
        assert any(part in message for message in said), part


def test_a_comment_in_the_text_is_not_read_as_text(tmp_path):
    read = read_answer(write_answer(tmp_path, "a", text="Short.\n<!-- [[note]] <b> # see\n# more -->\n"))

    assert read.doubts == ()


@pytest.mark.parametrize("to", ["b.html", "b.md", "b.html#why", "https://a.example", "tel:+15550100", "#why"])
def test_a_link_that_leads_somewhere_is_left_alone(tmp_path, to):
    assert read_answer(write_answer(tmp_path, "a", text=f"See [this]({to}).\n"), {"a", "b"}).doubts == ()


@pytest.mark.parametrize(
    "line",
    [
        "<script>x</script>", "</div>", "<img src=x>", "<!DOCTYPE html>", "![a](b.png)", "[a](javascript:x)",
        "[a](//b.example)", "[a](../secret.html)", "[a](data:text/html,x)", "[a](http://b.example)",
    ],
)  # fmt: skip
def test_what_does_not_reach_the_page_is_said(line):
    assert list(left_out(line))


@pytest.mark.parametrize("line", ["5 < 6 and 7 > 6", "**bold** and `code`", "a <- b", "[a](b.html)", "2 <3"])
def test_what_reaches_the_page_is_not_doubted(line):
    assert list(left_out(line)) == []


def test_every_subject_key_figure_and_value_stands_in_the_format_description():
    asked = [*SUBJECTS, *FIGURES, *data_file("answers")["tables"], *VALUES]
    asked += [key.path for key in ANSWER_KEYS.keys if "." not in key.path]

    assert [name for name in asked if name not in FORMAT] == []


def test_an_example_may_hold_only_what_bears_on_the_lenses():
    names = {key.name for key in ANSWER_KEYS.under("example")}

    assert names == {"prescription", "frame", "lenses", "wearer", "use"}


def test_the_table_of_links_names_known_subjects():
    lines = data_file("answers")["more_answers"]

    assert {subject for line in lines for subject in line["subjects"]} <= set(SUBJECTS)
    assert {"sources", "photochromic_review", "ph-01"} & known_sources() == {"photochromic_review", "ph-01"}
