"""The answers for everyone: short, plain, in US English, each with a source, a subject and one question of its own."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from explain.facts import data_file
from explain.order import read_order, read_shop
from explain.story.pair import work_out
from tests.conftest import REPOSITORY
from tests.story.readability import TERMS, paragraphs_of, reading, sentences_of, words_of
from tests.story.test_words import BRITISH, banned_in, named_sources

FILES = sorted((REPOSITORY / "templates" / "faq").glob("[!A-Z]*.md"))
EXPLAINED_BY: dict[str, list[str]] = yaml.safe_load(
    Path(__file__).with_name("answer_terms.yaml").read_text(encoding="utf-8")
)
SUBJECTS = [
    *("prescription", "thickness", "getting-used", "progressive", "bifocal", "light-reactive", "layers-and-tints"),
    *("cleaning", "fit", "price", "safety", "returns-and-remakes", "pd-and-measuring", "prism", "driving"),
    *("screens-and-reading", "children", "ordering-by-post", "repairs"),
]
FIGURES = {"edge", "materials", "sight-far", "sight-near", "zones", "window", "fade"}
VALUES = {"thickest_mm", "weight_g", "image_size_percent", "fringe_prism_dpt", "reflected_per_100"}
MARKS = {"phone", "shop", "returns", "remakes", "cover"}
MUST_SAY = {"title", "question", "subject", "audience", "reviewed", "sources"}
MAY_SAY = {"also-asked", "example"}

# What stands for a mark while a sentence is measured: about as long as what a reader meets there.
FILLED = {"phone": "802-555-0142", "shop": "Larch Street Opticians", "returns": "", "remakes": "", "cover": ""}
AROUND_AN_EXAMPLE = {
    "order": "E-0001",
    "date": "2026-10-02",
    "for": "Odile",
    "price": [{"item": "Frame", "amount": "100.00", "choice": "frame"}],
}


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer as it stands in its file: the lines at its head, and its body in Markdown."""

    name: str
    head: dict[str, Any]
    body: str

    @property
    def prose(self) -> str:
        """The body as a reader meets it: charts left out, marks filled in."""
        text = re.sub(r"^\[\[figure: [\w-]+\]\]$", "", self.body, flags=re.MULTILINE)
        text = re.sub(r"\[\[value: \w+\]\]", "5.4 mm", text)
        return re.sub(r"\[\[(\w+)\]\]", lambda mark: FILLED[mark[1]], text)

    @property
    def said(self) -> str:
        """All that a reader meets: title, questions and body."""
        return "\n\n".join([self.head["title"], *self.questions, self.prose])

    @property
    def questions(self) -> list[str]:
        """The question and its other wordings."""
        return [self.head["question"], *self.head.get("also-asked", [])]


def read_answer(file: Path) -> Answer:
    """An answer from its file. Raises ValueError when it does not begin with lines between two rules."""
    _, head, body = file.read_text(encoding="utf-8").split("---\n", 2)
    return Answer(file.stem, yaml.safe_load(head), body)


ANSWERS = [read_answer(file) for file in FILES]
each_answer = pytest.mark.parametrize("answer", ANSWERS, ids=lambda answer: answer.name)


def long_sentences(markdown: str) -> list[str]:
    sentences = [sentence for text in paragraphs_of(markdown) for sentence in sentences_of(text)]
    return [sentence for sentence in sentences if len(words_of(sentence)) > 20]


def unexplained_terms(answer: Answer) -> list[str]:
    """Terms that the answer uses, that no question of its reader uses, and that nothing beside them explains."""
    sentences = [sentence for text in paragraphs_of(answer.prose) for sentence in sentences_of(text)]
    return [term for term in EXPLAINED_BY if not _is_explained(term, sentences, " ".join(answer.questions))]


def _is_explained(term: str, sentences: list[str], questions: str) -> bool:
    written = re.compile(rf"(?<![\w-]){re.escape(term)}(?![\w-])", re.IGNORECASE if term.islower() else 0)
    if written.search(questions):
        return True
    first = next((at for at, sentence in enumerate(sentences) if _as_a_term(written, term, sentence)), None)
    if first is None:
        return True
    beside = " ".join(sentences[max(first - 1, 0) : first + 2]).lower()
    return any(phrase.lower() in beside for phrase in EXPLAINED_BY[term])


def _as_a_term(written: re.Pattern[str], term: str, sentence: str) -> bool:
    """A verb such as "add a drop" is not the term: of "add", only "(add)", "the add" and "an add" are."""
    if term == "add":
        return bool(re.search(r"\(add\)|\b(?:the|an|your) add\b", sentence, re.IGNORECASE))
    return bool(written.search(sentence))


def test_there_are_at_least_60_answers() -> None:
    assert len(ANSWERS) >= 60


@pytest.mark.parametrize("subject", SUBJECTS)
def test_each_subject_has_at_least_2_answers(subject: str) -> None:
    assert sum(answer.head["subject"] == subject for answer in ANSWERS) >= 2


def test_titles_and_questions_are_unique() -> None:
    titles = [answer.head["title"] for answer in ANSWERS]
    questions = [question for answer in ANSWERS for question in answer.questions]
    assert len(set(titles)) == len(titles)
    assert len(set(questions)) == len(questions)


