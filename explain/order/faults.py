"""What is wrong with a file, or looks odd: where, what, what is allowed and what to type."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import ClassVar, NoReturn

from msgspec import Struct

from explain.order.limits import DOCUMENT_FAULTS

LONGEST_EXCERPT = 110


class Finding(Struct, frozen=True):
    """One thing the optician should look at, and where it stands. line counts from 1; 0 means the file as a whole."""

    label: ClassVar[str] = ""

    file: str
    line: int
    key: str
    message: str
    excerpt: str
    allowed: str
    advice: str

    def __str__(self) -> str:
        """The finding as it is shown: position and message, the line itself, what is allowed, what to do."""
        position = f"{self.file}:{self.line}:" if self.line else f"{self.file}:"
        shown = f"{self.line:>5} | {self.excerpt}" if self.line else ""
        return "\n".join(
            part for part in (f"{position}{self.label} {self.message}", shown, self.allowed, self.advice) if part
        )


class Fault(Finding, frozen=True):
    """Something that stops the order: nothing is built from it until it is put right."""


class Doubt(Finding, frozen=True):
    """Something that was read, but looks improbable: the page is built, and the optician is asked to look."""

    label: ClassVar[str] = " warning:"


class OrderError(Exception):
    """A file that cannot be used, with every fault found in it, sorted by line."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: fault.line))
        super().__init__("\n\n".join(str(fault) for fault in self.faults))


class Remark(Struct, frozen=True):
    """What a finding says, before it is known where it stands. kind groups remarks that a caller may drop."""

    message: str
    allowed: str
    advice: str
    kind: str = ""


class UnclearError(Exception):
    """Text that must not be guessed at; the remark says what is missing."""

    def __init__(self, message: str, allowed: str, advice: str) -> None:
        self.remark = Remark(message, allowed, advice)
        super().__init__(message)


class Findings:
    """Gathers the faults and doubts of one file, with its lines at hand for the excerpts."""

    def __init__(self, file: str, lines: Sequence[str] = ()) -> None:
        self.file = file
        self.lines = lines
        self.places: Mapping[str, int] = {}
        self._faults: list[Fault] = []
        self._doubts: list[Doubt] = []

    def fault(self, key: str, line: int, remark: Remark) -> None:
        """Note a fault at a line. Raises OrderError where there are so many that the file is no order at all."""
        if len(self._faults) == DOCUMENT_FAULTS:
            message, allowed = (
                f"there are more than {DOCUMENT_FAULTS} faults",
                "The rest of the file was not looked at.",
            )
            advice = "Check that this is the right file. Put the first ones right, then check again."
            self._faults.append(Fault(self.file, 0, "", message, "", allowed, advice))
            raise OrderError(self._faults)
        self._faults.append(
            Fault(self.file, line, key, remark.message, self.excerpt(line), remark.allowed, remark.advice)
        )

    def stop(self, line: int, remark: Remark) -> NoReturn:
        """Note a fault after which nothing more can be read, and raise OrderError."""
        self.fault("", line, remark)
        raise OrderError(self._faults)

    def doubt(self, key: str, line: int, remark: Remark) -> None:
        """Note a doubt at a line."""
        self._doubts.append(
            Doubt(self.file, line, key, remark.message, self.excerpt(line), remark.allowed, remark.advice)
        )

    def line_of(self, key: str) -> int:
        """The line where a key stands; for one that is not written, the line of the group it would be in."""
        while key and key not in self.places:
            key = key.rpartition(".")[0]
        return self.places.get(key, 1)

    @property
    def count(self) -> int:
        """How many faults were noted so far."""
        return len(self._faults)

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """All doubts, sorted by line."""
        return tuple(sorted(self._doubts, key=lambda doubt: doubt.line))

    def raise_if_faulty(self) -> None:
        """Raise OrderError with every fault noted so far, if there is one."""
        if self._faults:
            raise OrderError(self._faults)

    def excerpt(self, line: int) -> str:
        """The text of a line as it is shown; empty for a line that is not there."""
        if not 0 < line <= len(self.lines):
            return ""
        text = "".join(character if character.isprintable() else " " for character in self.lines[line - 1].rstrip())
        return text if len(text) <= LONGEST_EXCERPT else text[: LONGEST_EXCERPT - 3] + "..."
