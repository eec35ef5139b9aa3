"""Card: the few words that lie in the box beside the glasses, in the language of the page."""

from __future__ import annotations

from msgspec import Struct

from explain.language import _
from explain.order.model import Order, Shop


class CardWords(Struct, frozen=True):
    """What the card says round its QR code. code: what the code is, for whoever does not see it."""

    title: str
    number: str
    scan: str
    code: str
    type_it: str
    private: str
    call: str


def card_words(order: Order, shop: Shop) -> CardWords:
    """The words of one card: first name and order number, nothing of the eyes."""
    return CardWords(
        title=_("For {name}", name=order.first_name),
        number=_("Order {number}", number=order.number),
        scan=_("Scan for the page about your glasses"),
        code=_("QR code of the page about your glasses"),
        type_it=_("Or type this address:"),
        private=_("Whoever has this card can read the page. Please keep it to yourself."),
        call=_("Questions? Call {phone}, {hours}.", phone=shop.phone, hours=shop.hours),
    )
