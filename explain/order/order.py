"""An order file, read once: every fault of it at the same time, or a whole order with what looks odd in it."""

from __future__ import annotations

import re
from pathlib import Path

from msgspec import Struct

from explain.order.bill import read_bill
from explain.order.checked import read_accepted, read_checked
from explain.order.document import document_in, read_document
from explain.order.doubts import doubts_about
from explain.order.faults import Doubt, Fault, Findings, OrderError, Remark
from explain.order.fields import Section
from explain.order.fit import read_fit
from explain.order.frame import read_frame
from explain.order.inspected import read_inspected
from explain.order.keys import ORDER_KEYS
from explain.order.lenses import read_lenses
from explain.order.model import Order, Shop
from explain.order.nodes import Group
from explain.order.numbers import cut
from explain.order.pair import read_pair
from explain.order.previous import doubts_about_change, is_first_pair, read_previous
from explain.order.purpose import read_use, read_wearer
from explain.order.replaces import read_replaced
from explain.order.trace_doubts import doubts_about_trace

ORDER_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}")
RESERVED = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?|.*\.|.*\.(?:html|json|txt)", re.IGNORECASE)
"""Names that Windows keeps for devices, and a point at the end, which it drops: neither can be a folder there.

Files of a build lie beside the folders of the orders, such as the desk page index.html.
"""
LONGEST_FIRST_NAME = 40


NOT_YET = frozenset({"price"})
"""What an order may lack while it is only being weighed up."""


class ReadOrder(Struct, frozen=True):
    """A whole order, and what the optician should look at in it."""

    order: Order
    findings: Findings

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """All doubts noted so far, sorted by line."""
        return self.findings.doubts

    def doubt(self, key: str, remark: Remark) -> None:
        """Note a doubt that showed later, at the line of its key."""
        self.findings.doubt(key, self.findings.line_of(key), remark)


def read_order(path: Path, shop: Shop) -> ReadOrder:
    """The order in a file, with its doubts. Raises OrderError with every fault of the file."""
    group, findings = read_document(path)
    return _read(Section(group, "", 1, findings, ORDER_KEYS), shop, path)


def read_plan(path: Path, shop: Shop) -> ReadOrder:
    """The order in a file as read_order gives it; one that was not checked yet may still lack its price."""
    group, findings = read_document(path)
    return _read(Section(group, "", 1, findings, ORDER_KEYS, _may_miss(group)), shop, path)


def _may_miss(group: Group) -> frozenset[str]:
    return frozenset() if "checked" in group.entries else NOT_YET


def _read(root: Section, shop: Shop, path: Path) -> ReadOrder:
    order = _order(root, shop, path)
    root.findings.raise_if_faulty()
    if order is None:
        raise AssertionError("an order without faults is whole")
    read = ReadOrder(order, root.findings)
    for key, remark in (*doubts_about(order), *doubts_about_trace(order), *doubts_about_change(order)):
        read.doubt(key, remark)
    return read


def faults_in(text: str, path: Path, shop: Shop) -> tuple[Fault, ...]:
    """The faults that a plan of this text would have in the file of that path, which need not be there."""
    try:
        findings = Findings(path.as_posix())
        group = document_in(text, findings)
        _order(Section(group, "", 1, findings, ORDER_KEYS, _may_miss(group)), shop, path)
        findings.raise_if_faulty()
    except OrderError as error:
        return error.faults
    return ()


def _order(root: Section, shop: Shop, path: Path) -> Order | None:
    number, day, first_name = _number(root), root.day("date"), root.text("for", LONGEST_FIRST_NAME)
    frame, lenses = read_frame(root.child("frame"), path.parent), read_lenses(root.child("lenses"))
    depth, design = frame.depth_mm if frame else None, lenses.design if lenses else None
    prescription = root.child("prescription")
    pair = read_pair(prescription, design) if prescription else None
    fit = read_fit(prescription, depth, design) if prescription else None
    checked = read_checked(root.child("checked"), depth, pair.ordered if pair else frozenset(("right", "left")))
    accepted = read_accepted(root.child("accepted"), was_checked=root.has("checked"))
    previous, use, wearer = read_previous(root), read_use(root), read_wearer(root)
    bill, inspected = read_bill(root, shop), read_inspected(root)
    sent, language = root.day("sent"), root.choice("language")
    replaced = read_replaced(root, number)
    if not (number and day and first_name and frame and lenses and pair and fit and bill):
        return None
    return Order(
        number, day, first_name, pair.right, pair.left, fit, frame, lenses, bill, path,
        checked, accepted, previous, use, wearer, inspected, is_first_pair(root), sent, language, replaced,
    )  # fmt: skip


def is_order_number(text: str) -> bool:
    """True for text that can be the number of an order, and so the name of a folder anywhere."""
    return bool(ORDER_NUMBER.fullmatch(text)) and not RESERVED.fullmatch(text)


def _number(root: Section) -> str | None:
    raw = root.raw_text("order")
    if raw is None or is_order_number(raw):
        return raw
    key, allowed = root.key("order"), root.key("order").allowed
    if RESERVED.fullmatch(raw):
        allowed = "It names a folder. Not CON, NUL, COM1 and the like; no .html, .json or .txt; no point at the end."
    advice = f"Type it as in:   {key.example}"
    root.fault("order", Remark(f"{cut(raw)} cannot be the number of an order", allowed, advice))
    return None
