"""What was paid, line by line: what each line did for this pair, taxes with their reasons, and the shop's promises."""

from __future__ import annotations

from decimal import Decimal

from explain.facts import option
from explain.language import _, later, plural
from explain.order.model import Bill, PriceLine, Shop
from explain.story.blocks import Block, Figure, Heading, Note, Paragraph, Section, Table
from explain.story.drawings import PriceBar, PriceDrawing
from explain.story.pair import Pair
from explain.story.receipt import receipt_blocks
from explain.story.reflections import light_thrown_back
from explain.story.wording import Place, grams, inside_sentence, mm, rounded

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
    return Section("price", _("What you paid, line by line"), _("What you paid"), tuple(blocks))


def _promises(shop: Shop) -> list[Block]:
    """Give the shop's own sentences on sending back, making again, and what breaks."""
    promises = (
        (_("If you want to send them back"), shop.returns),
        (_("If you cannot get on with them"), shop.remakes),
        (_("If something breaks"), shop.cover),
    )
    return [block for title, words in promises if words for block in (Heading(title), Paragraph(words))]


def paid_text(bill: Bill, place: Place) -> str:
    """Say the total and whether anything is still to pay."""
    start = plural(
        "Your bill has {count} line and comes to {total}.",
        "Your bill has {count} lines and comes to {total}.",
        len(bill.lines),
        total=place.money(bill.total),
    )
    rest = _balance_text(bill, place)
    return f"{start} {rest}" if rest else start


def _balance_text(bill: Bill, place: Place) -> str:
    if not bill.balance:
        return "" if bill.paid is None else _("It is paid in full.")
    paid, open_ = place.money(bill.paid or Decimal(0)), place.money(abs(bill.balance))
    if bill.balance < 0:
        return _("You have paid {paid}. We owe you {owed}.", paid=paid, owed=open_)
    return _("You have paid {paid}. {open} is still to pay.", paid=paid, open=open_)


def _bill_table(pair: Pair, place: Place) -> Table:
    bill = pair.order.bill
    rows = tuple((line.item, line_text(line, pair), place.money(line.amount)) for line in bill.lines)
    total = (_("Total"), "", place.money(bill.total))
    return Table(_("Your bill"), (_("Item"), _("What it did"), _("Amount")), rows, total=total)


def line_text(line: PriceLine, pair: Pair) -> str:
    """Say in a few words what one line of the bill did: for this pair in figures, where one can be worked out."""
    if line.tax is not None:
        return _("The reason is below.") if any(tax.key == line.tax for tax in pair.shop.taxes) else ""
    if line.choice == "frame":
        return _("Holds the lenses in front of your eyes.")
    if line.choice == pair.chosen.material.key:
        return _material_effect(pair)
    if line.choice == "anti-reflective":
        return _("Reflects {light}.", light=light_thrown_back(pair))
    return _(option(line.choice).what) if line.choice else ""


def _material_effect(pair: Pair) -> str:
    chosen, plainest = pair.chosen, pair.plainest
    if chosen is plainest:
        return _("The plainest material we offer.")
    return effect_text(
        plainest.thickest_mm - chosen.thickest_mm,
        plainest.weight_g - chosen.weight_g,
        inside_sentence(_(plainest.material.name)),
    )


_EFFECTS = {
    (1, 1): later("{thickness} thinner and {weight} lighter than {than}."),
    (1, -1): later("{thickness} thinner and {weight} heavier than {than}."),
    (-1, 1): later("{thickness} thicker and {weight} lighter than {than}."),
    (-1, -1): later("{thickness} thicker and {weight} heavier than {than}."),
    (1, 0): later("{thickness} thinner than {than}, as heavy."),
    (-1, 0): later("{thickness} thicker than {than}, as heavy."),
    (0, 1): later("{weight} lighter than {than}, as thick."),
    (0, -1): later("{weight} heavier than {than}, as thick."),
    (0, 0): later("As thick and as heavy as {than}."),
}
"""By the signs of what is saved in thickness and in weight, as rounded."""


def effect_text(thinner_mm: float, lighter_g: float, than: str) -> str:
    r"""Say what a material changed against another one, as rounded on the page; minus is thicker or heavier.

    >>> effect_text(0.71, 2.2, "standard plastic 1.50")
    '0.7\xa0mm thinner and 2\xa0g lighter than standard plastic 1.50.'
    >>> effect_text(0.71, -0.2, "standard plastic 1.50")
    '0.7\xa0mm thinner than standard plastic 1.50, as heavy.'
    """
    signs = _sign(rounded(thinner_mm, 1)), _sign(rounded(lighter_g, 0))
    return _(_EFFECTS[signs], thickness=mm(abs(thinner_mm)), weight=grams(abs(lighter_g)), than=than)


def _sign(number: Decimal) -> int:
    return (number > 0) - (number < 0)


def _bars_figure(bill: Bill, place: Place) -> Figure:
    lines = _largest_first(bill)
    largest = lines[0]
    finding = _largest_text(bill, largest, place)
    bars = tuple(PriceBar(line.item, float(line.amount), place.money(line.amount)) for line in lines[:_BARS])
    table = Table(
        _("Each line and its amount"), (_("Item"), _("Amount")), tuple((bar.label, bar.amount_label) for bar in bars)
    )
    spoken = " ".join(f"{bar.label}: {bar.amount_label}." for bar in bars)
    return Figure(
        finding=finding,
        measure=_("Each line of your bill in {unit}, longest bar first.", unit=_unit(place)),
        drawing=PriceDrawing(finding, spoken, bars),
        table=table,
    )


def _largest_text(bill: Bill, largest: PriceLine, place: Place) -> str:
    """Say what part of the bill its largest line is; only its amount where a reduction makes a share misleading."""
    if largest.amount <= 0 or any(line.amount < 0 for line in bill.lines):
        return _("The largest line is {item}: {amount}", item=largest.item, amount=place.money(largest.amount))
    share = rounded(float(100 * largest.amount / bill.total), 0)
    return _("{item}: {share} of every 100 {unit} of the bill", item=largest.item, share=share, unit=_unit(place))


def _unit(place: Place) -> str:
    return _("dollars") if place.currency in {"USD", "CAD", "AUD", "NZD"} else place.currency


def _largest_first(bill: Bill) -> list[PriceLine]:
    return sorted(bill.lines, key=lambda line: -line.amount)


def _tax_note(line: PriceLine, shop: Shop) -> Note:
    tax = next(tax for tax in shop.taxes if tax.key == line.tax)
    return Note(tax.why, label=tax.name)
