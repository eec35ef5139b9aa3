"""Eyes read one by one from a source that names its values, gathered into what an order says."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from explain.draft.eye_lines import add_value, eye_line, mixed_forms
from explain.draft.taken import Taken, Value
from explain.order.additions import adds_differ, read_add
from explain.order.faults import Remark, UnclearError
from explain.order.typed import TypedEye, read_eye

Read = TypeVar("Read")


class Gathered:
    """Values, questions, warnings and notes as they are found; taken() hands them over."""

    def __init__(self) -> None:
        self.values: dict[str, Value] = {}
        self.questions: dict[str, Remark] = {}
        self.warnings: list[Remark] = []
        self.notes: list[str] = []
        self._eyes: dict[str, TypedEye] = {}
        self._adds: dict[str, float] = {}

    def attempt(self, path: str, read: Callable[[], Read]) -> Read | None:
        """What read() gives; what must not be guessed at becomes a question at the path."""
        try:
            return read()
        except UnclearError as unclear:
            self.questions[path] = unclear.remark
            return None

    def eye(self, side: str, line: Callable[[], str]) -> None:
        """Read the line of one eye, as line() makes it."""
        path, whose = f"prescription.{side}", f"the {side} eye"
        eye = self.attempt(path, lambda: read_eye(line(), whose, side))
        if eye is not None:
            self._eyes[side] = eye
            self.values[path] = eye_line(eye)
            self.warnings += eye.remarks

    def add(self, side: str, text: str) -> None:
        """Read the addition of one eye."""
        read = self.attempt("prescription.add", lambda: read_add(text, f"the {side} eye"))
        if read is not None and read[0]:
            self._adds[side] = read[0]
        self.warnings += read[1] if read is not None else ()

    def taken(self) -> Taken:
        """All that was gathered, with what looks odd about both eyes together."""
        adds = add_value(self._adds)
        values = self.values if adds is None else {**self.values, "prescription.add": adds}
        differ = (
            [adds_differ(f"{self._adds['right']:.2f}", f"{self._adds['left']:.2f}")]
            if len(set(self._adds.values())) > 1
            else []
        )
        warnings = (*self.warnings, *differ, *mixed_forms(self._eyes.values()))
        return Taken(
            {path: value for path, value in values.items() if path not in self.questions},
            self.questions,
            warnings,
            tuple(self.notes),
        )
