"""Lock: one build at a time in a folder. The system lets go of it when a build ends, however it ends."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from explain.site.publish import FolderError

LOCK = ".building"
HOLDER = ".building-by"


@contextmanager
def only_one(out: Path, patience_s: float = 0.0) -> Iterator[None]:
    """Hold the build folder while inside. Raises FolderError where another build holds it for longer than patience."""
    private = out / "private"
    lock = FileLock(private / LOCK, timeout=patience_s)
    try:
        lock.acquire()
    except Timeout:
        raise FolderError(_taken(out, private / HOLDER)) from None
    try:
        (private / HOLDER).write_text(f"{os.getpid()}\n", encoding="ascii")
        yield
    finally:
        (private / HOLDER).unlink(missing_ok=True)
        lock.release()


def _taken(out: Path, holder: Path) -> str:
    try:
        process = holder.read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        process = ""
    who = f"process {process}" if process.isdigit() else "another process"
    return (
        f"{out.as_posix()}: another build is writing there ({who}), so this one wrote nothing.\n"
        "Two builds at once could mix their pages.\n"
        "Wait until the other one is done, then build again; or name another folder:   --out FOLDER"
    )
