"""Earlier: texts of an order that take long to make and seldom change, such as its QR code, made once and kept.

They are noted with the order in private/, each with a digest of what it was made from. The program and its libraries
always count, so that a page is the same whether its texts were kept or made.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from types import MappingProxyType

from msgspec import Struct

NONE: Mapping[str, Text] = MappingProxyType({})


class Text(Struct, frozen=True):
    """One text, and a digest of what it was made from."""

    made_from: str
    text: str


class Earlier:
    """The texts that an earlier build noted of an order, and those of now. program: digest of it and its libraries."""

    def __init__(self, noted: Mapping[str, Text] = NONE, program: str = "") -> None:
        self._noted, self._program = noted, program
        self.now: dict[str, Text] = {}

    def text(self, name: str, made_from: object, make: Callable[[], str]) -> str:
        """The text of this name: as noted where it was made from the same, else made now.

        made_from: all that it depends on, as plain values or records of them.
        """
        digest = hashlib.blake2b(f"{self._program}\0{made_from!r}".encode(), digest_size=16).hexdigest()
        noted = self._noted.get(name)
        kept = noted if noted is not None and noted.made_from == digest else Text(digest, make())
        self.now[name] = kept
        return kept.text
