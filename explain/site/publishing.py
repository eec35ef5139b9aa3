"""Publishing: what was made of an order put in place, unless something about it stands against that."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from msgspec.structs import replace

from explain.site.engine.record import Made, Record, add_to_record
from explain.site.engine.sweep import signature_of
from explain.site.engine.transaction import Transaction
from explain.site.findings import cannot_write, never_made, same_number
from explain.site.making import PAGE, Product, Task
from explain.site.notices import KEPT, put_notice
from explain.site.owners import other_owner
from explain.site.plan import Plan
from explain.site.results import Result
from explain.site.retired import RECORD as RETIRED
from explain.site.retired import read_retirement, retirement_text
from explain.site.shops import Shops
from explain.site.survey import NO_LOOK, folder_of, is_sure


class Publisher:
    """Puts products in place, one order at a time, and records each."""

    def __init__(self, plan: Plan, shops: Shops, record: Record, shared: Mapping[str, tuple[Path, ...]]) -> None:
        self._plan, self._shops, self._record, self._shared = plan, shops, record, shared
        self._out = plan.out

    def publish(self, task: Task, product: Product | None) -> Result:
        """Put what was made of an order in place. Where the disk refuses, that is a fault of this order alone."""
        if product is None:
            return Result(task.path, (never_made(task.path),))
        result = self._judged(product.result)
        if result.faults:
            return result
        changes = Transaction(self._out)
        try:
            self._lay_out(changes, task, product)
            changes.commit()
        except OSError as error:
            if error.errno is None:  # not the disk's: a bug of ours keeps its traceback
                raise
            changes.drop()
            return result.with_fault(cannot_write(task.path, error))
        for number, address in task.older:
            self._plan.look_now(address, number)
        self._note(task, product)
        return replace(result, page=self._folder(task.address) / PAGE) if result.standing.is_page else result

    def _judged(self, result: Result) -> Result:
        """The same with a fault where its number belongs to another file as well."""
        if result.faults:
            return result
        for path in self._shared.get(result.number.casefold(), ()):
            if path != result.path:
                return result.with_fault(same_number(result.path, result.number, path))
        shop = self._shops.beside(result.path)
        owner = other_owner(self._out / "private", result.number, result.path, shop)
        return result.with_fault(same_number(result.path, result.number, owner)) if owner else result

    def _lay_out(self, changes: Transaction, task: Task, product: Product) -> None:
        standing, private = product.result.standing, self._out / "private"
        if product.notice:
            put_notice(changes, self._folder(task.address), private / task.number / KEPT, product.notice)
        if standing.is_away and standing.retirement and standing.retirement != read_retirement(private, task.number):
            changes.put(private / task.number / RETIRED, retirement_text(standing.retirement))
        _lay(changes, private / task.number, product.private)
        _lay(changes, self._folder(task.address), product.upload)
        for number, address in task.older:
            if number in product.older:
                put_notice(changes, self._folder(address), private / number / KEPT, product.older[number])

    def _folder(self, address: str) -> Path:
        return self._out / "upload" / address

    def _note(self, task: Task, product: Product) -> None:
        """Record what was made, by the look that its file had before it was read."""
        path = str(task.path)
        result, seen = product.result, self._plan.file(path)
        standing = result.standing
        made = Made(
            path=path,
            look=seen.look if seen.digest == product.read_digest else NO_LOOK,
            digest=product.read_digest,
            kit=self._plan.shelves[folder_of(path)].digest,
            relation=self._plan.relation(path, task.number),
            number=task.number,
            first_name=result.first_name,
            address=task.address,
            stands="away" if standing.is_away else standing.led_to or "page",
            due=standing.retirement.on.isoformat() if standing.retirement else "",
            why=standing.retirement.why if standing.retirement else "",
            published=self._plan.look_now(task.address, task.number),
            ordered_on=product.ordered_on,
            is_priced=result.is_priced,
            replaces=bool(seen.text),
            traces=tuple((str(trace), self._look_of(str(trace)), digest) for trace, digest in product.traces),
            doubts=result.doubts,
        )
        self._record.take(made)
        add_to_record(self._out, self._record.lines[made.path])

    def _look_of(self, trace: str) -> str:
        look = signature_of(trace)
        return look if is_sure(look, self._plan.at_ns) else NO_LOOK


def _lay(changes: Transaction, folder: Path, files: Mapping[str, bytes | None]) -> None:
    for name, data in files.items():
        if data is None:
            changes.remove(folder / name)
        else:
            changes.put(folder / name, data)
