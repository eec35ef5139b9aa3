"""Rebuild: which orders a change concerns, and what is known of all of them after building those anew."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path

from explain.order import OrderError, read_shop
from explain.site.build import build
from explain.site.preview import Shown
from explain.site.results import AnswersDone, Result
from explain.site.seal import key_part
from explain.site.shops import SHOP_NAME, order_files_in


class Workbench:
    """The orders of one folder, built once and then again as their files change."""

    def __init__(self, folder: Path, out: Path, today: Callable[[], date]) -> None:
        self.folder, self.out, self._today = folder, out, today
        self._results: dict[Path, Result] = {}
        self._answers: AnswersDone | None = None

    def orders(self) -> list[Path]:
        """The order files that are there now."""
        return [Path(file) for file in order_files_in(str(self.folder))]

    def concerned(self, changed: Iterable[Path]) -> list[Path]:
        """The orders to build anew: those that changed, or all where the shop, its own words or a trace did."""
        orders, names = self.orders(), {path.resolve() for path in changed}
        those = [path for path in orders if path.resolve() in names]
        return those if {path.resolve() for path in those} == names else orders

    def build(self, orders: list[Path], *, all_answers: bool) -> list[Result]:
        """Build these orders, and keep what became of each. Raises as a build does."""
        done = list(build(orders, self.out, all_answers=all_answers, tell=self._keep_answers, today=self._today()))
        self._results.update((result.path, result) for result in done)
        return done

    def shown(self) -> Shown:
        """What there is to show of all orders that are there now."""
        there = set(self.orders())
        self._results = {path: result for path, result in self._results.items() if path in there}
        answers = self._answers.read.faults if self._answers else ()
        faults = [str(fault) for path in sorted(self._results) for fault in self._results[path].faults]
        return Shown(
            {
                result.number: f"/{result.page.parent.name}/index.html{self._key_part(result.number)}"
                for result in self._results.values()
                if result.number and result.page
            },
            (*dict.fromkeys([*faults, *map(str, answers)]),),
        )

    def _key_part(self, number: str) -> str:
        """The end of the link of a sealed page; empty while the shop file has faults."""
        try:
            return key_part(read_shop(self.folder / SHOP_NAME), number)
        except OrderError:
            return ""

    def _keep_answers(self, done: AnswersDone) -> None:
        self._answers = done
