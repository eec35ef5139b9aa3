"""What was looked at on the finished pair, by whom and when: one person, or a list of them."""

from __future__ import annotations

from explain.order.faults import Remark
from explain.order.fields import Section
from explain.order.model import Inspection
from explain.order.nodes import Group, Series

MOST_THINGS = 7
LONGEST_NAME = 40


def read_inspected(root: Section) -> tuple[Inspection, ...]:
    """Every inspection of an order, in its order. A thing looked at twice by one person on one day is a fault."""
    entry = root.entry("inspected")
    if entry is None:
        return ()
    nodes = entry.value.items if isinstance(entry.value, Series) else (entry.value,)
    if not nodes or not all(isinstance(node, Group) for node in nodes):
        root.wrong_kind("inspected", "needs what was looked at, by whom and on which day")
        return ()
    groups = [node for node in nodes if isinstance(node, Group)]
    sections = [Section(group, "inspected[]", group.line, root.findings, root.keys) for group in groups]
    found = [one for section in sections if (one := _inspection(section)) is not None]
    _refuse_many(root, found)
    _refuse_repeats(root, found)
    return tuple(found)


def _inspection(section: Section) -> Inspection | None:
    things = [section.clean("what", node.text, line=node.line) for node in section.items("what")]
    by, on = section.text("by", LONGEST_NAME), section.day("on")
    if not things or None in things or by is None or on is None:
        return None
    return Inspection(tuple(thing for thing in things if thing), by, on)


def _refuse_many(root: Section, found: list[Inspection]) -> None:
    count = sum(len(one.things) for one in found)
    if count > MOST_THINGS:
        message = f"{count} things were looked at, and the page has room for {MOST_THINGS}"
        allowed = f"Up to {MOST_THINGS} things, each in a few words."
        advice = "Put some together, for example:   screws and hinges"
        root.fault("inspected", Remark(message, allowed, advice))


def _refuse_repeats(root: Section, found: list[Inspection]) -> None:
    seen: set[tuple[str, str, object]] = set()
    for one in found:
        for thing in one.things:
            told = (thing.lower(), one.by.lower(), one.on)
            if told in seen:
                message = f'"{thing}" is listed twice for {one.by} on one day'
                root.fault("inspected", Remark(message, "Each thing may stand once.", "Take one of the two out."))
            seen.add(told)
