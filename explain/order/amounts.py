"""Money: amounts as they are typed on a bill, kept exact."""

from __future__ import annotations

import re
from decimal import Decimal

from explain.order.faults import UnclearError
from explain.order.numbers import SIGNS, cut

CENTS = Decimal("0.01")
LARGEST = Decimal(1_000_000)
PLAIN = re.compile(r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+")
THOUSANDS = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]*)?")
ONE_COMMA = re.compile(r"[0-9]{1,3},[0-9]{3}")
FIGURES = re.compile(
    r"(?P<sign>-?)\s*(?P<before>[^0-9.,+-]*?)\s*(?P<inner>-?)\s*(?P<figures>[0-9.,]+)\s*(?P<after>[^0-9.,+-]*)"
)
ALLOWED = "An amount has a point before the cents: 148.00 or 1,250.00. A minus sign makes it a discount."


def read_amount(text: str, currency: str, locale: str, name: str = "amount") -> Decimal:
    """An amount of the shop's currency, to the cent. Raises UnclearError when it could be two amounts.

    The sign or code of the currency may be typed, before or after; another currency's is refused.

    >>> read_amount("$1,250.00", "USD", "en_US")
    Decimal('1250.00')
    """
    found = FIGURES.fullmatch(text.translate(SIGNS).strip())
    advice = f"Type it as in:   {name}: 148.00"
    if not found or (found["sign"] and found["inner"]):
        raise UnclearError(f'"{name}" is not a sum of money: {cut(text)}', ALLOWED, advice)
    _refuse_other_currency(found, currency, locale, name, text)
    _refuse_two_ways(found["figures"], locale, name, text)
    amount = _exact(found["figures"], text, name, advice)
    return -amount if (found["sign"] or found["inner"]) and amount else amount


def _exact(figures: str, text: str, name: str, advice: str) -> Decimal:
    if THOUSANDS.fullmatch(figures):
        figures = figures.replace(",", "")
    if not PLAIN.fullmatch(figures):
        raise UnclearError(
            f"{name} can be read in two ways: {cut(text)}",
            f"{ALLOWED} A comma stands only before three figures.",
            advice,
        )
    if len(figures.partition(".")[2]) > 2:
        raise UnclearError(f"{name} has more than two places behind the point: {cut(text)}", ALLOWED, advice)
    if len(figures) > 12 or Decimal(figures) > LARGEST:
        raise UnclearError(f"{name} is too large: {cut(text)}", f"Amounts up to {LARGEST:,} are read.", advice)
    return Decimal(figures).quantize(CENTS)


def _refuse_two_ways(figures: str, locale: str, name: str, text: str) -> None:
    """Where a comma stands before the cents, 1,250 is 1250.00 to one reader and 1.25 to another."""
    if not ONE_COMMA.fullmatch(figures):
        return
    from babel.numbers import get_decimal_symbol  # noqa: PLC0415  slow to load, and rarely needed

    if get_decimal_symbol(locale) == ",":
        whole = figures.replace(",", "")
        raise UnclearError(
            f"{name} can be read in two ways: {cut(text)}",
            f"{ALLOWED} Where the shop lives, a comma stands before the cents.",
            f"Type it without the comma:   {name}: {whole}.00   or   {name}: {Decimal(figures.replace(',', '.')):.2f}",
        )


def _refuse_other_currency(found: re.Match[str], currency: str, locale: str, name: str, text: str) -> None:
    typed = [sign for sign in (found["before"].strip(), found["after"].strip()) if sign]
    if not typed:
        return
    own = _signs_of(currency, locale)
    if len(typed) > 1 or typed[0].upper() not in own:
        raise UnclearError(
            f"{name} is not in {currency}, the currency of the shop: {cut(text)}",
            f"Amounts are in {currency}; the sign {' or '.join(sorted(own))} may be typed or left out.",
            f"Type the amount in {currency}, for example:   {name}: 148.00",
        )


def _signs_of(currency: str, locale: str) -> set[str]:
    from babel.numbers import get_currency_symbol  # noqa: PLC0415  slow to load, and rarely needed

    local = get_currency_symbol(currency, locale=locale)
    return {currency, local.upper(), local.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ") or currency}
