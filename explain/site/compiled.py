"""Compiled: our templates as Python code, kept so that a new process need not make it."""

from __future__ import annotations

import marshal
from pathlib import Path

import jinja2
from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

from explain.pycache import keep, kept


class CompiledTemplates(BytecodeCache):
    """Keeps the code of each template beside it.

    settings: names what the code depends on besides the template, that is, how the environment is set.
    """

    def __init__(self, settings: str) -> None:
        self._settings = settings

    def get_cache_key(self, name: str, filename: str | None = None) -> str:  # noqa: ARG002  as jinja2 calls it
        """The template's own file, or "" for one that lies in none."""
        return filename or ""

    def load_bytecode(self, bucket: Bucket) -> None:
        """Give the bucket its code, if a whole file has it for just this template."""
        code = kept(Path(bucket.key), self._made_from(bucket)) if bucket.key else None
        if code is not None:
            bucket.code = marshal.loads(code)  # noqa: S302  just as we wrote it, by its digest

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep the code of the bucket."""
        if bucket.key and bucket.code is not None:
            keep(Path(bucket.key), self._made_from(bucket), marshal.dumps(bucket.code))

    def _made_from(self, bucket: Bucket) -> bytes:
        return f"{jinja2.__version__} {self._settings} {bucket.key} {bucket.checksum}".encode()
