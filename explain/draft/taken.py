"""What was taken from a source: values for keys of the order, what must be asked, what to look at."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct, field
from msgspec.structs import replace

from explain.order.faults import Remark

SIDES = ("right", "left")

Value = str | tuple["Value", ...] | Mapping[str, "Value"]
"""A value as it will stand in the order: text, a list, or names with values."""


class DraftError(Exception):
    """A draft that cannot be started or written, in words: what it is, what is allowed, what to do."""


class Taken(Struct, frozen=True):
    """Values by the dotted path of their key (explain/data/keys.yaml), as they will be typed into the order.

    questions: what must not be guessed at, by the path it is about. warnings: what was read and looks odd. notes: what
    was left out or changed, in sentences.
    """

    values: Mapping[str, Value] = field(default_factory=dict)
    questions: Mapping[str, Remark] = field(default_factory=dict)
    warnings: tuple[Remark, ...] = ()
    notes: tuple[str, ...] = ()

    def text(self, path: str) -> str | None:
        """The value of a path where it is one text."""
        value = self.values.get(path)
        return value if isinstance(value, str) else None

    def over(self, earlier: Taken) -> Taken:
        """Both together; where both know a path, or ask about it, this one counts."""
        mine = {*self.values, *self.questions}
        kept = {path: value for path, value in earlier.values.items() if path not in mine}
        asked = {path: remark for path, remark in earlier.questions.items() if path not in mine}
        return Taken(
            {**kept, **self.values},
            {**asked, **self.questions},
            _once((*earlier.warnings, *self.warnings)),
            tuple(dict.fromkeys((*earlier.notes, *self.notes))),
        )

    def with_warnings(self, more: Iterable[Remark]) -> Taken:
        """The same with more to look at."""
        return replace(self, warnings=_once((*self.warnings, *more)))


def _once(remarks: Iterable[Remark]) -> tuple[Remark, ...]:
    return tuple(dict.fromkeys(remarks))
