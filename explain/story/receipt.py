"""The receipt: what insurers and health accounts ask for, on a sheet that prints alone."""

from __future__ import annotations

from explain.language import _
from explain.order.model import Bill
from explain.story.blocks import Block, Heading, Receipt, Table
from explain.story.pair import Pair
from explain.story.wording import NO_BREAK_HYPHEN, Place

NAME_LINE = "________________________"
"""The page knows a first name only; whoever claims writes the rest."""


def receipt_blocks(pair: Pair, place: Place) -> list[Block]:
    """Give the receipt, or nothing where the shop has no tax number to print on it."""
    if pair.shop.tax_number is None:
        return []
    return [Heading(_("For your insurer or health account")), receipt(pair, place)]


def receipt(pair: Pair, place: Place) -> Receipt:
    """Give what was sold, when, by whom, to whom, and what was paid.

    Insurers and health accounts usually ask for these (common practice, from memory).
    """
    order, shop, bill = pair.order, pair.shop, pair.order.bill
    rows = tuple((line.item, place.money(line.amount)) for line in bill.lines)
    return Receipt(
        title=_("Bill, not yet paid in full") if bill.balance else _("Receipt"),
        sender=(shop.name, *shop.address, shop.phone),
        facts=(
            (_("For"), f"{order.first_name} {NAME_LINE}"),
            (_("What"), sold_text(pair)),
            (_("Order"), order.number),
            (_("Date"), place.day(order.ordered_on)),
            *_payments(bill, place),
            (_("Our tax number"), (shop.tax_number or "").replace("-", NO_BREAK_HYPHEN)),
        ),
        lines=Table(
            _("Lines of the bill"), (_("Item"), _("Amount")), rows, total=(_("Total"), place.money(bill.total))
        ),
    )


def _payments(bill: Bill, place: Place) -> tuple[tuple[str, str], ...]:
    paid = ((_("Paid"), place.money(bill.paid)),) if bill.paid is not None else ()
    if not bill.balance:
        return paid
    return *paid, (_("Still to pay") if bill.balance > 0 else _("We owe you"), place.money(abs(bill.balance)))


def sold_text(pair: Pair) -> str:
    """Say what kind of thing was sold: with a prescription or without one."""
    is_plano = pair.order.lenses.design == "plano"
    return _("Glasses without a prescription") if is_plano else _("Prescription glasses, 1 pair")
