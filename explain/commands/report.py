"""Report: what became of many orders, by kind on the terminal and as JSON in a file."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from explain.site.report import Kind
    from explain.site.results import AnswersDone, Result

NAMED = 5


def write(to: Path | None, command: str, results: Sequence[Result], answers: Sequence[AnswersDone]) -> bool:
    """Write the report where one was asked for; False where it cannot be written, which is then said."""
    from explain.site.publish import write_whole
    from explain.site.report import report_text

    if to is None:
        return True
    if refused := _refused(to):
        print(refused, "Name another file:   --report report.json", sep="\n", file=sys.stderr)
        return False
    try:
        write_whole(to, report_text(command, results, answers))
    except OSError as error:
        print(f"{to.as_posix()}: the report cannot be written there ({error.strerror or error}).", file=sys.stderr)
        print("Name a file that you may write to:   --report report.json", file=sys.stderr)
        return False
    return True


def _refused(to: Path) -> str:
    """Say why nothing is written there, for a file that is no report, or one that goes to the web host."""
    from explain.site.publish import published_folder

    if published_folder(to.parent) is not None:
        return f"{to}: this folder goes to your web host, and a report names your orders."
    if to.is_file():
        with to.open("rb") as file:
            is_ours = file.read(1) in (b"{", b"")
        return "" if is_ours else f"{to}: this file is there already and is no report; it stays as it is."
    return ""


def say_by_kind(results: Sequence[Result]) -> None:
    """Tell the findings of many orders: the first of each kind in full, then how many more there are, and where."""
    from explain.site.report import kinds

    for kind in kinds(results):
        print(f"\n{kind.findings[0]}", file=sys.stderr)
        if more := _more_text(kind):
            print(more, file=sys.stderr)


def _more_text(kind: Kind) -> str:
    """Say which other files have the same; empty where none has."""
    others = [Path(name).name for name in kind.files[1:]]
    if not others:
        return ""
    unnamed = len(others) - NAMED
    named = ", ".join(others[:NAMED]) + (f" and {unnamed} more; --report FILE names all" if unnamed > 0 else "")
    return f"The same in {len(others)} other {'order' if len(others) == 1 else 'orders'}: {named}."
