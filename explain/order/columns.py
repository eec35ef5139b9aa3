"""The columns of a table of orders: which heading holds which key of an order, as the shop file says."""

from __future__ import annotations

from explain.order.faults import Remark
from explain.order.fields import Section
from explain.order.keys import ORDER_KEYS, nearest
from explain.order.nodes import Entry, Text
from explain.order.numbers import cut

PRICE = "price[].amount"
LONGEST_HEADING = 60
TARGETS = tuple(
    key.path for key in ORDER_KEYS.keys if key.kind != "group" and ("[]" not in key.path or key.path == PRICE)
)
"""Keys that one cell can hold. A column of amounts is a line of the bill, named by its heading."""


def read_columns(section: Section | None) -> tuple[tuple[str, str], ...]:
    """Heading and key of each column, in the order they are written. A key that no order has is a fault."""
    entry = section.entry("columns") if section else None
    if section is None or entry is None:
        return ()
    if not hasattr(entry.value, "entries"):
        section.wrong_kind("columns", "needs a group of headings and keys")
        return ()
    return tuple(column for one in entry.value.entries.values() if (column := _column(section, one)))


def _column(section: Section, entry: Entry) -> tuple[str, str] | None:
    target = entry.value.text.strip() if isinstance(entry.value, Text) else ""
    heading = " ".join(entry.name.split())
    if target in TARGETS and 0 < len(heading) <= LONGEST_HEADING:
        return heading, target
    near = nearest(target, TARGETS) if target else None
    example = section.key("columns").example
    advice = f"Perhaps you meant:   {near}" if near else f"Type it as in:   {example}"
    remark = Remark(
        f"{cut(target)} is not a key of an order that one cell can hold", section.key("columns").allowed, advice
    )
    section.fault("columns", remark, entry.line)
    return None
