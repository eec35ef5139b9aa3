"""The shop file: who writes the page, in which currency, and what else the shop offers today."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import partial
from pathlib import Path

from explain.order.amounts import read_amount
from explain.order.columns import read_columns
from explain.order.document import read_document
from explain.order.faults import Remark, UnclearError
from explain.order.fields import LONGEST_VALUE, Section
from explain.order.keys import SHOP_KEYS, Key, nearest
from explain.order.model import Offer, Shop, Tax
from explain.order.nodes import Entry, Group, Text
from explain.order.numbers import cut
from explain.order.span import DEFAULT_MONTHS, read_span
from explain.order.web_address import read_web_address

PHONE = re.compile(r"\+?[0-9 ().\-/]+")
EMAIL = re.compile(r"[^@\s<>\"']+@[^@\s<>\"']+\.[^@\s<>\"']+")
TAX_KEY = re.compile(r"[a-z][a-z0-9-]{0,39}")


def read_shop(path: Path) -> Shop:
    """The shop in a file. Raises OrderError with every fault of the file."""
    group, findings = read_document(path)
    root = Section(group, "", 1, findings, SHOP_KEYS)
    shop = _shop(root, path)
    findings.raise_if_faulty()
    if shop is None:
        raise AssertionError("a shop without faults is whole")
    return shop


def _shop(root: Section, path: Path) -> Shop | None:
    name, optician, hours = root.text("name", 80), root.text("optician"), root.text("hours", 400)
    returns, remakes, cover = (root.text(name, 1000) for name in ("returns", "remakes", "cover"))
    phone, email, tax_number = _phone(root), _email(root), root.text("tax-number")
    address, standard = _address(root), root.choice("standard") if root.has("standard") else "us"
    currency, locale = _currency(root), _locale(root)
    taxes, largest_blank = _taxes(root), root.number("largest-blank")
    money = (currency or "USD", locale or "en_US")
    columns, language = read_columns(root.child("csv")), root.choice("language")
    web_address, retire_after = read_web_address(root), _retire_after(root)
    sealed = root.has("sealed") and root.choice("sealed") == "true"
    materials, add_ons = _offers(root, "materials", *money), _offers(root, "add-ons", *money)
    if None in (name, optician, phone, hours, returns, remakes, standard, currency, locale) or not address:
        return None
    return Shop(
        name or "", optician or "", phone or "", email, address, hours or "", currency or "", locale or "",
        returns or "", remakes or "", cover, tax_number, taxes, materials, add_ons, standard or "", path,
        largest_blank, columns, language or "en", web_address, retire_after, sealed,
    )  # fmt: skip


LONGEST_PHONE = 15
"""Digits of the longest international number (ITU-T E.164, from memory); more are two numbers in one line."""


def _phone(root: Section) -> str | None:
    phone = root.text("phone")
    if phone is None or (PHONE.fullmatch(phone) and 5 <= sum(sign.isdigit() for sign in phone) <= LONGEST_PHONE):
        return phone
    root.fault(
        "phone",
        Remark(
            f"{cut(phone)} is not a number that can be called",
            root.key("phone").allowed,
            f"Type it as in:   {root.key('phone').example}",
        ),
    )
    return None


def _email(root: Section) -> str | None:
    email = root.text("email", 120)
    if email is None or EMAIL.fullmatch(email):
        return email
    root.fault(
        "email",
        Remark(
            f"{cut(email)} is not an email address",
            root.key("email").allowed,
            f"Type it as in:   {root.key('email').example}",
        ),
    )
    return None


def _address(root: Section) -> tuple[str, ...]:
    noted = root.findings.count
    items = root.items("address")
    if root.has("address") and not items and root.findings.count == noted:
        root.wrong_kind("address", "has no line")
    if root.has("address") and len(items) > 8:
        root.wrong_kind("address", f"has {len(items)} lines")
    lines = [root.clean("address", item.text, 80, item.line) for item in items]
    return tuple(line for line in lines if line)


def _currency(root: Section) -> str | None:
    raw = root.raw_text("currency") if root.has("currency") else "USD"
    return None if raw is None else root.attempt("currency", lambda: read_currency(raw))


def _locale(root: Section) -> str | None:
    raw = root.raw_text("locale") if root.has("locale") else "en_US"
    return None if raw is None else root.attempt("locale", lambda: read_locale(raw))


def _retire_after(root: Section) -> int | None:
    raw = root.raw_text("retire-after") if root.has("retire-after") else None
    if raw is None:
        return DEFAULT_MONTHS
    found = root.attempt("retire-after", lambda: (read_span(raw, root.key("retire-after").example),))
    return found[0] if found else None


def read_currency(text: str) -> str:
    """A currency code with hundredths, such as USD. Raises UnclearError."""
    from babel.numbers import get_currency_precision, list_currencies  # noqa: PLC0415  slow to load

    code = text.upper()
    advice = "Type the code as in:   currency: USD"
    if code not in list_currencies():
        raise UnclearError(
            f"{cut(text)} is not the code of a currency",
            "A currency is a three-letter code (ISO 4217), such as USD, EUR or GBP.",
            advice,
        )
    if get_currency_precision(code) != 2:
        raise UnclearError(
            f"{code} is not a currency with hundredths",
            "Amounts are kept with two places, so only currencies with hundredths can be used.",
            advice,
        )
    return code


def read_locale(text: str) -> str:
    """A language and country, such as en_US. Raises UnclearError."""
    from babel import Locale, UnknownLocaleError  # noqa: PLC0415  slow to load

    try:
        return str(Locale.parse(text.replace("-", "_")))
    except (UnknownLocaleError, ValueError):
        raise UnclearError(
            f"{cut(text)} is not a language and country",
            "A locale is a language, an underscore and a country.",
            "Type it as in:   locale: en_US",
        ) from None


def _taxes(root: Section) -> tuple[Tax, ...]:
    taxes = [_tax(root, entry) for entry in _entries(root, "taxes")]
    return tuple(tax for tax in taxes if tax)


def _tax(root: Section, entry: Entry) -> Tax | None:
    example = root.key("taxes").example
    if not TAX_KEY.fullmatch(entry.name):
        root.fault(
            "taxes",
            Remark(
                f"{cut(entry.name)} cannot be the short name of a tax",
                "Small letters, figures and dashes, starting with a letter.",
                f"Type it as in:   {example}",
            ),
            entry.line,
        )
        return None
    if not isinstance(entry.value, Group):
        root.fault(
            "taxes",
            Remark(
                f"the tax {entry.name} needs a name and a reason",
                root.key("taxes").allowed,
                f"Type it as in:   {example}",
            ),
            entry.line,
        )
        return None
    section = Section(entry.value, "taxes.*", entry.line, root.findings, root.keys)
    name, why = section.text("name"), section.text("why", 400)
    return Tax(entry.name, name, why) if name and why else None


def _offers(root: Section, name: str, currency: str, locale: str) -> tuple[Offer, ...]:
    offers = []
    for entry in _entries(root, name):
        if entry.name not in root.key(name).choices:
            root.fault(name, _unknown_offer(entry.name, root.key(name)), entry.line)
            continue
        price = root.attempt(name, partial(_price, entry, currency, locale), entry.line)
        if price is not None:
            offers.append(Offer(entry.name, price))
    return tuple(offers)


def _price(entry: Entry, currency: str, locale: str) -> Decimal:
    typed = entry.value.text if isinstance(entry.value, Text) else ""
    if not typed or len(typed) > LONGEST_VALUE:
        raise UnclearError(
            f"{entry.name} has no price",
            "Each choice has one amount; 0.00 where it costs nothing more.",
            f"Type it as in:   {entry.name}: 95.00",
        )
    return read_amount(typed, currency, locale, entry.name)


def _unknown_offer(choice: str, key: Key) -> Remark:
    near = nearest(choice, key.choices)
    advice = f"Perhaps you meant:   {near}" if near else "Check the spelling, or take the line out."
    return Remark(f"{cut(choice)} is not one of the {key.name} we know", key.allowed, advice)


def _entries(root: Section, name: str) -> tuple[Entry, ...]:
    """The names and values under a name, where the names are of the shop's choosing."""
    entry = root.entry(name)
    if entry is None:
        return ()
    if not isinstance(entry.value, Group):
        root.wrong_kind(name, "needs a group of names and values")
        return ()
    return tuple(entry.value.entries.values())
