"""Failure: where the program failed, without a word of any customer, also when it failed in another process."""

from __future__ import annotations

import traceback
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[2]


class FailedThereError(Exception):
    """Stands as the cause of an error that came from another process. lines: what `told` said there."""

    def __init__(self, lines: list[str]) -> None:
        super().__init__("\n".join(lines))
        self.lines = lines


def told(error: BaseException) -> list[str]:
    """The kind of an error and of each behind it, with the places in the code; not what they say, which may quote."""
    lines: list[str] = []
    shown: BaseException | None = error
    while shown is not None:
        if isinstance(shown, FailedThereError):
            lines += ["", "in another process:", *shown.lines]
        else:
            lines += ["", type(shown).__qualname__, *_places(shown)]
        shown = shown.__cause__ or shown.__context__
    return lines


def _places(error: BaseException) -> list[str]:
    """Each line of code on the way to an error, by module and number alone."""
    return [
        f"  {_module(frame.filename)}:{frame.lineno} {frame.name}"
        for frame in traceback.extract_tb(error.__traceback__)
    ]


def _module(filename: str) -> str:
    """A file of ours from the top of the package; of others only the last folders, which name no user."""
    path = Path(filename)
    inside = path.is_relative_to(PACKAGE)
    return path.relative_to(PACKAGE.parent).as_posix() if inside else "/".join(path.parts[-2:])
