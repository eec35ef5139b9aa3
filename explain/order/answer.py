"""An answer for everyone, read once: its header, its example and its text, with every fault at the same time."""

from __future__ import annotations

import re
from collections.abc import Collection
from datetime import date
from decimal import Decimal
from pathlib import Path

from msgspec import Struct

from explain.order.answer_keys import ANSWER_KEYS, known_sources
from explain.order.answer_text import doubt_text
from explain.order.document import group_in, read_text
from explain.order.faults import Doubt, Findings, Remark
from explain.order.fields import Section
from explain.order.fit import read_fit
from explain.order.frame import read_frame
from explain.order.keys import nearest
from explain.order.lenses import read_lenses
from explain.order.model import Bill, Order
from explain.order.numbers import cut
from explain.order.pair import read_pair
from explain.order.purpose import read_use, read_wearer

NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
TAKEN = ("index",)
FENCE = "---"
LONGEST_TITLE, LONGEST_AUDIENCE, LONGEST_QUESTION = 80, 120, 160
FREE_SOURCES = ("common practice", "from memory")
HOW_IT_STARTS = (
    "An answer starts with a header between two lines of three dashes. Its text follows.",
    "Copy the header of another answer, or see README.md beside the answers.",
)
EXAMPLE_NUMBER = "example"


class Answer(Struct, frozen=True):
    """One answer. name: that of its file and its page. text: Markdown, with `[[...]]` for what is worked out.

    example: an order to work figures out for; None where the answer has none. sources: keys, or free words.
    text_line: line of the file on which the text starts, from 1.
    """

    name: str
    title: str
    question: str
    also_asked: tuple[str, ...]
    subject: str
    audience: str
    reviewed: date
    example: Order | None
    sources: tuple[str, ...]
    text: str
    text_line: int
    path: Path


class ReadAnswer(Struct, frozen=True):
    """A whole answer, and what its author should look at in it."""

    answer: Answer
    doubts: tuple[Doubt, ...]


def read_answer(path: Path, names: Collection[str] = ()) -> ReadAnswer:
    """The answer in a file. names: answers that its links may lead to, its own included.

    Raises OrderError with every fault of the file.
    """
    findings = Findings(path.as_posix())
    whole = read_text(path, findings, HOW_IT_STARTS)
    header, text, text_line = _taken_apart(whole, findings)
    root = Section(group_in(header, findings, HOW_IT_STARTS), "", 1, findings, ANSWER_KEYS)
    _doubt_name(path, findings)
    answer = _answer(root, text, text_line, path)
    has_example = root.has("example")
    doubt_text(text, text_line, findings, names=frozenset(names), has_example=has_example)
    findings.raise_if_faulty()
    if answer is None:
        raise AssertionError("an answer without faults is whole")
    return ReadAnswer(answer, findings.doubts)


def _taken_apart(whole: str, findings: Findings) -> tuple[str, str, int]:
    """Header, text and the line on which the text starts. The header keeps its lines: nothing moves up."""
    lines = whole.splitlines()
    if lines[0].rstrip() != FENCE:
        findings.stop(1, Remark("the file does not start with a header", *HOW_IT_STARTS))
    ends = [at for at, line in enumerate(lines) if at and line.rstrip() == FENCE]
    if not ends:
        findings.stop(1, Remark("the header that starts here has no end", *HOW_IT_STARTS))
    text = "\n".join(lines[ends[0] + 1 :])
    if not text.strip():
        advice = "Write the short answer first, in 1 or 2 sentences, then why and what to do."
        findings.stop(ends[0] + 1, Remark("no text follows the header", HOW_IT_STARTS[0], advice))
    return "\n".join(["", *lines[1 : ends[0]], ""]), f"{text}\n", ends[0] + 2


def _doubt_name(path: Path, findings: Findings) -> None:
    if NAME.fullmatch(path.stem) and path.stem not in TAKEN:
        return
    allowed = "The name becomes the page's address: small letters, figures and single hyphens. index is taken."
    tidy = re.sub("[^a-z0-9]+", "-", path.stem.lower()).strip("-")
    advice = f"Rename the file, for example:   {tidy if tidy and tidy not in TAKEN else 'thick-edges'}.md"
    findings.fault("", 0, Remark(f"{cut(path.stem)} cannot be the name of an answer", allowed, advice))


def _answer(root: Section, text: str, text_line: int, path: Path) -> Answer | None:
    title, audience = root.text("title", LONGEST_TITLE), root.text("audience", LONGEST_AUDIENCE)
    question, also_asked = _question(root), _also_asked(root)
    subject, reviewed, sources = root.choice("subject"), root.day("reviewed"), _sources(root)
    example = _example(root, reviewed, path)
    if not (title and question and subject and audience and reviewed):
        return None
    return Answer(
        path.stem, title, question, also_asked, subject, audience, reviewed, example, sources, text, text_line, path
    )


def _question(root: Section) -> str | None:
    question = root.text("question", LONGEST_QUESTION)
    if question and not question.endswith("?"):
        advice = f"Type it as in:   {root.key('question').example}"
        root.fault("question", Remark("the question has no question mark", root.key("question").allowed, advice))
    return question


def _also_asked(root: Section) -> tuple[str, ...]:
    asked = [root.clean("also-asked", node.text, LONGEST_QUESTION, node.line) for node in root.items("also-asked")]
    return tuple(question for question in asked if question)


def _sources(root: Section) -> tuple[str, ...]:
    """Keys of sources, or free words. Inside brackets the comma of "common practice, no source" parts it in two."""
    known = known_sources()
    nodes = [node for node in root.items("sources") if node.text != "no source"]
    for node in nodes:
        if node.text not in known and not node.text.startswith(FREE_SOURCES):
            near = nearest(node.text, known)
            advice = f"Perhaps you meant:   {near}" if near else f"Type it as in:   {root.key('sources').example}"
            remark = Remark(f"{cut(node.text)} is not a source we know", root.key("sources").allowed, advice)
            root.fault("sources", remark, node.line)
    return tuple(node.text for node in nodes)


def _example(root: Section, reviewed: date | None, path: Path) -> Order | None:
    """The example as an order of nobody, with no bill."""
    section = root.child("example")
    if section is None:
        return None
    frame, lenses = read_frame(section.child("frame"), path.parent), read_lenses(section.child("lenses"))
    depth, design = frame.depth_mm if frame else None, lenses.design if lenses else None
    prescription = section.child("prescription")
    pair = read_pair(prescription, design) if prescription else None
    fit = read_fit(prescription, depth, design) if prescription else None
    use, wearer = read_use(section), read_wearer(section)
    if not (frame and lenses and pair and fit and reviewed):
        return None
    bill = Bill((), Decimal(0), None, None)
    return Order(
        EXAMPLE_NUMBER, reviewed, "", pair.right, pair.left, fit, frame, lenses, bill, path, use=use, wearer=wearer
    )
