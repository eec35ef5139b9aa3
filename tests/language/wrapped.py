"""A catalogue that wraps every sentence in «», so that a text which never met a catalogue stands out."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from gettext import NullTranslations
from pathlib import Path
from typing import Any
from unittest.mock import patch

from msgspec import Struct

from explain.language import Language, speaking
from explain.order import read_order, read_shop
from explain.order.model import Order, Shop
from explain.story.pair import Pair, work_out
from tests.story.invented import sayings

LOCALE = "es_ES"
NOT_SAID = frozenset({"kind", "id", "nose_side"})
NOT_SAID_OF = frozenset({("Prose", "name"), ("SightPicture", "rows"), ("Sketch", "name"), ("Step", "leads_to")})
"""Fields of blocks and drawings that no reader meets, or that are letters to look at."""
SAME_EVERYWHERE = re.compile(r"(?<![^\W\d_])(?:mm|cm|m|g|nm|°[CF]|US\$)(?![^\W\d_])")
"""Units and signs that are written alike in every language, as whole words."""
_INNERMOST = re.compile(r"«[^«»]*»")
_FILLED_IN = re.compile(r"(\{\w+\})")
_LETTER = re.compile(r"[^\W\d_]")


class Wrapping(NullTranslations):
    """Translates each sentence into itself in «»."""

    def wrapped(self, message: str) -> str:
        return _wrap(message)

    def gettext(self, message: str) -> str:
        return self.wrapped(message)

    def pgettext(self, context: str, message: str) -> str:  # noqa: ARG002  the same wrapping in every context
        return self.wrapped(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.wrapped(msgid1 if n == 1 else msgid2)


class WrappingAround(Wrapping):
    """Wraps the words of a sentence, but not what is filled in: that has to come from a catalogue itself."""

    def wrapped(self, message: str) -> str:
        parts = _FILLED_IN.split(message)
        return "".join(part if _FILLED_IN.fullmatch(part) else _wrap(part) for part in parts if part)


class Remembering(Wrapping):
    """Remembers every sentence that was looked up."""

    def __init__(self) -> None:
        super().__init__()
        self.known: set[str] = set()

    def gettext(self, message: str) -> str:
        self.known.add(message)
        return super().gettext(message)

    def pgettext(self, context: str, message: str) -> str:
        self.known.add(message)
        return super().pgettext(context, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        self.known.add(msgid1)
        return super().ngettext(msgid1, msgid2, n)


def _wrap(message: str) -> str:
    if not message:
        raise AssertionError("an empty text was looked up: gettext answers it with the head of the catalogue")
    if "«" in message:
        raise AssertionError(f"looked up twice: {message}")
    return f"«{message}»"


@contextmanager
def speaking_with(sentences: NullTranslations) -> Iterator[Language]:
    """Tell everything inside in Spanish, as a catalogue of ours has it."""
    told = Language(LOCALE, ",", sentences)
    with patch("explain.language.language", lambda _: told), speaking(LOCALE) as spoken:
        yield spoken


def not_wrapped(thing: Any, typed: tuple[str, ...] = ()) -> list[str]:
    """Texts inside blocks, sections or drawings with letters that no catalogue gave. typed: what the shop wrote."""
    return [text for text in said(thing) if _LETTER.search(_left_over(text, typed))]


def _left_over(text: str, typed: tuple[str, ...]) -> str:
    """What of a text is neither from the catalogue, nor typed by the shop, nor the same in every language."""
    for words in typed:
        text = text.replace(words, "")
    while _INNERMOST.search(text):
        text = _INNERMOST.sub("", text)
    return SAME_EVERYWHERE.sub("", text)


def said(thing: Any) -> Iterator[str]:
    """Every string that a reader meets, in the order of the page."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, Struct):
        for name in thing.__struct_fields__:
            if name not in NOT_SAID and (type(thing).__name__, name) not in NOT_SAID_OF:
                yield from said(getattr(thing, name))
    elif isinstance(thing, (tuple, list)):
        for part in thing:
            yield from said(part)


def typed_by_the_shop(pair: Pair) -> tuple[str, ...]:
    """What the optician wrote in the order and in the shop's file, longest first: it stands on the page as it is."""
    found = (*_of_order(pair.order), *_of_shop(pair.shop))
    return tuple(sorted({text for text in found if text}, key=len, reverse=True))


def _of_order(order: Order) -> list[str]:
    parts = (
        order.number,
        order.first_name,
        order.frame.name,
        order.frame.colour,
        order.frame.traced.file if order.frame.traced else None,
        order.lenses.tint.colour if order.lenses.tint else None,
        tuple(line.item for line in order.bill.lines),
        tuple((inspection.things, inspection.by) for inspection in order.inspected),
        (order.accepted.by, order.accepted.why) if order.accepted else None,
    )
    return [text for part in parts if part is not None for text in sayings(part)]


def _of_shop(shop: Shop) -> list[str]:
    parts = (
        shop.name,
        shop.optician,
        shop.phone,
        shop.email,
        shop.address,
        shop.hours,
        shop.returns,
        shop.remakes,
        shop.cover,
        shop.tax_number,
        tuple((tax.name, tax.why) for tax in shop.taxes),
    )
    return [text for part in parts if part is not None for text in sayings(part)]


@cache
def demo_pair(path: Path) -> Pair:
    """The worked-out pair of a demo order."""
    shop = read_shop(path.parent / "shop.yaml")
    return work_out(read_order(path, shop).order, shop)
