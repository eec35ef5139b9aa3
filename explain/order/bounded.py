"""Bounded: the bytes of a plain file, never more than asked for, and never a wait for something that is no file."""

from __future__ import annotations

import os
import stat
from pathlib import Path

AT_ONCE = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_BINARY", 0)
"""Open without waiting: a pipe that nobody writes to would wait for ever."""


class NoFileError(OSError):
    """A folder, a pipe or a device stands where a file belongs."""


def bytes_of(path: Path, most: int) -> bytes:
    """The first bytes of a file; more than `most` of them, by one, only where the file is larger.

    Raises NoFileError for what is no plain file, and OSError or ValueError for what cannot be opened.
    """
    descriptor = os.open(path, AT_ONCE)
    try:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise NoFileError(f"{path} is no file")
        with os.fdopen(descriptor, "rb", closefd=False) as file:
            return file.read(most + 1)
    finally:
        os.close(descriptor)


def leads_out(path: Path) -> bool:
    """True for a link to something outside the folder that the link lies in. Raises OSError for one in a circle."""
    return path.is_symlink() and not path.resolve(strict=False).is_relative_to(path.parent.resolve())
