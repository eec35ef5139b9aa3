"""Remakes: which order takes the place of which, among the order files of one folder."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from msgspec import Struct

from explain.order import OrderError, ReadOrder
from explain.order.bounded import bytes_of
from explain.order.document import read_document
from explain.order.faults import Fault, Remark
from explain.order.fields import bare
from explain.order.limits import DOCUMENT_BYTES
from explain.order.nodes import Group, Text
from explain.order.order import is_order_number

NUMBER = re.compile(r"""^\W?order:\s*["']?([A-Za-z0-9][A-Za-z0-9._-]*)""", re.MULTILINE)
KEY = "replaces"


class Filed(Struct, frozen=True):
    """One order file: its number, what to call its customer, and the number of the order it replaces, if any."""

    path: Path
    number: str
    first_name: str = ""
    replaces: str = ""


class Remakes:
    """The order files of one folder, as far as they replace each other. Faulty files count with what can be read."""

    def __init__(self, texts: Mapping[Path, str], numbers: Mapping[Path, str]) -> None:
        """texts: of the files that speak of a remake. numbers: of all files of the folder."""
        self._texts = dict(texts)
        self._numbers = dict(numbers)
        self.filed = tuple(_filed(path) for path in self._texts)

    @classmethod
    def in_folder(cls, folder: Path) -> Remakes:
        """The remakes of a folder, from the text of every order there."""
        texts = {path: text_of(path) for path in sorted(folder.glob("*.yaml")) if path.name != "shop.yaml"}
        numbers = {path: number_in(text) for path, text in texts.items()}
        return cls({path: text for path, text in texts.items() if KEY in text}, numbers)

    def for_order(self) -> Remakes:
        """The same with no more numbers than the remakes name: small enough to be sent along."""
        named = {one.replaces.casefold() for one in self.filed}
        numbers = {path: number for path, number in self._numbers.items() if number.casefold() in named}
        return Remakes(self._texts, numbers)

    def replacing(self, number: str) -> tuple[Filed, ...]:
        """The orders that say they replace this one."""
        return tuple(one for one in self.filed if one.replaces.casefold() == number.casefold())

    def newest(self, number: str) -> str:
        """The number at the end of the chain of remakes; the number itself where none replaces it, or it is unclear."""
        seen = [number]
        while len(found := self.replacing(seen[-1])) == 1 and found[0].number not in seen:
            seen.append(found[0].number)
        return seen[-1] if not found else number

    def older(self, number: str) -> Iterator[str]:
        """The numbers that an order replaces, one after the other."""
        replaces = {one.number: one.replaces for one in self.filed if one.replaces}
        seen = {number}
        while (number := replaces.get(number, "")) and number not in seen:
            seen.add(number)
            yield number

    def is_named(self, number: str, path: Path) -> bool:
        """True where another file replaces this number, or names it anywhere and does not tell what it replaces."""
        return any(self._names(one, number) for one in self.filed if one.path != path)

    def _names(self, one: Filed, number: str) -> bool:
        if one.replaces:
            return one.replaces.casefold() == number.casefold()
        return number in self._texts[one.path]

    def judged_by(self, path: Path) -> str:
        """What `refuse_odd_remake` looks at beside the file itself, as text; empty for one that replaces nothing."""
        old = next((one.replaces for one in self.filed if one.path == path), "")
        if not old:
            return ""
        file = self.file_of(old)
        return repr((file and (file.name, _filed(file).first_name), [one.path.name for one in self.replacing(old)]))

    def file_of(self, number: str) -> Path | None:
        """The file of an order beside the others, or None."""
        return next((path for path, other in self._numbers.items() if other.casefold() == number.casefold()), None)


def refuse_odd_remake(read: ReadOrder, remakes: Remakes) -> None:
    """Raise OrderError for an order that replaces one that is not there, or that leads round in a circle."""
    replaced = read.order.replaced
    remark = None if replaced is None else _remark(read, replaced.order, remakes)
    if remark is None:
        return
    line, key = read.findings.line_of("replaces.order"), "replaces.order"
    excerpt = read.findings.excerpt(line)
    raise OrderError([Fault(read.findings.file, line, key, remark.message, excerpt, remark.allowed, remark.advice)])


def _remark(read: ReadOrder, old: str, remakes: Remakes) -> Remark | None:
    order = read.order
    path = remakes.file_of(old)
    if path is None:
        allowed = "The order that was made again lies beside this one, so that its page can lead here."
        return Remark(f"there is no order {old} beside this one", allowed, "Check its number, or put its file back.")
    others = [one for one in remakes.replacing(old) if one.path != order.path]
    if others:
        allowed = "One page can lead to one other. A remake of a remake names the newest order."
        advice = f"If this pair came last, type   order: {others[0].number}"
        return Remark(f"order {old} is replaced by order {others[0].number} as well", allowed, advice)
    chain = list(remakes.older(order.number))
    if any(one.replaces == order.number for one in remakes.filed if one.number in chain):
        allowed = "Each order names an earlier one, so that every page leads to the newest pair."
        return Remark(f"order {old} replaces this one in turn", allowed, "Take replaces out of the older of the two.")
    name = _filed(path).first_name
    if name and name != bare(order.first_name):
        allowed = "The old page leads to the new one, so both must be of one person."
        advice = f"Check the number; if it is the same person, write the name alike:   for: {name}"
        return Remark(f"order {old} is for {name}, and this one for {bare(order.first_name)}", allowed, advice)
    return None


def number_in(text: str) -> str:
    r"""The number that an order's text seems to have, without reading it as a whole; empty where none is seen.

    >>> number_in('for: Odile\norder: "A-0001"\n')
    'A-0001'
    """
    found = NUMBER.search(text)
    return found[1] if found and is_order_number(found[1]) else ""


def text_of(path: Path) -> str:
    """The text of a file; empty where it cannot be read."""
    try:
        return bytes_of(path, DOCUMENT_BYTES).decode("utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return ""


def _filed(path: Path) -> Filed:
    try:
        group, _ = read_document(path)
    except OrderError:
        return Filed(path, "")
    inner = group.entries.get(KEY)
    old = _word(inner.value, "order") if inner and isinstance(inner.value, Group) else ""
    return Filed(path, _word(group, "order"), _word(group, "for"), old)


def _word(group: Group, name: str) -> str:
    entry = group.entries.get(name)
    return " ".join(entry.value.text.split()) if entry and isinstance(entry.value, Text) else ""
