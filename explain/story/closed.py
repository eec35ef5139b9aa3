"""Closed: the few kind words of a sealed page that does not open. No name, no figure, no shop but its phone."""

from __future__ import annotations

from msgspec import Struct

from explain.language import _


class ClosedWords(Struct, frozen=True):
    """What a closed page says. untried, missing, misfit and unable: why it did not open; one of them is shown."""

    title: str
    what_to_do: str
    untried: str
    missing: str
    misfit: str
    unable: str
    before_phone: str


def closed_words() -> ClosedWords:
    """The words in the language being spoken."""
    return ClosedWords(
        title=_("This page opens with your whole link."),
        what_to_do=_("It is kept closed for your privacy. Please open the link again just as we sent it."),
        untried=_("The page opens itself with JavaScript, and this browser has not run it."),
        missing=_("The last part of the link is missing. It begins with the sign # and opens the page."),
        misfit=_("The last part of this link does not open this page. A letter may have been lost on the way."),
        unable=_("This browser cannot open the page. A newer browser can, with a link that begins with https."),
        before_phone=_("If it stays closed, call us, and we will gladly help:"),
    )
