"""Crash: what to say and to keep when the program itself is at fault, without a word of any customer in it."""

from __future__ import annotations

import platform
import sys
import tempfile
from datetime import UTC, datetime
from importlib import metadata
from pathlib import Path

from explain.site.engine.failure import told

STATUS = 70
"""Exit status for a fault of the program itself, as sysexits.h numbers it."""


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
    return "\n".join((*head, *told(error))) + "\n"
