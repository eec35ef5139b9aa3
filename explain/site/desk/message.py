"""Message: the words that bring a customer the link, ready to send by mail or phone, in the language of the page."""

from __future__ import annotations

import re
from functools import lru_cache
from urllib.parse import quote

from jinja2 import Template
from markupsafe import Markup
from msgspec import Struct

from explain.language import _, page_locale, speaking
from explain.order.answer_text import COMMENT
from explain.order.model import Order, Shop
from explain.site.templating import Texts, environment, words_template
from explain.story.diary import recheck_text
from explain.story.wording import Place


class Message(Struct, frozen=True):
    """A message as plain text; the link stands on the last line. The subject tells nothing."""

    subject: str
    text: str

    @property
    def mail_link(self) -> str:
        """Opens the shop's own mail program with the message in it (RFC 6068); the address is the shop's to add."""
        return f"mailto:?subject={quote(self.subject)}&body={quote(self.text.replace(chr(10), chr(13) + chr(10)))}"

    @property
    def phone_link(self) -> str:
        """Opens a phone's own messages; `?&` is understood by both large kinds of phone (from memory)."""
        return f"sms:?&body={quote(self.text)}"


def message_for(order: Order, shop: Shop, link: str, own: Texts = ()) -> Message:
    """Fill words/message.md, the shop's own where there is one, and put the link under it."""
    locale = page_locale(shop.locale, order.language or shop.language)
    with speaking(locale):
        names = {
            "shop": {
                name: Markup(getattr(shop, name))  # noqa: S704  plain text: nothing is escaped, and nothing is HTML
                for name in ("name", "optician", "hours", "phone")
            },
            "for": Markup(order.first_name),  # noqa: S704  as above
            "recheck_date": Markup(recheck_text(order, Place(locale, shop.currency))),  # noqa: S704  as above
        }
        text = _template(words_template("message"), own).render(names)
        return Message(_("The page about your glasses"), f"{_tidy(text)}\n\n{link}")


@lru_cache(maxsize=16)
def _template(name: str, own: Texts) -> Template:
    """Words without their remarks: those go before names are filled in, of which one may look like a remark."""
    ours = environment(own)
    source = ours.loader.get_source(ours, name)[0] if ours.loader else ""
    return ours.from_string(COMMENT.sub("", source))


def _tidy(text: str) -> str:
    return re.sub(r"\n{3,}", "\n\n", text).strip()
