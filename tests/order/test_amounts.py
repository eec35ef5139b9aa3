"""Money: kept to the cent, and never guessed at."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.order.amounts import read_amount
from explain.order.faults import UnclearError


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("148.00", "148.00"),
        ("148", "148.00"),
        ("148.5", "148.50"),
        ("$148.00", "148.00"),
        ("148.00 USD", "148.00"),
        ("1,250.00", "1250.00"),
        ("1,250", "1250.00"),
        ("-15.00", "-15.00"),
        ("−$15.00", "-15.00"),
        ("$-15.00", "-15.00"),
        ("-0.00", "0.00"),
    ],
)
def test_an_amount_is_read_to_the_cent(typed, amount):
    assert str(read_amount(typed, "USD", "en_US")) == amount


@pytest.mark.parametrize(
    "typed", ["1.250,00", "60,00", "12,50.00", "1.2345", "€5.00", "five", "1e3", "--5", ".", "5 5"]
)
def test_an_amount_that_could_be_another_is_asked_about(typed):
    with pytest.raises(UnclearError):
        read_amount(typed, "USD", "en_US")


def test_a_comma_before_3_figures_is_asked_about_where_a_comma_stands_before_the_cents():
    with pytest.raises(UnclearError) as asked:
        read_amount("1,250", "EUR", "de_DE", "paid")

    assert "paid: 1250.00   or   paid: 1.25" in asked.value.remark.advice


@pytest.mark.parametrize("typed", ["1,250.00", "1250.00", "1250"])
def test_an_amount_with_one_meaning_is_read_in_any_place(typed):
    assert str(read_amount(typed, "EUR", "de_DE")) == "1250.00"


@given(st.integers(-10_000_000, 10_000_000))
def test_an_amount_reads_back_to_itself(cents):
    amount = Decimal(cents) / 100

    assert read_amount(f"{amount:,.2f}", "USD", "en_US") == amount
