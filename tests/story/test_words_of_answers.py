"""The words of the answers for everyone: as short, plain and calm as those of a customer's page, terms explained."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
import yaml

from explain.order import read_shop
from explain.order.answer import read_answer
from explain.order.answer_text import PLACE
from explain.site.faq import answer_paths, story_of
from explain.site.own import Own
from tests.conftest import REPOSITORY
from tests.story.readability import TERMS, paragraphs_of, reading, sentences_of
from tests.story.test_words import BRITISH, banned_in
from tests.story.test_words_of_pages import long_sentences, odd_signs

SHOP = read_shop(REPOSITORY / "orders" / "shop.yaml")
PATHS = answer_paths(Own())
FACTS = {
    "shop": "Larch Street Opticians",
    "phone": "802-555-0142",
    "hours": "9 am to 5 pm",
    "returns": "",
    "remakes": "",
}
FIRST_USE = yaml.safe_load(Path(__file__).with_name("first_use.yaml").read_text(encoding="utf-8"))


@dataclass(frozen=True, slots=True)
class Said:
    """What an answer says: its questions in a reader's words, its text as Markdown with every figure in place."""

    title: str
    asked: str
    text: str

    @property
    def paragraphs(self):
        return paragraphs_of(self.text)


def said_by(name):
    answer = read_answer(PATHS[name], PATHS).answer
    story = story_of(answer, SHOP)
    passages = [block for block in story.blocks if block.kind == "prose"]
    values = {asked: value for block in passages for asked, value in block.values} | FACTS
    text = "\n\n".join(block.text for block in passages)
    filled = PLACE.sub(lambda found: values[found["asked"].strip()], text)
    return Said(answer.title, " ".join((answer.question, *answer.also_asked)), filled)


@pytest.fixture(scope="module")
def told():
    return {name: said_by(name) for name in PATHS}


each_answer = pytest.mark.parametrize("name", PATHS)


def unexplained(asked, text):
    """Terms whose first sentence does not explain them, unless the reader's own question uses them."""
    sentences = [part for unit in paragraphs_of(text) for part in sentences_of(unit)]
    found = []
    for term, rule in FIRST_USE.items():
        first = next((part for part in sentences if re.search(rule["used"], part)), None)
        known = re.search(rf"\b{term}\b", asked)
        if first and not known and not re.search(rule["explained"], first):
            found.append((term, first))
    return found


def latin_asked_for(asked):
    """The Latin signs for the eyes, where a reader asks what they stand for."""
    return {"od", "os", "ou"} if re.search(r"\bO[DSU]\b", asked) else set()


@each_answer
def test_sentences_and_paragraphs_of_an_answer_are_short(told, name):
    paragraphs = told[name].paragraphs
    measured = reading(paragraphs)

    assert long_sentences(paragraphs) == []
    assert [text for text in paragraphs if len(sentences_of(text)) > 3] == []
    assert measured.words / measured.sentences <= 14


@each_answer
def test_the_reading_grade_of_an_answer(told, name):
    assert reading(told[name].paragraphs).grade <= 8.5
    assert reading(told[name].paragraphs, terms=TERMS).grade <= 7


@each_answer
def test_an_answer_has_no_word_that_sells_frightens_or_puzzles(told, name):
    text = f"{told[name].title}. {told[name].text}"

    assert set(banned_in(text)) <= latin_asked_for(told[name].asked)
    assert BRITISH.findall(f"{text} {told[name].asked}") == []
    assert odd_signs([text]) == []


@each_answer
def test_a_term_is_explained_where_it_is_first_used(told, name):
    assert unexplained(told[name].asked, told[name].text) == []


@each_answer
def test_an_answer_starts_with_the_short_answer_of_1_to_3_sentences(told, name):
    first = told[name].text.split("\n\n")[0]

    assert not first.startswith(("#", "-", "1.", "[["))
    assert 1 <= len(sentences_of(first)) <= 3


@each_answer
def test_an_answer_says_whom_to_call_and_lists_at_most_7_points(told, name):
    lists = re.findall(r"(?:^(?:- |\d+\. ).+\n?(?: .+\n?)*)+", told[name].text, flags=re.MULTILINE)

    assert "802-555-0142" in told[name].text
    assert [block for block in lists if len(re.findall(r"^(?:- |\d+\. )", block, flags=re.MULTILINE)) > 7] == []


def test_the_checks_on_answers_can_fail():
    assert unexplained("", "Ask for the PD. It is on the paper.") == [("PD", "Ask for the PD.")]
    assert unexplained("What is PD?", "Ask for the PD.") == []
    assert unexplained("", "The distance between your pupils (PD) is on it. The PD is a number.") == []
