"""FAQ: the answers for everyone, found, read and written beside the customers' pages."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from explain.order.answer import Answer, read_answer
from explain.order.faults import Doubt, Fault, OrderError
from explain.order.model import Shop
from explain.site.engine.sweep import FOR_EVERYONE
from explain.site.own import ANSWERS, Own
from explain.site.places import templates_folder
from explain.story.answers import AnswerError, AnswerStory, tell_answer

FOLDER = FOR_EVERYONE
RECORD = "answers.txt"
NOTE = "README.md"


class Answers(Struct, frozen=True):
    """Every answer of a shop that is whole, by name, and what is wrong or odd in the others. faulty: their names."""

    answers: tuple[Answer, ...] = ()
    faults: tuple[Fault, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    faulty: frozenset[str] = frozenset()


def answer_paths(own: Own) -> dict[str, Path]:
    """File of each answer by its name: ours, and the shop's own, which win."""
    ours = [path for path in (templates_folder() / ANSWERS).glob("*.md") if path.name != NOTE]
    return dict(sorted({path.stem: path for path in (*ours, *own.answers)}.items()))


def read_answers(own: Own) -> Answers:
    """Read every answer; one with faults is left out and its faults are kept."""
    paths = answer_paths(own)
    answers: list[Answer] = []
    faults: list[Fault] = []
    doubts: list[Doubt] = list(own.doubts)
    for path in paths.values():
        try:
            read = read_answer(path, paths)
        except OrderError as error:
            faults += error.faults
            continue
        answers.append(read.answer)
        doubts += read.doubts
    whole = {answer.name for answer in answers}
    return Answers(tuple(answers), tuple(faults), tuple(doubts), frozenset(set(paths) - whole))


def worked_out(read: Answers, shop: Shop) -> Answers:
    """The same without those whose example does not give what their text asks for; that becomes a fault."""
    kept: list[Answer] = []
    faults = list(read.faults)
    for answer in read.answers:
        try:
            story_of(answer, shop)
        except AnswerError as error:
            faults += error.faults
        else:
            kept.append(answer)
    lost = {answer.name for answer in read.answers} - {answer.name for answer in kept}
    return replace(read, answers=tuple(kept), faults=tuple(faults), faulty=read.faulty | lost)


def story_of(answer: Answer, shop: Shop) -> AnswerStory:
    """What the page of an answer says; worked out once for a shop, wherever its folder lies. Raises AnswerError."""
    return _story(answer, replace(shop, path=Path()))


@lru_cache(maxsize=512)
def _story(answer: Answer, shop: Shop) -> AnswerStory:
    return tell_answer(answer, shop)


def written_names(out: Path) -> tuple[str, ...]:
    """Names of the answers whose pages earlier builds wrote."""
    record = out / "private" / RECORD
    return tuple(record.read_text(encoding="utf-8", errors="replace").split()) if record.is_file() else ()


def answer_files(read: Answers, shop: Shop, own: Own, out: Path) -> Iterator[tuple[Path, str]]:
    """The page of each answer and the index, each with the place where it belongs."""
    from explain.site.faq_pages import answer_html, index_html  # noqa: PLC0415  the chart library is slow to import

    folder = out / "upload" / FOLDER
    for answer in read.answers:
        yield folder / f"{answer.name}.html", answer_html(answer, read.answers, shop, own.texts)
    yield folder / "index.html", index_html(read.answers, shop, own.texts)
