"""What an order file holds, before it is known what it means: values, lists and groups, with their lines."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct


class Text(Struct, frozen=True):
    """One value, exactly as typed (without quotation marks). Nothing typed gives an empty text."""

    line: int
    text: str


class Series(Struct, frozen=True):
    """A list of values."""

    line: int
    items: tuple[Node, ...]


class Entry(Struct, frozen=True):
    """A name and its value."""

    name: str
    line: int
    value: Node


class Group(Struct, frozen=True):
    """Names with values. inline: written on one line between { and }."""

    line: int
    entries: dict[str, Entry]
    inline: bool


Node = Text | Series | Group


def places(group: Group, prefix: str = "") -> Iterator[tuple[str, int]]:
    """Yield the dotted name and the line of every named value in a group."""
    for entry in group.entries.values():
        name = f"{prefix}{entry.name}"
        yield name, entry.line
        if isinstance(entry.value, Group):
            yield from places(entry.value, f"{name}.")
