"""Answers for everyone: the same blocks and words as a customer's page, about nobody's pair."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from explain.facts import data_file
from explain.language import page_locale, spoken
from explain.optics.surfaces import DoesNotReachError
from explain.order.answer import Answer
from explain.order.answer_keys import SUBJECTS
from explain.order.answer_text import BLOCK_PLACE, COMMENT, PLACE, VALUE
from explain.order.faults import Fault
from explain.order.model import Shop
from explain.story.blocks import Figure, Note, Table
from explain.story.example import Example, NotInExampleError, example_text, value_text
from explain.story.example_figures import figure_of, table_of
from explain.story.wording import Place

MOST_ALIKE = 6
NO_COVER = "Ask us what is covered, and for how long."
"""Stands for `[[cover]]` where the shop's file says nothing on it: an answer is English, whatever the pages are."""


class Passage(Struct, frozen=True):
    """Part of an answer's text as Markdown, up to the next chart. `values`: what its `[[value: ...]]` stand for."""

    text: str
    values: tuple[tuple[str, str], ...] = ()
    kind: str = "prose"


Piece = Passage | Figure | Table | Note


class AnswerLink(Struct, frozen=True):
    """An answer as another page names it. also_asked: other wordings of its question."""

    name: str
    title: str
    question: str
    also_asked: tuple[str, ...] = ()


class AnswerStory(Struct, frozen=True):
    """Everything the page of one answer says. What its figures are worked out for stands before the first of them."""

    name: str
    title: str
    question: str
    also_asked: tuple[str, ...]
    subject_id: str
    subject: str
    audience: str
    reviewed: str
    blocks: tuple[Piece, ...]
    sources: str


class Subject(Struct, frozen=True):
    """A subject of the index with its answers."""

    id: str
    title: str
    answers: tuple[AnswerLink, ...]


class AnswerError(Exception):
    """An answer whose example does not give what its text asks for."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n\n".join(str(fault) for fault in faults))


def tell_answer(answer: Answer, shop: Shop) -> AnswerStory:
    """Tell one answer, its example worked out for this shop. Raises AnswerError with every fault found."""
    example = Example(answer.example, shop) if answer.example else None
    return AnswerStory(
        name=answer.name,
        title=answer.title,
        question=answer.question,
        also_asked=answer.also_asked,
        subject_id=answer.subject,
        subject=SUBJECTS[answer.subject],
        audience=answer.audience,
        reviewed=Place(page_locale(shop.locale, spoken().code), shop.currency).day(answer.reviewed),
        blocks=(*_with_example(_blocks(answer, example), _example_notes(answer, example)),),
        sources=sources_text(answer.sources),
    )


def index_of(answers: Sequence[Answer]) -> tuple[Subject, ...]:
    """All answers by subject, in the order of data/answers.yaml; a subject without one is absent."""
    found = ((key, tuple(link_to(answer) for answer in answers if answer.subject == key)) for key in SUBJECTS)
    return tuple(Subject(key, SUBJECTS[key], links) for key, links in found if links)


def link_to(answer: Answer) -> AnswerLink:
    """How another page names an answer."""
    return AnswerLink(answer.name, answer.title, answer.question, answer.also_asked)


def alike(answer: Answer, answers: Sequence[Answer]) -> tuple[AnswerLink, ...]:
    """Other answers on the same subject, those that follow in the index first."""
    same = [other for other in answers if other.subject == answer.subject]
    at = next((at for at, other in enumerate(same) if other.name == answer.name), -1)
    return tuple(link_to(other) for other in (*same[at + 1 :], *same[: max(at, 0)])[:MOST_ALIKE])


def sources_text(sources: Sequence[str]) -> str:
    """Say where an answer's facts come from: titles, or that there is no source; empty where nothing is named.

    >>> sources_text(["common practice, no source"]), sources_text(["from memory: a textbook"])
    ('Common practice, no source.', 'Recalled, not looked up.')
    """
    titles = list(dict.fromkeys(title for source in sources for title in _titles(source)))
    parts = [f"{'; '.join(titles)}."] if titles else []
    if any(source.startswith("common practice") for source in sources):
        parts.append("The rest is common practice, no source." if titles else "Common practice, no source.")
    if any(source.startswith("from memory") for source in sources):
        parts.append("Recalled, not looked up.")
    return " ".join(parts)


def _titles(source: str) -> list[str]:
    words = data_file("words_sources")
    known = data_file("sources") | words["more"]
    if source in words["facts"]:
        return [title for key in words["facts"][source]["source"] for title in _titles(key)]
    if source == "materials.yaml":
        return ["Our table of lens materials, from several sources"]
    return [known[source]["title"]] if source in known else []


def _with_example(blocks: Sequence[Piece], notes: Sequence[Note]) -> list[Piece]:
    """Put what the example is before the first chart or table of it; at the end where there is none."""
    at = next((at for at, block in enumerate(blocks) if not isinstance(block, Passage)), len(blocks))
    return [*blocks[:at], *notes, *blocks[at:]]


def _example_notes(answer: Answer, example: Example | None) -> list[Note]:
    if example is None:
        return []
    try:
        return [Note(f"{example_text(example)} Your pair will differ.", label="The example")]
    except DoesNotReachError as error:
        advice = "Choose a weaker power, a smaller frame or a material that bends light more."
        message = f"the lenses of the example cannot be made: {error}"
        raise AnswerError([_fault(answer, 0, message, advice)]) from error


def _blocks(answer: Answer, example: Example | None) -> tuple[Piece, ...]:
    blocks: list[Piece] = []
    faults: list[Fault] = []
    lines: list[str] = []
    for at, line in enumerate(_without_comments(answer.text).split("\n"), start=answer.text_line):
        found = BLOCK_PLACE.fullmatch(line.strip())
        try:
            if found is None:
                _values_in(line, example)
                lines.append(line)
                continue
            blocks += _passage(lines, example)
            lines = []
            place = figure_of if found["kind"] == "figure" else table_of
            blocks.append(place(example, found["name"]))
        except NotInExampleError as error:
            faults.append(_fault(answer, at, str(error), "Change the example, or take this out.", line))
    if faults:
        raise AnswerError(faults)
    return (*blocks, *_passage(lines, example))


def _without_comments(text: str) -> str:
    return COMMENT.sub(lambda found: "\n" * found.group().count("\n"), text)


def _passage(lines: list[str], example: Example | None) -> list[Passage]:
    text = "\n".join(lines).strip()
    return [Passage(text, tuple(_values_in(text, example).items()))] if text else []


def _values_in(text: str, example: Example | None) -> dict[str, str]:
    """What stands for each `[[value: ...]]` of a text."""
    found = {}
    for place in PLACE.finditer(text):
        value = VALUE.fullmatch(place["asked"].strip())
        if value and example:
            found[place["asked"].strip()] = value_text(example, value["name"], value["material"])
    return found


def _fault(answer: Answer, line: int, message: str, advice: str, excerpt: str = "") -> Fault:
    allowed = "Figures are worked out for the example in the header: an order's prescription, frame and lenses."
    return Fault(answer.path.as_posix(), line, "", message, excerpt.rstrip(), allowed, advice)
