"""What was paid: totals, what each line did, taxes with their reason, and a receipt."""

from __future__ import annotations

from decimal import Decimal

import pytest

from explain.facts import option
from explain.order.model import Bill, PriceLine
from explain.story.price import _bars_figure, effect_text, line_text, paid_text, price_section
from explain.story.wording import mm


def bill(*amounts, paid=None, balance=None):
    lines = tuple(PriceLine(f"Item {number}", Decimal(amount)) for number, amount in enumerate(amounts))
    return Bill(lines, sum((line.amount for line in lines), Decimal(0)), paid and Decimal(paid), balance)


def blocks_of(section, kind):
    return [block for block in section.blocks if block.kind == kind]


@pytest.mark.parametrize(
    ("of", "said", "unsaid"),
    [
        (bill("10.00"), ["1 line ", "$10.00"], ["paid"]),
        (bill("10.00", "5.50"), ["2 lines", "$15.50"], ["paid"]),
        (bill("10.00", paid="10.00", balance=Decimal("0.00")), ["paid in full"], ["still to pay"]),
        (bill("10.00", paid="4.00", balance=Decimal("6.00")), ["$4.00", "$6.00", "still to pay"], ["in full"]),
        (bill("10.00", "-2.00"), ["$8.00"], ["paid"]),
    ],
    ids=["one line", "two lines", "paid", "part paid", "reduced"],
)
def test_the_total_and_what_is_still_to_pay_are_said(place, of, said, unsaid):
    text = paid_text(of, place)

    assert [words for words in said if words not in text] == []
    assert [words for words in unsaid if words in text] == []


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (PriceLine("Frame", Decimal(10), "frame"), "Holds the lenses"),
        (PriceLine("Tax", Decimal(1), tax="frame-sales-tax"), "reason"),
        (PriceLine("Hard layer", Decimal(5), "hard-layer"), option("hard-layer").what),
        (PriceLine("Layer", Decimal(5), "anti-reflective"), "of 100 parts of light, not 8."),
        (PriceLine("Plastic", Decimal(0), "standard-plastic-1.50"), "The plainest material we offer."),
    ],
)
def test_each_line_says_what_it_did(pair_of, line, words):
    assert words in line_text(line, pair_of())


def test_a_line_of_which_nothing_is_known_claims_nothing(pair_of):
    assert line_text(PriceLine("Something", Decimal(5)), pair_of()) == ""


def test_the_line_of_a_material_gives_its_difference_in_millimetres_and_grams(pair_of):
    pair = pair_of(lenses={"material": "high-index-1.74"})

    text = line_text(PriceLine("Material", Decimal(140), "high-index-1.74"), pair)

    assert mm(pair.plainest.thickest_mm - pair.chosen.thickest_mm) in text
    assert "thinner and" in text
    assert text.endswith("than standard plastic 1.50.")


@pytest.mark.parametrize(
    ("thinner_mm", "lighter_g", "said"),
    [
        (-0.3, 1.4, "0.3 mm thicker and 1 g lighter than glass."),
        (0.05, -0.5, "0.1 mm thinner and 1 g heavier than glass."),
        (0.04, -2.0, "2 g heavier than glass, as thick."),
        (-0.05, 0.49, "0.1 mm thicker than glass, as heavy."),
        (0.0, 0.0, "As thick and as heavy as glass."),
    ],
)
def test_what_a_material_changed_is_said_as_it_rounds(thinner_mm, lighter_g, said):
    assert effect_text(thinner_mm, lighter_g, "glass").replace("\xa0", " ") == said


def test_the_table_shows_every_line_and_the_total_of_the_order(demo_pair, place):
    (table,) = blocks_of(price_section(demo_pair, place), "table")

    assert [row[0] for row in table.rows] == [line.item for line in demo_pair.order.bill.lines]
    assert table.total[-1] == place.money(demo_pair.order.bill.total)


def test_the_bars_run_from_the_longest_to_the_reduction(pair_of, place):
    lines = [{"item": name, "amount": amount} for name, amount in (("A", "10.00"), ("B", "90.00"), ("C", "-20.00"))]
    (figure,) = blocks_of(price_section(pair_of(price=lines), place), "figure")

    assert [(bar.label, bar.amount) for bar in figure.drawing.bars] == [("B", 90.0), ("A", 10.0), ("C", -20.0)]
    assert figure.table.rows == (("B", "$90.00"), ("A", "$10.00"), ("C", "\N{MINUS SIGN}$20.00"))


def test_the_largest_line_is_given_as_its_share_of_100(pair_of, place):
    lines = [{"item": "A", "amount": "25.00"}, {"item": "B", "amount": "75.00"}]

    (figure,) = blocks_of(price_section(pair_of(price=lines), place), "figure")

    assert "B: 75 of every 100 dollars" in figure.finding


def test_a_bill_of_nothing_has_no_share_to_divide(pair_of, place):
    (figure,) = blocks_of(price_section(pair_of(price=[{"item": "A", "amount": "0.00"}]), place), "figure")

    assert "of every 100" not in figure.finding
    assert "A: $0.00" in figure.finding


def test_a_tax_is_given_with_the_shops_reason(pair_of, demo_shop, place):
    lines = [{"item": "Frame", "amount": "100.00"}, {"item": "Tax", "amount": "7.00", "tax": "frame-sales-tax"}]

    (note,) = blocks_of(price_section(pair_of(price=lines), place), "note")

    assert note.text in [tax.why for tax in demo_shop.taxes]
    assert note.label == "Sales tax on the frame"


def test_the_shops_own_words_about_returns_are_given_whole(demo_pair, demo_shop, place):
    texts = [block.text for block in blocks_of(price_section(demo_pair, place), "paragraph")]

    assert demo_shop.returns in texts
    assert demo_shop.remakes in texts
    assert demo_shop.cover in texts


def test_a_shop_without_words_on_cover_has_no_heading_for_it(pair_of, place):
    def headings(shop):
        return [block.text for block in blocks_of(price_section(pair_of(shop=shop), place), "heading")]

    assert "If something breaks" in headings({})
    assert "If something breaks" not in headings({"cover": None})


def owed_bill(*amounts, paid=None):
    lines = tuple(PriceLine(f"line {at}", Decimal(amount)) for at, amount in enumerate(amounts))
    total = sum((line.amount for line in lines), Decimal(0))
    balance = None if paid is None else total - Decimal(paid)
    return Bill(lines, total, None if paid is None else Decimal(paid), balance)


@pytest.mark.parametrize("amounts", [("200.00", "-150.00"), ("50.00", "-80.00"), ("0.00",)])
def test_a_share_of_the_bill_is_not_said_where_it_would_mislead(amounts, place):
    bill = owed_bill(*amounts)

    finding = _bars_figure(bill, place).finding

    assert "of every 100" not in finding
    assert place.money(max(line.amount for line in bill.lines)) in finding


def test_money_we_owe_is_not_called_a_debt(place):
    text = paid_text(owed_bill("50.00", paid="80.00"), place)

    assert "We owe you $30.00" in text
    assert "still to pay" not in text
