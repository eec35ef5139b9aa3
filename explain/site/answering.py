"""Answering: the answers for everyone in a build, written anew only where something that goes into them changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from pathlib import Path

from msgspec.structs import replace

from explain.language import SOURCE, page_locale, speaking
from explain.order.faults import OrderError
from explain.site.desk.note import read_note
from explain.site.engine.kits import answers_digest, keep_titles, read_titles, titles_digest
from explain.site.engine.record import Record
from explain.site.engine.sweep import look_of_answers
from explain.site.engine.transaction import Transaction
from explain.site.faq import FOLDER, Answers, answer_files, read_answers, worked_out, written_names
from explain.site.faq import RECORD as NAMES
from explain.site.own import goes_wrong_in_parts, part_fails
from explain.site.results import AnswersDone
from explain.site.shops import Shops


class Answering:
    """The answers of the shop that the first order belongs to. done: what became of them, where they were written.

    kept: folder of what serves for all orders.
    """

    def __init__(self, folder: Path, shops: Shops, out: Path, record: Record, kept: Path) -> None:
        self._kept = kept
        self._folder, self._shops, self._out, self._record = folder, shops, out, record
        self.digest = answers_digest(folder)
        self.done: AnswersDone | None = None

    def write(self, explain: Callable[[str], None], *, wanted: bool) -> None:
        """Write the pages where that is due: where wanted and something changed, or where one is not as it was left."""
        names = written_names(self._out)
        missing = not names or not all(path.is_file() for path in self._pages(self._record.linked))
        missing = missing or self._record.answered != look_of_answers(str(self._out))
        if not missing and not (wanted and self._record.answers != self.digest):
            return
        if self.answers is not None:
            why = "their pages are not as they were left" if missing else "what they say changed"
            explain(f"The answers for everyone: {why}.")
            self.done = self._written(self.answers)

    @cached_property
    def answers(self) -> Answers | None:
        """All answers, as read; None where the shop file or the shop's own files have faults, which its orders name."""
        inside = self._folder / "order.yaml"
        try:
            self._shop, self._own = self._shops.beside(inside), self._shops.own_beside(inside)
        except OrderError:
            return None
        return read_answers(self._own)

    @cached_property
    def linked(self) -> Answers:
        """The answers that a page may lead on to: those that were written."""
        kept = read_titles(self._kept, self._record.titles) if self._record.answers == self.digest else None
        if kept is not None:
            return Answers(kept)
        if self.answers is None:
            return Answers()
        names = frozenset(self._record.linked)
        return replace(self.answers, answers=tuple(one for one in self.answers.answers if one.name in names))

    @property
    def titles(self) -> str:
        """Digest of how pages name the answers; those are only read where that may have changed."""
        if self._record.titles and self._record.answers == self.digest:
            return self._record.titles
        return titles_digest(self.linked.answers)

    def look_again(self) -> None:
        """Record how the pages look that were written now."""
        if self.done is not None and self.done.written:
            self._record.answered = look_of_answers(str(self._out))

    def take_down(self) -> None:
        """Remove the pages of answers that are gone, where no page leads on to them any more."""
        if self.done is None or self.done.written == 0:
            return
        read = self.done.read
        keep = {*(answer.name for answer in read.answers), *read.faulty}
        gone = set(written_names(self._out)) - keep
        linked = gone and self._linked_from_pages()
        changes = Transaction(self._out)
        for path in self._pages(sorted(gone - linked))[:-1]:
            changes.remove(path)
        left = keep | (set(written_names(self._out)) & linked)
        changes.put(self._out / "private" / NAMES, "".join(f"{name}\n" for name in sorted(left)))
        changes.commit()

    def _linked_from_pages(self) -> set[str]:
        """Names of the answers that some order's page leads on to."""
        private = self._out / "private"
        return {name for kept in private.iterdir() for name in read_note(private, kept.name).answers}

    def _pages(self, names: Sequence[str]) -> list[Path]:
        folder = self._out / "upload" / FOLDER
        return [folder / f"{name}.html" for name in (*names, "index")]

    def _written(self, read: Answers) -> AnswersDone:
        changes = Transaction(self._out)
        try:
            with speaking(page_locale(self._shop.locale, SOURCE)):
                read = worked_out(read, self._shop)
                for path, html in answer_files(read, self._shop, self._own, self._out):
                    changes.put(path, html)
        except goes_wrong_in_parts() as error:
            changes.drop()
            if not self._own.has_parts:
                raise
            return AnswersDone(replace(read, faults=(*read.faults, part_fails(self._folder, error))), 0)
        names = {*written_names(self._out), *(answer.name for answer in read.answers), *read.faulty}
        changes.put(self._out / "private" / NAMES, "".join(f"{name}\n" for name in sorted(names)))
        changes.commit()
        self._record.linked = tuple(answer.name for answer in read.answers)
        self._record.answers = "" if read.faults else self.digest
        self._record.titles = titles_digest(read.answers)
        keep_titles(self._kept, self._record.titles, read.answers)
        return AnswersDone(read, len(read.answers))
