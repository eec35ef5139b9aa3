"""The receipt: what an insurer or a health account asks for, and nothing the page does not know."""

from __future__ import annotations

import pytest

from explain.story.receipt import receipt, receipt_blocks, sold_text


def test_a_receipt_stands_only_where_the_shop_has_a_tax_number(pair_of, place):
    assert len(receipt_blocks(pair_of(), place)) == 2
    assert receipt_blocks(pair_of(shop={"tax-number": None}), place) == []


def test_it_holds_every_line_of_the_bill_and_its_total(demo_pair, place):
    shown = receipt(demo_pair, place).lines

    assert shown.rows == tuple((line.item, place.money(line.amount)) for line in demo_pair.order.bill.lines)
    assert shown.total == ("Total", place.money(demo_pair.order.bill.total))


def test_it_names_the_sender_the_order_and_the_day(demo_pair, place):
    told = receipt(demo_pair, place)
    facts = dict(told.facts)

    assert told.sender == (demo_pair.shop.name, *demo_pair.shop.address, demo_pair.shop.phone)
    assert facts["Order"] == demo_pair.order.number
    assert facts["Date"] == place.day(demo_pair.order.ordered_on)
    assert facts["Our tax number"].replace("\u2011", "-") == demo_pair.shop.tax_number


def test_the_surname_is_left_to_be_written_in(demo_pair, place):
    for_whom = dict(receipt(demo_pair, place).facts)["For"]

    assert for_whom.split()[0] == demo_pair.order.first_name
    assert set(for_whom.split()[1]) == {"_"}


def test_a_bill_with_something_still_to_pay_is_not_called_a_receipt(pair_of, place):
    owing = pair_of(paid="1.00")

    assert receipt(owing, place).title == "Bill, not yet paid in full"


@pytest.mark.parametrize(
    ("paid", "balance", "shown"),
    [
        (None, None, {}),
        ("180.00", None, {"Paid": "$180.00"}),
        ("100.00", None, {"Paid": "$100.00", "Still to pay": "$80.00"}),
        ("200.00", "-20.00", {"Paid": "$200.00", "We owe you": "$20.00"}),
    ],
    ids=["not said", "in full", "in part", "too much"],
)
def test_what_was_paid_stands_on_it(pair_of, place, paid, balance, shown):
    facts = dict(receipt(pair_of(paid=paid, balance=balance), place).facts)

    assert {what: facts[what] for what in ("Paid", "Still to pay", "We owe you") if what in facts} == shown


def test_it_says_whether_a_prescription_stands_behind_it(pair_of):
    assert sold_text(pair_of()) == "Prescription glasses, 1 pair"
    plano = pair_of(prescription={"right": "plano", "left": "plano", "pd": 62}, lenses={"design": "plano"})
    assert sold_text(plano) == "Glasses without a prescription"
