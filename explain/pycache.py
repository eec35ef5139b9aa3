"""Pycache: what is made from a file of ours, kept where Python keeps its code, so that a new process need not make it.

Whoever may write there could change the file as well. What is damaged, or of another version of anything, is made anew.
"""

from __future__ import annotations

import hashlib
import os
import sys
from contextlib import suppress
from importlib.util import cache_from_source
from pathlib import Path

DIGEST_LENGTH = hashlib.sha256().digest_size


def kept(source: Path, made_from: bytes) -> bytes | None:
    """What was made from a file; None where it is not there, is damaged, or was made from something else.

    made_from: everything that it depends on. The version of Python always counts.
    """
    try:
        whole = _place(source).read_bytes()
    except OSError:
        return None
    digest, data = whole[:DIGEST_LENGTH], whole[DIGEST_LENGTH:]
    return data if digest == _digest(made_from, data) else None


def keep(source: Path, made_from: bytes, data: bytes) -> None:
    """Keep what was made from a file; where nothing may be written, nothing is kept."""
    if sys.dont_write_bytecode:
        return
    with suppress(OSError):
        _write(_place(source), _digest(made_from, data) + data)


def _digest(made_from: bytes, data: bytes) -> bytes:
    return hashlib.sha256(b" ".join((sys.version.encode(), made_from, data))).digest()


def _place(source: Path) -> Path:
    return Path(cache_from_source(str(source)))


def _write(place: Path, whole: bytes) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    unfinished = place.with_name(f".{place.name}.{os.getpid()}.unfinished")
    try:
        unfinished.write_bytes(whole)
        unfinished.replace(place)
    finally:
        unfinished.unlink(missing_ok=True)
