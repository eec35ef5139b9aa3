"""Notices: the few plain words that stand where a customer's page was. No figure, no name, no price."""

from __future__ import annotations

from msgspec import Struct

from explain.language import _


class Notice(Struct, frozen=True):
    """A short page: its heading, its words, and words of a link to the page that takes its place, if there is one."""

    heading: str
    words: tuple[str, ...]
    link: str = ""
    before_phone: str = ""


def retired_notice() -> Notice:
    """Say kindly that the page was put away, and that the shop still knows the glasses."""
    return Notice(
        _("This page has been put away."),
        (
            _("It told about a pair of glasses. We take such pages down after a while, to keep them private."),
            _("We still have the record of your glasses. Call us, and we will gladly help."),
        ),
        before_phone=_("Our phone number:"),
    )


def replaced_notice() -> Notice:
    """Say that the glasses were made again, and where their page is now."""
    return Notice(
        _("Your glasses were made again."),
        (_("So this page has made way for a new one."),),
        link=_("Open the page of your new pair"),
        before_phone=_("If anything is unclear, call us:"),
    )
