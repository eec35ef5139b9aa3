"""Values of a trace file beside its outline: right and left, one for both, or not known."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from explain.order.faults import Findings, Remark
from explain.order.numbers import cut
from explain.order.trace_records import NOT_KNOWN, Record, number_in


class Sided(Struct, frozen=True):
    """What a label says about the right and the left eye. is_one: one value stands for both. line: 0 when absent."""

    line: int = 0
    right: float | None = None
    left: float | None = None
    is_one: bool = False

    def of(self, side: str) -> float | None:
        """The value of a side, "right" or "left"."""
        return self.right if side == "right" else self.left

    @property
    def any(self) -> float | None:
        """The value of a label that holds for the whole frame."""
        return self.left if self.right is None else self.right


class Values:
    """The values of a file by label. Text where a number belongs, or two different answers, become doubts."""

    def __init__(self, records: Iterable[Record], findings: Findings) -> None:
        self._findings = findings
        self._by_label: dict[str, list[Record]] = {}
        self._known: dict[str, Sided] = {}
        for record in records:
            self._by_label.setdefault(record.label, []).append(record)

    def numbers(self, label: str) -> Sided:
        """What a label says. A label that is repeated keeps its first meaning, unless that was "not known"."""
        if label not in self._known:
            self._known[label] = self._first(label)
        return self._known[label]

    def sizes(self, label: str) -> Sided:
        """What a label says about a size [mm]; nought is written by some programs for "not known"."""
        said = self.numbers(label)
        return Sided(said.line, said.right or None, said.left or None, said.is_one)

    def has_two_answers(self, label: str) -> bool:
        """True for a label that is repeated with other values, so that it is not sure which ones count."""
        found = [
            (said.right, said.left)
            for one in self._by_label.get(label, ())
            if (said := self._read(one)).any is not None
        ]
        return len(set(found)) > 1

    def places(self, label: str) -> int:
        """How many decimal places a label is written with; 0 when it is absent."""
        records = self._by_label.get(label, [])
        return max((len(value.partition(".")[2]) for record in records for value in record.values), default=0)

    def _first(self, label: str) -> Sided:
        found = [sided for record in self._by_label.get(label, ()) if (sided := self._read(record)).any is not None]
        if any((one.right, one.left) != (found[0].right, found[0].left) for one in found):
            message = f"{label} stands in the file more than once, with different values"
            remark = Remark(message, "Each label stands once.", f"The one on line {found[0].line} was used.")
            self._findings.doubt("", found[-1].line, remark)
        return found[0] if found else Sided()

    def _read(self, record: Record) -> Sided:
        right = self._number(record, record.values[0])
        if len(record.values) == 1:
            return Sided(record.line, right, right, is_one=True)
        return Sided(record.line, right, self._number(record, record.values[1]))

    def _number(self, record: Record, text: str) -> float | None:
        number = number_in(text)
        if number is None and text not in NOT_KNOWN:
            message = f"{record.label} cannot be read: {cut(text)}"
            remark = Remark(message, "It is a number, or ? where it is not known.", "It was passed over.")
            self._findings.doubt("", record.line, remark)
        return number