@each_answer
def test_the_head_says_what_it_must(answer: Answer) -> None:
    assert set(answer.head) >= MUST_SAY
    assert set(answer.head) <= MUST_SAY | MAY_SAY
    assert answer.head["subject"] in SUBJECTS
    assert isinstance(answer.head["reviewed"], dt.date)
    assert all(question.endswith("?") for question in answer.questions)
    assert len(words_of(answer.head["title"])) <= 12


@each_answer
def test_every_source_is_known(answer: Answer) -> None:
    words = data_file("words_sources")
    known = {*data_file("sources"), *words["more"], *words["facts"]}
    assert answer.head["sources"]
    assert set(named_sources(answer.head["sources"])) - known == set()


@each_answer
def test_an_answer_has_90_to_260_words(answer: Answer) -> None:
    assert 90 <= len(words_of(answer.prose)) <= 260


@each_answer
def test_an_answer_begins_with_a_short_one(answer: Answer) -> None:
    first = answer.body.strip().split("\n\n")[0]
    assert not first.startswith(("#", "-", "1.", "[["))
    assert len(sentences_of(first)) <= 2


@each_answer
def test_sentences_and_paragraphs_are_short(answer: Answer) -> None:
    assert long_sentences(answer.prose) == []
    paragraphs = paragraphs_of(answer.prose)
    assert [text for text in paragraphs if len(sentences_of(text)) > 3] == []
    measured = reading(paragraphs)
    assert measured.words / measured.sentences <= 14


@each_answer
def test_reading_grade(answer: Answer) -> None:
    paragraphs = paragraphs_of(answer.prose)
    assert reading(paragraphs).grade <= 8.5
    assert reading(paragraphs, terms=TERMS).grade <= 7


@each_answer
def test_no_word_that_sells_frightens_or_puzzles(answer: Answer) -> None:
    decoded = {"od", "os", "ou"} if answer.name == "prescription-columns" else set()
    assert set(banned_in(answer.said)) - decoded == set()


@each_answer
def test_us_spelling_and_plain_signs(answer: Answer) -> None:
    assert BRITISH.findall(answer.said) == []
    assert "!" not in answer.said
    assert re.findall(r"--|[–—]", answer.said) == []
    assert re.findall(r"(?<![\w)])-\d", answer.said) == [], "a minus sign is −, not a hyphen"


@each_answer
def test_terms_are_explained_where_they_first_stand(answer: Answer) -> None:
    assert unexplained_terms(answer) == []


@each_answer
def test_headings_are_of_one_rank_and_lists_are_short(answer: Answer) -> None:
    assert re.findall(r"^(?:#|#{3,}) ", answer.body, flags=re.MULTILINE) == []
    lists = re.findall(r"(?:^(?:- |\d+\. ).+\n)+", answer.body, flags=re.MULTILINE)
    assert all(block.count("\n") <= 7 for block in lists)


@each_answer
def test_only_known_marks_and_an_example_for_what_is_computed(answer: Answer) -> None:
    marks = re.findall(r"\[\[([^\]]*)\]\]", answer.body)
    figures = {mark.removeprefix("figure: ") for mark in marks if mark.startswith("figure: ")}
    values = {mark.removeprefix("value: ") for mark in marks if mark.startswith("value: ")}
    plain = {mark for mark in marks if ":" not in mark}
    assert figures <= FIGURES
    assert values <= VALUES
    assert plain <= MARKS
    assert len(marks) == answer.body.count("[[")
    assert bool(figures | values) == ("example" in answer.head)
    alone = re.findall(r"^\[\[figure: [\w-]+\]\]$", answer.body, flags=re.MULTILINE)
    assert len(alone) == answer.body.count("[[figure:")


@pytest.mark.parametrize(
    "answer", [answer for answer in ANSWERS if "example" in answer.head], ids=lambda answer: answer.name
)
def test_an_example_is_an_order_that_can_be_worked_out(answer: Answer, tmp_path: Path) -> None:
    file = tmp_path / "E-0001.yaml"
    head = (REPOSITORY / "templates" / "faq" / f"{answer.name}.md").read_text(encoding="utf-8").split("---\n", 2)[1]
    example = yaml.load(head, Loader=yaml.BaseLoader)["example"]  # noqa: S506  text only, nothing is built
    file.write_text(yaml.safe_dump(AROUND_AN_EXAMPLE | example, allow_unicode=True), encoding="utf-8")

    shop = read_shop(REPOSITORY / "orders" / "shop.yaml")

    pair = work_out(read_order(file, shop).order, shop)

    assert pair.chosen.lenses


def test_charts_are_computed_in_12_to_20_answers() -> None:
    assert 12 <= sum("[[figure:" in answer.body for answer in ANSWERS) <= 20


def test_the_checks_on_answers_can_fail() -> None:
    head = {"title": "T", "question": "Why?"}
    assert long_sentences("One " * 21 + "end.") != []
    assert unexplained_terms(Answer("a", head, "The prism is small. It is new.")) == ["prism"]
    assert unexplained_terms(Answer("b", head, "A prism moves the view. Add a drop of soap.")) == []
    assert unexplained_terms(Answer("c", {"title": "T", "question": "Why prism?"}, "A prism is small.")) == []


ASKED = yaml.safe_load(Path(__file__).with_name("asked_questions.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("entry", ASKED, ids=lambda entry: entry["asked"][:40])
def test_a_question_as_people_type_it_has_its_answer(entry: dict[str, Any]) -> None:
    said = {answer.name: " ".join(answer.prose.split()).lower() for answer in ANSWERS}

    assert [words for words in entry["says"] if words.lower() not in said[entry["answer"]]] == []
