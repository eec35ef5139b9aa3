"""What was paid, line by line: what each line did for this pair, taxes with their reasons, and the shop's promises."""

from __future__ import annotations

from decimal import Decimal

from explain.facts import option
from explain.order.model import Bill, PriceLine, Shop
from explain.story.blocks import Block, Figure, Heading, Note, Paragraph, Section, Table
from explain.story.drawings import PriceBar, PriceDrawing
from explain.story.pair import Pair
from explain.story.receipt import receipt_blocks
from explain.story.reflections import light_thrown_back
from explain.story.wording import Place, counted, grams, inside_sentence, mm, rounded

_BARS = 14


def price_section(pair: Pair, place: Place) -> Section:
    """Part 11 of the page: the bill, a chart of it, taxes with their reasons, returns, and a receipt line."""
    bill, shop = pair.order.bill, pair.shop
    blocks: list[Block] = [
        Paragraph(paid_text(bill, place)),
        _bill_table(pair, place),
        *(_tax_note(line, shop) for line in bill.lines if line.tax is not None),
        _bars_figure(bill, place),
        *receipt_blocks(pair, place),
        *_promises(shop),
    ]
    return Section("price", "What you paid, line by line", "What you paid", tuple(blocks))


def _promises(shop: Shop) -> list[Block]:
    """Give the shop's own sentences on sending back, making again, and what breaks."""
    promises = (
        ("If you want to send them back", shop.returns),
        ("If you cannot get on with them", shop.remakes),
        ("If something breaks", shop.cover),
    )
    return [block for title, words in promises if words for block in (Heading(title), Paragraph(words))]


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


def _bill_table(pair: Pair, place: Place) -> Table:
    bill = pair.order.bill
    rows = tuple((line.item, line_text(line, pair), place.money(line.amount)) for line in bill.lines)
    total = ("Total", "", place.money(bill.total))
    return Table("Your bill", ("Item", "What it did", "Amount"), rows, total=total)


def line_text(line: PriceLine, pair: Pair) -> str:
    """Say in a few words what one line of the bill did: for this pair in figures, where one can be worked out."""
    if line.tax is not None:
        return "The reason is below." if any(tax.key == line.tax for tax in pair.shop.taxes) else ""
    if line.choice == "frame":
        return "Holds the lenses in front of your eyes."
    if line.choice == pair.chosen.material.key:
        return _material_effect(pair)
    if line.choice == "anti-reflective":
        return f"Reflects {light_thrown_back(pair)}."
    return option(line.choice).what if line.choice else ""


def _material_effect(pair: Pair) -> str:
    chosen, plainest = pair.chosen, pair.plainest
    if chosen is plainest:
        return "The plainest material we offer."
    return effect_text(
        plainest.thickest_mm - chosen.thickest_mm,
        plainest.weight_g - chosen.weight_g,
        inside_sentence(plainest.material.name),
    )


def effect_text(thinner_mm: float, lighter_g: float, than: str) -> str:
    r"""Say what a material changed against another one, as rounded on the page; minus is thicker or heavier.

    >>> effect_text(0.71, 2.2, "standard plastic 1.50")
    '0.7\xa0mm thinner and 2\xa0g lighter than standard plastic 1.50.'
    >>> effect_text(0.71, -0.2, "standard plastic 1.50")
    '0.7\xa0mm thinner than standard plastic 1.50, as heavy.'
    """
    thick, heavy = rounded(thinner_mm, 1), rounded(lighter_g, 0)
    thickness = f"{mm(abs(thinner_mm))} {'thinner' if thick > 0 else 'thicker'}"
    weight = f"{grams(abs(lighter_g))} {'lighter' if heavy > 0 else 'heavier'}"
    if thick and heavy:
        return f"{thickness} and {weight} than {than}."
    if thick or heavy:
        return f"{thickness} than {than}, as heavy." if thick else f"{weight} than {than}, as thick."
    return f"As thick and as heavy as {than}."


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
