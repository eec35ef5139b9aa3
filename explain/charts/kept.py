"""Kept: fixed halves of charts on disk, so that a new process need neither draw them nor import matplotlib.

A file is found by a digest of all that its frame depends on: which frame, what it was asked for (axis ends, words and
so the language), the source of this package (colours, sizes) and matplotlib's version. Nothing in it is of a person.
"""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable
from contextlib import suppress
from functools import cache, wraps
from hashlib import blake2b
from importlib.util import find_spec
from pathlib import Path
from typing import ParamSpec

from explain.charts.frame import Frame, Scale

MOST_FILES = 400
"""A frame takes 1 to 6 kB; beyond this many the oldest quarter goes."""
_SOURCE = Path(__file__).parent
FRAME = ".frame"
_UNFINISHED = ".new"

Asked = ParamSpec("Asked")


class _Store:
    """Where frames are kept in this process."""

    folder: Path | None = None


def keep_in(folder: Path | None) -> None:
    """Keep the frames that this process draws in a folder, and look there first; None: keep them in memory only.

    The folder is made when the first frame is. Any number of processes may use it at once.
    """
    _Store.folder = folder


def kept(draw: Callable[Asked, Frame]) -> Callable[Asked, Frame]:
    """Look a frame up on disk before it is drawn. What it is drawn from must all be in its arguments, as plain values.

    A file that is damaged or cannot be read counts as none; a folder that cannot be written to is left alone.
    """

    @wraps(draw)
    def found_or_drawn(*args: Asked.args, **named: Asked.kwargs) -> Frame:
        folder = _Store.folder
        if folder is None:
            return draw(*args, **named)
        path = folder / _name(f"{draw.__module__}.{draw.__qualname__}", repr((args, named)))
        found = _read(path)
        if found is None:
            found = draw(*args, **named)
            with suppress(OSError):
                _write(path, found)
        return found

    return found_or_drawn


def _name(frame: str, asked: str) -> str:
    return _digest(f"{frame}\0{asked}\0{_stamp()}".encode()) + FRAME


@cache
def _stamp() -> str:
    """Digest of what every frame depends on: the source of the charts, and the version of what draws them."""
    source = b"\0".join(path.read_bytes() for path in sorted(_SOURCE.glob("*.py")))
    return _digest(source + _matplotlib())


def _matplotlib() -> bytes:
    """What tells matplotlib's version; where that can be, without importing it or what reads versions."""
    spec = find_spec("matplotlib")
    told = Path(spec.origin).with_name("_version.py") if spec and spec.origin else None
    if told is not None and told.is_file():
        return told.read_bytes()
    from importlib.metadata import version  # noqa: PLC0415  as long to import as a page takes to make

    return version("matplotlib").encode()


def _read(path: Path) -> Frame | None:
    """The frame in a file; None where there is none or it is not whole."""
    try:
        digest, _, body = path.read_bytes().partition(b"\n")
    except OSError:
        return None
    if digest.decode("ascii", "replace") != _digest(body):
        return None
    markup, height, x, y = json.loads(body)
    return Frame(markup, height, Scale(*x), Scale(*y))


def _write(path: Path, frame: Frame) -> None:
    """Put a whole file in place at once, then see that there are not too many."""
    scales = [[scale.per_unit, scale.offset] for scale in (frame.x, frame.y)]
    body = json.dumps([frame.markup, frame.height, *scales]).encode()
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, unfinished = tempfile.mkstemp(suffix=_UNFINISHED, dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(_digest(body).encode() + b"\n" + body)
        Path(unfinished).replace(path)
    finally:
        Path(unfinished).unlink(missing_ok=True)
    _drop_oldest(path.parent)


def _drop_oldest(folder: Path) -> None:
    """Keep the newest three quarters of the files where there are too many; what a process left unfinished goes too."""
    files = [(path.stat().st_mtime_ns, path) for path in folder.iterdir() if path.suffix in {FRAME, _UNFINISHED}]
    if len(files) > MOST_FILES:
        for _, path in sorted(files)[: len(files) - MOST_FILES * 3 // 4]:
            path.unlink(missing_ok=True)


def _digest(data: bytes) -> str:
    return blake2b(data, digest_size=16).hexdigest()
