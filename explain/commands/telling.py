"""Telling: what the commands that read orders have in common: what they print."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from explain.commands import report
from explain.commands.retire import standing_text
from explain.site.places import as_text

if TYPE_CHECKING:
    from explain.site.engine.record import Made
    from explain.site.results import AnswersDone, Result

EVERY_S = 0.2
"""How often a line that says how far we are is written anew."""
MANY = 20
"""From more orders on they are not listed one by one."""
USAGE = 2


def say_overlooked(paths: Sequence[Path]) -> None:
    """Name files that look like orders and were not read."""
    for path in paths:
        why, rename = _overlooked_for(path)
        print(f"{as_text(path).as_posix()}: warning: this file was not read\n{why}", file=sys.stderr)
        print(f"{rename}, or take it out of the folder.\n", file=sys.stderr)


def _overlooked_for(path: Path) -> tuple[str, str]:
    """Why a file was not read, and how to rename it."""
    if path.suffix == ".yaml":
        return "Its name is not text (UTF-8): some letter in it cannot be shown.", "Rename it to its order number"
    why = f"Orders in a folder end in .yaml, in small letters; this one ends in {path.suffix}."
    return why, f"Rename it to {path.with_suffix('.yaml').name}"


class Left:
    """Orders that stay as they were, where they are not told one by one: how many, with a page, with warnings."""

    def __init__(self) -> None:
        self.orders = self.pages = self.warned = 0

    def take(self, made: Sequence[Made]) -> None:
        """Count these orders."""
        self.orders += len(made)
        self.pages += sum(one.stands == "page" for one in made)
        self.warned += sum(bool(one.doubts) for one in made)


NONE_LEFT = Left()


def reported(results: Iterable[Result], total: int, word: str, left: Left = NONE_LEFT) -> list[Result]:
    """Print a line for each order as it is done; with many, show how far we are instead.

    left: orders that are not among the results; known once the first of those is there.
    """
    done = []
    progress = Progress(total) if total > MANY and sys.stderr.isatty() else None
    for result in results:
        done.append(result)
        if progress:
            progress.count(is_made=not result.is_unchanged, left=left.orders)
        elif total <= MANY:
            _print_one(result, word)
    if progress:
        print(file=sys.stderr)
    if total > MANY:
        made = [result for result in done if not result.is_unchanged]
        for result in made:
            if result.advice or not result.standing.is_page:
                _print_one(replace(result, doubts=()), word)
        report.say_by_kind(made)
    return done


class Progress:
    """A line that says how far a long run has come, how fast it goes, and how long it will still take."""

    def __init__(self, total: int) -> None:
        self._total, self._done, self._made = total, 0, 0
        self._started = self._shown = time.monotonic()

    def count(self, *, is_made: bool, left: int = 0) -> None:
        """Count one order, beside those left as they were; these say nothing of the speed."""
        self._done, self._made = self._done + 1, self._made + is_made
        now, done = time.monotonic(), self._done + left
        if now - self._shown >= EVERY_S or done == self._total:
            self._shown = now
            print(f"\r{progress_text(done, self._total, self._made, now - self._started)}", end="", file=sys.stderr)
            sys.stderr.flush()


def progress_text(done: int, total: int, made: int, seconds: float) -> str:
    """How far a run has come. made: of those done, what took time.

    >>> progress_text(600, 2000, 600, 30.0)
    '[#########.....................] 600 of 2000, 20.0 a second, 1 min 10 s left '
    """
    filled = 30 * done // total
    text = f"[{'#' * filled}{'.' * (30 - filled)}] {done} of {total}"
    if made == 0 or seconds <= 0:
        return text
    rate = made / seconds
    left = round((total - done) / rate)
    minutes = f"{left // 60} min " if left >= 60 else ""
    return f"{text}, {rate:.1f} a second, {minutes}{left % 60} s left "


def _print_one(result: Result, word: str) -> None:
    name = result.number or as_text(result.path).name
    if result.faults:
        print(f"{name:12} has {count(len(result.faults), 'fault')}" + (", nothing written" if word == "built" else ""))
    elif not result.standing.is_page:
        print(f"{name:12} {standing_text(result.standing)}")
    else:
        unpriced = "" if result.is_priced else ", no price yet"
        page = result.page.as_posix() if result.page else ""
        print(f"{name:12} {('unchanged' if result.is_unchanged else word) + unpriced:12} {page}".rstrip())
    for finding in (*result.faults, *(() if result.is_unchanged else result.doubts)):
        print(f"\n{finding}\n", file=sys.stderr)
    if result.advice:
        from explain.story.advice import advice_text

        print(f"\n{advice_text(result.advice)}")


def print_answers(done: AnswersDone) -> bool:
    """Say in one line what became of the answers, then what is wrong or odd in them; True where one has faults."""
    faulty = len(done.read.faulty)
    whole = len(done.read.answers) if done.written is None else done.written
    print(f"\n{count(whole, 'answer')} {'read' if done.written is None else 'written'}", end="")
    print(f", {faulty} with faults: see above." if faulty else ".")
    for finding in (*done.read.faults, *done.read.doubts):
        print(f"\n{finding}\n", file=sys.stderr)
    return bool(done.read.faults)


def closing(results: Sequence[Result]) -> int:
    """Say how many orders have faults; the exit status."""
    faulty = sum(bool(result.faults) for result in results)
    if not faulty:
        return 0
    print(f"{count(faulty, 'order')} with faults: see above. Pages published earlier stay as they were.")
    return USAGE


def nothing_to_do() -> int:
    """Say that there is no order here; the exit status."""
    print("There is no order here. Name an order file, or run this in the folder that holds orders/.", file=sys.stderr)
    return USAGE


def count(number: int, noun: str) -> str:
    """A number with its noun."""
    return f"{number} {noun}{'' if number == 1 else 's'}"
