"""What was paid, line by line, and what each line did."""

from __future__ import annotations

from decimal import Decimal

from explain.facts import option
from explain.order.model import Bill, PriceLine, Shop
from explain.story.blocks import Block, Figure, Heading, Note, Paragraph, Section, Table
from explain.story.drawings import PriceBar, PriceDrawing
from explain.story.pair import Pair
from explain.story.wording import Place, counted, rounded

_BARS = 14


def price_section(pair: Pair, place: Place) -> Section:
    """Part 11 of the page: the bill, a chart of it, taxes with their reasons, returns, and a receipt line."""
    bill, shop = pair.order.bill, pair.shop
    blocks: list[Block] = [
        Paragraph(paid_text(bill, place)),
        _bill_table(bill, shop, place),
        _bars_figure(bill, place),
        *(_tax_note(line, shop) for line in bill.lines if line.tax is not None),
        Heading("If you want to send them back"),
        Paragraph(shop.returns),
        Paragraph(shop.remakes),
        *_receipt(pair, place),
    ]
    return Section("price", "What you paid, line by line", "What you paid", tuple(blocks))


def paid_text(bill: Bill, place: Place) -> str:
    """Say the total and whether anything is still to pay."""
    lines = counted(len(bill.lines), "line", "lines")
    start = f"Your bill has {lines} and comes to {place.money(bill.total)}."
    if bill.balance and bill.balance < 0:
        return f"{start} You have paid {place.money(bill.paid or Decimal(0))}. We owe you {place.money(-bill.balance)}."
    if bill.balance:
        paid = place.money(bill.paid or Decimal(0))
        return f"{start} You have paid {paid}. {place.money(bill.balance)} is still to pay."
    if bill.paid is not None:
        return f"{start} It is paid in full."
    return start


def _bill_table(bill: Bill, shop: Shop, place: Place) -> Table:
    rows = tuple((line.item, line_text(line, shop), place.money(line.amount)) for line in bill.lines)
    total = ("Total", "", place.money(bill.total))
    return Table("Your bill", ("Item", "What it does", "Amount"), rows, total=total)


def line_text(line: PriceLine, shop: Shop) -> str:
    """Say in a few words what one line of the bill did."""
    if line.tax is not None:
        return "The reason is below." if any(tax.key == line.tax for tax in shop.taxes) else ""
    if line.choice == "frame":
        return "Holds the lenses in front of your eyes."
    if line.choice is not None:
        return option(line.choice).what
    return ""


def _bars_figure(bill: Bill, place: Place) -> Figure:
    lines = _largest_first(bill)
    largest = lines[0]
    finding = _largest_text(bill, largest, place)
    bars = tuple(PriceBar(line.item, float(line.amount), place.money(line.amount)) for line in lines[:_BARS])
    table = Table("The same in numbers", ("Item", "Amount"), tuple((bar.label, bar.amount_label) for bar in bars))
    spoken = " ".join(f"{bar.label}: {bar.amount_label}." for bar in bars)
    return Figure(
        finding=finding,
        measure=f"Each line of your bill in {_unit(place)}, longest bar first.",
        drawing=PriceDrawing(finding, spoken, bars),
        table=table,
    )


def _largest_text(bill: Bill, largest: PriceLine, place: Place) -> str:
    """Say what part of the bill its largest line is; only its amount where a reduction makes a share misleading."""
    if largest.amount <= 0 or any(line.amount < 0 for line in bill.lines):
        return f"The largest line is {largest.item}: {place.money(largest.amount)}"
    share = rounded(float(100 * largest.amount / bill.total), 0)
    return f"{largest.item}: {share} of every 100 {_unit(place)} of the bill"


def _unit(place: Place) -> str:
    return "dollars" if place.currency in {"USD", "CAD", "AUD", "NZD"} else place.currency


def _largest_first(bill: Bill) -> list[PriceLine]:
    return sorted(bill.lines, key=lambda line: -line.amount)


def _tax_note(line: PriceLine, shop: Shop) -> Note:
    tax = next(tax for tax in shop.taxes if tax.key == line.tax)
    return Note(tax.why, label=tax.name)


def _receipt(pair: Pair, place: Place) -> list[Block]:
    if pair.shop.tax_number is None:
        return []
    start = "Bill, not yet paid in full" if pair.order.bill.balance else "Receipt"
    kind = "glasses without a prescription" if pair.order.lenses.design == "plano" else "prescription glasses"
    text = (
        f"{start}: {kind}, order {pair.order.number}, {place.day(pair.order.ordered_on)}, "
        f"{place.money(pair.order.bill.total)}. {pair.shop.name}, tax number {pair.shop.tax_number}."
    )
    return [Heading("For your insurer or health account"), Paragraph(text)]
