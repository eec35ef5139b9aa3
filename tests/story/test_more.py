"""More: the answers that a part of a page leads on to."""

from __future__ import annotations

import pytest

from explain.facts import data_file
from explain.order.answer import read_answer
from explain.order.answer_keys import SUBJECTS
from explain.order.keys import ADD_ONS, DESIGNS
from explain.story.more import chosen, in_turn, more_answers
from tests.story.invented import write_answer


@pytest.fixture
def answers(tmp_path):
    """2 answers on each subject."""
    files = [write_answer(tmp_path, f"{key}-{at}", subject=key) for key in SUBJECTS for at in (1, 2)]
    return [read_answer(path).answer for path in files]


def names(links):
    return [link.name for link in links]


FIRST = [line.get("first", []) for line in data_file("answers")["more_answers"]]


@pytest.mark.parametrize("line", FIRST, ids=[str(at) for at in range(len(FIRST))])
def test_every_answer_put_first_is_there(line, repository):
    assert [name for name in line if not (repository / "templates" / "faq" / f"{name}.md").is_file()] == []
    assert 2 <= len(line) <= data_file("answers")["links_of_a_part"]


def test_named_answers_come_first_and_none_stands_twice(answers):
    line = {"first": ["fit-2", "no-such-answer", "driving-1"], "subjects": ["driving", "fit"]}

    assert names(chosen(line, answers, 4)) == ["fit-2", "driving-1", "fit-1", "driving-2"]


def test_a_part_leads_on_to_at_most_3_answers(demo_pair, answers):
    found = more_answers(demo_pair.order, answers)

    assert found
    assert max(len(links) for links in found.values()) == 3


def test_subjects_take_turns(answers):
    assert names(in_turn(["driving", "fit"], answers)) == ["driving-1", "fit-1", "driving-2", "fit-2"]
    assert names(in_turn(["driving", "fit", "prism"], answers)[:3]) == ["driving-1", "fit-1", "prism-1"]


def test_a_line_for_a_design_comes_before_the_one_for_all(pair_of, answers):
    plain = more_answers(pair_of().order, answers)
    progressive = more_answers(
        pair_of(prescription={"add": "2.00", "heights": "18 / 18"}, lenses={"design": "progressive"}).order, answers
    )

    assert names(plain["getting-used"])[0] == "getting-used-1"
    assert names(progressive["getting-used"])[0] == "progressive-1"


def test_without_answers_nothing_is_offered(demo_pair):
    assert more_answers(demo_pair.order, []) == {}


def test_every_part_named_in_the_table_is_a_part_of_some_demo_page(demo_pair_of, repository):
    from explain.story.page import tell

    orders = sorted(path for path in (repository / "orders").glob("*.yaml") if path.name != "shop.yaml")
    parts = {part.id for path in orders for group in tell(demo_pair_of(path)).groups for part in group.sections}
    lines = data_file("answers")["more_answers"]

    assert {line["part"] for line in lines} - parts == set()
    assert {line["design"] for line in lines if "design" in line} <= set(DESIGNS)
    assert {line["add-on"] for line in lines if "add-on" in line} <= set(ADD_ONS)
