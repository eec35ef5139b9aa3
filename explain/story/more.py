"""More: which answers for everyone a part of a customer's page leads on to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import chain, zip_longest
from typing import Any

from explain.facts import data_file
from explain.order.answer import Answer
from explain.order.model import Order
from explain.story.answers import AnswerLink, link_to


def more_answers(order: Order, answers: Sequence[Answer]) -> dict[str, tuple[AnswerLink, ...]]:
    """Answers to offer at the end of each part of the page, by the part's id; a part without any is absent.

    By data/answers.yaml: a part's first line that fits the pair counts. Answers it names come first, then its subjects
    take turns.
    """
    table = data_file("answers")
    found: dict[str, tuple[AnswerLink, ...]] = {}
    for line in table["more_answers"]:
        if line["part"] not in found and _fits(line, order):
            found[line["part"]] = chosen(line, answers, table["links_of_a_part"])
    return {part: links for part, links in found.items() if links}


def chosen(line: Mapping[str, Any], answers: Sequence[Answer], most: int) -> tuple[AnswerLink, ...]:
    """The answers a line names, then one of each of its subjects, the next of each, up to a number; each once."""
    by_name = {answer.name: answer for answer in answers}
    first = [by_name[name] for name in line.get("first", ()) if name in by_name]
    found = {answer.name: answer for answer in (*first, *in_turn(line["subjects"], answers))}
    return tuple(link_to(answer) for answer in found.values())[:most]


def in_turn(subjects: Sequence[str], answers: Sequence[Answer]) -> list[Answer]:
    """One answer of each subject, then the next of each."""
    groups = [[answer for answer in answers if answer.subject == subject] for subject in subjects]
    return [answer for answer in chain.from_iterable(zip_longest(*groups)) if answer is not None]


def _fits(line: Mapping[str, Any], order: Order) -> bool:
    design, add_on, wearer = line.get("design"), line.get("add-on"), line.get("wearer")
    return (
        design in (None, order.lenses.design)
        and (add_on is None or add_on in order.lenses.add_ons)
        and (wearer is None or wearer in order.wearer)
    )
