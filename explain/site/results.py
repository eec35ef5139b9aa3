"""Results: what became of an order, and of the answers for everyone. Small enough to keep by the thousand."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from explain.order.faults import Doubt, Fault
from explain.order.model import Order
from explain.site.standing import STANDING, Standing

if TYPE_CHECKING:
    from explain.site.faq import Answers
    from explain.story.advice import Advice


class Result(Struct, frozen=True):
    """What became of one order.

    number, first_name: empty where the order has faults. is_priced: its bill has lines. page: None when it was only
    checked, has faults, or something else stands in its place. advice: for one not yet made. is_unchanged: its page was
    left as it was, since nothing that goes into it changed.
    """

    path: Path
    faults: tuple[Fault, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    number: str = ""
    first_name: str = ""
    is_priced: bool = True
    page: Path | None = None
    advice: Advice | None = None
    standing: Standing = STANDING
    is_unchanged: bool = False

    def with_fault(self, fault: Fault) -> Result:
        """The same with one fault more, and so without a page."""
        return replace(self, faults=(*self.faults, fault), page=None)


def result_of(path: Path, order: Order, faults: tuple[Fault, ...], doubts: tuple[Doubt, ...]) -> Result:
    """What became of an order that could be read."""
    return Result(path, faults, doubts, order.number, order.first_name, bool(order.bill.lines))


class AnswersDone(Struct, frozen=True):
    """What became of the answers for everyone. written: how many pages there are now; None: they were only checked."""

    read: Answers
    written: int | None = None
