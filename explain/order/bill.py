"""The bill: its lines, and whether total, paid and balance add up."""

from __future__ import annotations

from decimal import Decimal

from explain.order.amounts import read_amount
from explain.order.faults import Remark
from explain.order.fields import Section
from explain.order.keys import in_words, nearest
from explain.order.model import Bill, PriceLine, Shop
from explain.order.nodes import Group, Series
from explain.order.numbers import cut


def read_bill(root: Section, shop: Shop) -> Bill | None:
    """The bill of an order, or None when a line is faulty or the price is missing; without lines where it may miss."""
    lines = _lines(root, shop)
    typed_total, paid, balance = (
        amount_of(root, name, shop.currency, shop.locale) for name in ("total", "paid", "balance")
    )
    if lines is None:
        return None
    total = sum((line.amount for line in lines), Decimal("0.00"))
    _match(root, total, typed_total, paid, balance)
    if paid is not None and balance is None:
        balance = total - paid
    return Bill(lines, total, paid, balance)


def amount_of(section: Section, name: str, currency: str, locale: str) -> Decimal | None:
    """The amount under a name."""
    raw = section.raw_text(name)
    return None if raw is None else section.attempt(name, lambda: read_amount(raw, currency, locale, name))


def _lines(root: Section, shop: Shop) -> tuple[PriceLine, ...] | None:
    entry = root.entry("price")
    if entry is None:
        return () if "price" in root.may_miss else None
    nodes = entry.value.items if isinstance(entry.value, Series) else ()
    if not nodes:
        root.wrong_kind("price", "needs a list, with one line for each thing that was charged")
        return None
    lines = []
    for node in nodes:
        if isinstance(node, Group):
            lines.append(_line(Section(node, "price[]", node.line, root.findings, root.keys), shop))
        else:
            root.fault(
                "price",
                Remark(
                    "a line of the bill is not an item with an amount",
                    "Each line of the bill has item and amount.",
                    "Type it as in:   - {item: Frame, amount: 148.00}",
                ),
                node.line,
            )
            lines.append(None)
    whole = tuple(line for line in lines if line is not None)
    return whole if len(whole) == len(lines) else None


def _line(section: Section, shop: Shop) -> PriceLine | None:
    item, choice = section.text("item", 80), section.choice("choice")
    amount = amount_of(section, "amount", shop.currency, shop.locale)
    tax = _tax(section, shop)
    return None if item is None or amount is None else PriceLine(item, amount, choice, tax)


def _tax(section: Section, shop: Shop) -> str | None:
    raw = section.raw_text("tax")
    known = [tax.key for tax in shop.taxes]
    if raw is None or raw in known:
        return raw
    near = nearest(raw, known)
    allowed = f"The shop file has {in_words(known, 'and')}." if known else "The shop file has no taxes."
    advice = (
        f"Perhaps you meant:   {near}" if near else "Add the tax to the shop file under taxes, or take it out here."
    )
    section.fault("tax", Remark(f"{cut(raw)} is not a tax of the shop", allowed, advice))
    return None


def _match(root: Section, total: Decimal, typed: Decimal | None, paid: Decimal | None, balance: Decimal | None) -> None:
    if typed is not None and typed != total:
        root.fault(
            "total",
            Remark(
                f"the total says {typed}, but the lines of the bill add up to {total}",
                "The total is the sum of all amounts under price.",
                f"Correct the line that is wrong, or type   total: {total}",
            ),
        )
    if paid is None and balance is not None:
        root.fault(
            "balance",
            Remark(
                "there is a balance, but not what was paid",
                "Paid and balance together are the total.",
                f"Add what was paid, for example:   paid: {total - balance}",
            ),
        )
    if paid is not None and balance is not None and paid + balance != total:
        root.fault(
            "balance",
            Remark(
                f"paid {paid} and balance {balance} make {paid + balance}, but the total is {total}",
                "Paid and balance together are the total.",
                f"Correct one of them; with {paid} paid:   balance: {total - paid}",
            ),
        )
    if paid is not None and balance is None and paid > total:
        root.fault(
            "paid",
            Remark(
                f"more was paid ({paid}) than the bill comes to ({total})",
                "Paid is up to the total.",
                f"Correct the line that is wrong. If {paid} was paid, say what is owed back:   balance: {total - paid}",
            ),
        )
