"""Crash: what to say and to keep when the program itself is at fault, without a word of any customer in it."""

from __future__ import annotations

import platform
import sys
import tempfile
import traceback
from datetime import UTC, datetime
from importlib import metadata
from pathlib import Path

STATUS = 70
"""Exit status for a fault of the program itself, as sysexits.h numbers it."""
PACKAGE = Path(__file__).resolve().parents[1]


def say_crashed(error: Exception, command: str) -> int:
    """Write the report, say where it is, and give the exit status."""
    path = write_report(error, command)
    where = f"A report lies in {path}. It holds no word of an order." if path else "No report of it could be written."
    print(
        f"\nThe program itself failed ({type(error).__name__}); nothing is wrong with your orders.\n"
        f"{where}\n"
        "Pages published earlier stay as they were. Please send the report to whoever looks after the program.",
        file=sys.stderr,
    )
    return STATUS


def write_report(error: Exception, command: str) -> Path | None:
    """Write a report into the system's folder for such files; None where that cannot be done."""
    try:
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", prefix="explain-crash-", suffix=".txt", delete=False
        ) as file:
            file.write(report_text(error, command))
    except OSError:
        return None
    return Path(file.name)


def report_text(error: BaseException, command: str) -> str:
    """Where the program failed: versions, kinds of error and lines. What errors say is left out: it may quote."""
    head = [
        f"explain {metadata.version('order-explainer')}, command {command}, {datetime.now(tz=UTC):%Y-%m-%d %H:%M} UTC",
        f"Python {platform.python_version()} on {platform.system()} {platform.machine()}",
    ]
    chain: list[str] = []
    shown: BaseException | None = error
    while shown is not None:
        chain += ["", type(shown).__qualname__, *_places(shown)]
        shown = shown.__cause__ or shown.__context__
    return "\n".join((*head, *chain)) + "\n"


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
