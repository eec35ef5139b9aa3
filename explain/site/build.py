"""Build: orders in, pages out. Only what changed is made, and it is put in place whole or not at all."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from explain.charts.kept import keep_in
from explain.order.faults import Doubt, Fault, OrderError
from explain.order.model import Shop
from explain.site.address import SECRET_NAME, SecretError, lost_secret_text, read_or_make_secret
from explain.site.answering import Answering
from explain.site.checking import numbers_shared_by
from explain.site.engine.kits import kit_of, program_parts, recall
from explain.site.engine.lock import only_one
from explain.site.engine.record import Made, read_record, write_record
from explain.site.engine.sweep import PAGE, RECORD, Swept, is_racy, look_at_kept, outputs, signature_of
from explain.site.engine.transaction import Transaction, complete_interrupted
from explain.site.engine.workers import HERE, Crew, stream
from explain.site.making import Product, Task, make_all
from explain.site.owners import has_pages_from
from explain.site.places import is_text
from explain.site.plan import Plan, replacing_first
from explain.site.publish import ALWAYS_THERE, prepare
from explain.site.publishing import Publisher
from explain.site.results import AnswersDone, Result
from explain.site.retired import Retirement
from explain.site.shops import ORDERS, SHOP_NAME, Shops, need_order_file, overlooked
from explain.site.standing import Standing
from explain.site.survey import folder_of

Found = tuple[tuple[Fault, ...], tuple[Doubt, ...]]
NOTHING: Found = ((), ())
KEPT = ".kept"
"""Folder in private/ of what is drawn once and serves for all orders."""


def _to_nobody(_: object) -> None:
    """Nobody asked."""


def build(
    paths: Sequence[Path | str],
    out: Path,
    *,
    all_answers: bool = False,
    tell: Callable[[AnswersDone], None] = _to_nobody,
    explain: Callable[[str], None] = _to_nobody,
    today: date | None = None,
    crew: Callable[[int], Crew] = lambda _: HERE,
    anew: bool = False,
    left: Callable[[Sequence[Made]], None] | None = None,
    swept: Swept | None = None,
) -> Iterator[Result]:
    """Make the page of each order that changed, or whose page is not there; give what became of each, in their order.

    Orders that share a number are all refused: their page stays as it was, whoever it belongs to. The answers for
    everyone are written first, so that links lead somewhere: when all_answers and something in them changed, or when a
    page of them is missing. today: pages whose time is over by then are put away; None: only those that were recorded
    as put away. tell: hears of the answers; explain: hears why something is made anew. crew: who makes so many orders.
    anew: make everything, whether or not something changed. left: hears at once of all orders that stay as they were,
    which are then not given one by one. swept: how everything looked just now, where that is known.
    Raises FolderError or SecretError for a folder that must not be built into, OSError for one that cannot be.
    """
    prepare(out)
    with only_one(out):
        if complete_interrupted(out):
            explain("An earlier build was interrupted; what it had begun is completed.")
            swept = None
        run = _Build([os.fspath(path) for path in paths], out, explain, today, all_answers=all_answers)
        _need_secrets(run.folders, out)
        lay_out(out)
        run.look(swept, anew=anew)
        yield from run.run(tell, crew, left)


class _Build:
    """One run of a build. Orders and folders go by their path as text. folders: those of the orders."""

    def __init__(
        self,
        paths: Sequence[str],
        out: Path,
        explain: Callable[[str], None],
        today: date | None,
        *,
        all_answers: bool,
    ) -> None:
        self.paths, self.out, self.today, self._explain, self._is_whole = paths, out, today, explain, all_answers
        self.folders = list(dict.fromkeys(map(folder_of, paths)))
        self._shops = Shops()
        self._kits: dict[str, bytes] = {}
        self._counts = Counter[str]()
        self._kept = (out / "private" / KEPT).resolve()

    def look(self, swept: Swept | None, *, anew: bool) -> None:
        """See how everything looks, and what the last build recorded, unless all is to be made anew.

        swept: a look from before, if it still holds.
        """
        is_still_so = swept is not None and swept.record == signature_of(str(self.out / "private" / RECORD))
        self._swept = swept if swept is not None and is_still_so else Swept(self.folders, str(self.out))
        self._record = read_record(self.out)
        if anew:
            self._record.forget(self.paths)
        if anew and self._is_whole:
            self._record.answers = self._record.titles = ""
        self._recall_program()
        keep_in(self._kept)

    def run(
        self,
        tell: Callable[[AnswersDone], None],
        crew: Callable[[int], Crew],
        left: Callable[[Sequence[Made]], None] | None,
    ) -> Iterator[Result]:
        """Make what changed, then what tells of all of it."""
        folder = self.folders[0] if self.folders else ORDERS
        answering = Answering(Path(folder), self._shops, self.out, self._record, self._kept)
        answering.write(self._explain, wanted=self._is_whole)
        if answering.done:
            tell(answering.done)
        plan = self._planned(answering)
        changed = plan.changed()
        for path, why in changed.items():
            self._explain(f"{Path(path).as_posix()}: {why}.")
        if left is not None:
            left([self._record.made[path] for path in self.paths if path not in changed])
        found: dict[str, Found] = {}
        source = self._made(plan, list(changed), answering, crew)
        for result in self._in_order(plan, changed, source, only_changed=left is not None):
            if not result.is_unchanged:
                found[str(result.path)] = (result.faults, result.doubts)
            self._counts["faulty"] += bool(result.faults)
            yield result
        self._finish(plan, answering, found)

    def _in_order(
        self, plan: Plan, changed: Collection[str], source: Iterator[Result], *, only_changed: bool
    ) -> Iterator[Result]:
        """What became of each order, in their order; of those that changed only, where nothing else is wanted."""
        made: dict[str, Result] = {}
        for path in changed if only_changed else self.paths:
            while path in changed and path not in made:
                done = next(source)
                made[str(done.path)] = done
            yield made.pop(path) if path in changed else self._unchanged(path, plan)

    def _recall_program(self) -> None:
        """Spare looking into each file of the program where all of them look as at the last build."""
        look, newest_ns, known = self._swept.program.hex(), self._swept.program.newest_ns, self._record.program
        is_same = known.get("look") == look and not is_racy(newest_ns, self._record.at_ns)
        recall(known if is_same else {})
        self._record.program = {"look": look, **program_parts()}

    def _planned(self, answering: Answering) -> Plan:
        plan = Plan(self.paths, self.out, self._record, self.today, self._swept)
        for folder in self.folders:
            has_shop = (Path(folder) / SHOP_NAME).is_file()
            secret = read_or_make_secret(Path(folder)) if has_shop else b""
            plan.add_shelf(folder, secret, answering.titles if folder == self.folders[0] else "")
        return plan

    def _made(
        self, plan: Plan, changed: list[str], answering: Answering, crew: Callable[[int], Crew]
    ) -> Iterator[Result]:
        """What became of each order that is made anew: remakes first, here, then the others by the crew."""
        publisher = Publisher(plan, self._shops, self._record, self._shared(plan))
        first = replacing_first(changed, plan)
        rest = [path for path in changed if path not in set(first)]
        yield from self._by(HERE, first, plan, publisher, answering)
        yield from self._by(crew(len(rest)), rest, plan, publisher, answering)

    def _by(
        self, crew: Crew, paths: Sequence[str], plan: Plan, publisher: Publisher, answering: Answering
    ) -> Iterator[Result]:
        ready: list[str] = []
        for path in paths:
            try:
                need_order_file(Path(path))
                self._kit(folder_of(path), answering)
                ready.append(path)
            except OrderError as error:
                yield Result(Path(path), error.faults)
        for task, product in stream(crew, self._chunks(ready, crew.chunk, plan)):
            yield self._published(task, product, plan, publisher)

    def _published(self, task: Task, product: Product | None, plan: Plan, publisher: Publisher) -> Result:
        """Put a product in place; where the order has another number than it seemed to have, make it by that one."""
        if product and not product.result.faults and product.result.number != task.number:
            number, path = product.result.number, str(task.path)
            plan.seen[path] = replace(plan.file(path), number=number)
            task = plan.task(path, number)
            product = make_all(self._kits[folder_of(path)], [task])[0]
        return publisher.publish(task, product)

    def _chunks(self, paths: Sequence[str], size: int, plan: Plan) -> Iterator[tuple[bytes, list[Task]]]:
        for folder, group in groupby(paths, key=folder_of):
            together = list(group)
            for at in range(0, len(together), size):
                tasks = [plan.task(path, plan.number(path)) for path in together[at : at + size]]
                yield self._kits[folder], tasks

    def _kit(self, folder: str, answering: Answering) -> bytes:
        if folder not in self._kits:
            answers = answering.linked.answers if folder == self.folders[0] else ()
            self._kits[folder] = kit_of(Path(folder), self._shops, answers, self.today, self._kept)
        return self._kits[folder]

    def _shared(self, plan: Plan) -> dict[str, tuple[Path, ...]]:
        """Numbers that several files use; those that seem to are read for it."""
        return numbers_shared_by(sorted(map(Path, plan.contested)), self._shops) if plan.contested else {}

    def _unchanged(self, path: str, plan: Plan) -> Result:
        made = plan.made(path)
        if made is None:
            raise AssertionError("an order whose page stays was made before")
        retirement = Retirement(date.fromisoformat(made.due), made.why) if made.due else None
        stands = {"page": "", "away": ""}.get(made.stands, made.stands)
        standing = Standing(retirement, made.stands == "away", stands)
        page = self.out / "upload" / made.address / PAGE if standing.is_page else None
        file = Path(path)
        return Result(
            file, (), made.doubts, made.number, made.first_name, made.is_priced, page, None, standing, is_unchanged=True
        )

    def _finish(self, plan: Plan, answering: Answering, found: Mapping[str, Found]) -> None:
        """What tells of all orders: the answers that are gone, the desk, and the record."""
        answering.take_down()
        answering.look_again()
        self._write_desk(plan, found)
        self._record.kits.update({folder: shelf.parts for folder, shelf in plan.shelves.items()})
        plan.take_looks()
        self._record.at_ns = self._swept.at_ns
        write_record(self.out, self._record, self._head(answering))

    def _write_desk(self, plan: Plan, found: Mapping[str, Found]) -> None:
        from explain.site.desk.index_page import INDEX_NAME, write_desk  # noqa: PLC0415  slow to import

        plan.look_again(found, self._record)
        stay, made, others = set(self.paths) - set(found), [], []
        for path in plan.everything:
            is_as_made = path in stay or (not found.get(path, NOTHING)[0] and not plan.why_anew(path))
            one = plan.made(path) if is_as_made else None
            if one is not None:
                made.append(one)
            elif os.path.isfile(path) and is_text(path):
                others.append(Path(path))
        remakes = {Path(folder): shelf.remakes for folder, shelf in plan.shelves.items()}
        findings = {Path(path): findings for path, findings in found.items()}
        write_desk(self.out, made, others, findings, self._shop(), remakes)
        look_at_kept(plan.published, str(self.out), INDEX_NAME)

    def _shop(self) -> Shop | None:
        try:
            return self._shops.beside(Path(self.paths[0]))
        except OrderError:
            return None

    def _head(self, answering: Answering) -> dict[str, Any]:
        """What tells the next build at once whether anything changed at all, and what it then says."""
        made = [self._record.made[path] for path in self.paths if path in self._record.made]
        answers_are_known = bool(self._record.answers) and self._record.answers == answering.digest
        published = outputs(str(self.out)) if answering.done else self._swept.published
        saw_traces = all(trace in self._swept.shop.by_name for one in made for trace, _, _ in one.traces)
        return {
            "whole": self._is_whole and answers_are_known and saw_traces,
            "faulty": self._counts["faulty"],
            "orders": len(self.paths),
            "pages": sum(one.stands == "page" for one in made),
            "overlooked": len(overlooked(())),
            "warned": sum(bool(one.doubts) for one in made),
            "due": min((one.due for one in made if one.due and one.stands != "away"), default=""),
            "away_since": max((one.due for one in made if one.stands == "away"), default=""),
            "is_racy": self._swept.is_racy(),
            "inputs": self._swept.inputs(),
            "published": published.hex(),
        }


def lay_out(out: Path) -> None:
    """Put the files at the top of upload/ in place: a page that lists nothing, and what is said to hosts and robots."""
    changes = Transaction(out)
    for name, text in ALWAYS_THERE.items():
        changes.put(out / "upload" / name, text)
    changes.commit()


def _need_secrets(folders: Iterable[str], out: Path) -> None:
    """Raise SecretError where pages were built before and the secret of their links is gone."""
    for folder in sorted(map(Path, folders)):
        if not (folder / SECRET_NAME).exists() and has_pages_from(out / "private", folder):
            raise SecretError(lost_secret_text(folder))
