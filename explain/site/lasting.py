"""Lasting: bytes and names handed to the disk, so that not even a power cut takes them back."""

from __future__ import annotations

import os
from pathlib import Path


def write_lasting(path: Path, data: bytes) -> None:
    """Write a file and wait until the disk has it. Raises OSError, and then leaves no file."""
    try:
        with path.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except OSError:
        path.unlink(missing_ok=True)
        raise


def keep_names(folder: Path) -> None:
    """Have the disk keep the names in a folder; systems that cannot open one (Windows) do so by themselves."""
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
