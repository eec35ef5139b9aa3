"""Compiled: our templates as Python code, kept where Python keeps its own, so that a new process need not make it."""

from __future__ import annotations

import hashlib
import marshal
import os
import sys
from contextlib import suppress
from importlib.util import cache_from_source
from pathlib import Path

import jinja2
from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

DIGEST_LENGTH = hashlib.sha256().digest_size


class CompiledTemplates(BytecodeCache):
    """Keeps the code of a template in `__pycache__` beside it, as Python does for a module.

    Whoever may write there could change the template as well. A file that is damaged, or of another version of
    anything, is written anew.

    settings: names what the code depends on besides the template, that is, how the environment is set.
    """

    def __init__(self, settings: str) -> None:
        self._settings = settings

    def get_cache_key(self, name: str, filename: str | None = None) -> str:  # noqa: ARG002  as jinja2 calls it
        """The template's own file, or "" for one that lies in none."""
        return filename or ""

    def load_bytecode(self, bucket: Bucket) -> None:
        """Give the bucket its code, if a whole file has it for just this template."""
        try:
            kept = _place(bucket).read_bytes()
        except (OSError, ValueError):
            return
        digest, code = kept[:DIGEST_LENGTH], kept[DIGEST_LENGTH:]
        if digest == self._digest(bucket, code):
            bucket.code = marshal.loads(code)  # noqa: S302  just as we wrote it, by its digest

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep the code of the bucket; where nothing may be written, nothing is kept."""
        if sys.dont_write_bytecode or bucket.code is None:
            return
        code = marshal.dumps(bucket.code)
        with suppress(OSError, ValueError):
            _write(_place(bucket), self._digest(bucket, code) + code)

    def _digest(self, bucket: Bucket, code: bytes) -> bytes:
        versions = f"{sys.version} {jinja2.__version__} {self._settings} {bucket.key} {bucket.checksum} "
        return hashlib.sha256(versions.encode() + code).digest()


def _place(bucket: Bucket) -> Path:
    """Where the code lies. Raises ValueError for a template that is in no file of its own."""
    if not bucket.key:
        raise ValueError("a template without a file")
    return Path(cache_from_source(bucket.key))


def _write(place: Path, kept: bytes) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    unfinished = place.with_name(f".{place.name}.{os.getpid()}.unfinished")
    try:
        unfinished.write_bytes(kept)
        unfinished.replace(place)
    finally:
        unfinished.unlink(missing_ok=True)
