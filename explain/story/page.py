"""The page: every part in the reader's order, absent where it does not apply."""

from __future__ import annotations

from msgspec import Struct

from explain.language import _, page_locale, spoken
from explain.order.model import Order, Shop
from explain.story.blocks import Section
from explain.story.bought import FirstScreen, first_screen
from explain.story.checked import checked_section
from explain.story.choices import choices_section
from explain.story.diary import recheck_text
from explain.story.fitting import fit_section
from explain.story.getting_used import getting_used_section
from explain.story.keep import calling_section, keep_section
from explain.story.pair import Pair
from explain.story.prescription import prescription_section
from explain.story.price import price_section
from explain.story.remake import Remake, remake_of
from explain.story.sight import sight_section
from explain.story.thickness import thickness_section
from explain.story.wearing import (
    care_section,
    good_eye_section,
    light_reactive_section,
    tint_section,
)
from explain.story.wording import Place


class Group(Struct, frozen=True):
    """Sections under one heading of the contents list, at most seven."""

    title: str
    sections: tuple[Section, ...]


class PageStory(Struct, frozen=True):
    """Everything the page says, before it is drawn and placed."""

    order: Order
    shop: Shop
    ordered_on: str
    first: FirstScreen
    recheck: str
    groups: tuple[Group, ...]
    remake: Remake | None = None


def locale_of_page(pair: Pair) -> str:
    """Locale of the page of a pair: the order's language, else the shop's, as the shop's country writes it."""
    return page_locale(pair.shop.locale, pair.order.language or pair.shop.language)


def tell(pair: Pair) -> PageStory:
    """Tell the whole page for one worked-out pair, in the language being spoken."""
    place = Place(page_locale(pair.shop.locale, spoken().code), pair.shop.currency)
    lenses = (
        prescription_section(pair),
        sight_section(pair),
        thickness_section(pair, place),
        choices_section(pair, place),
        checked_section(pair, place),
    )
    wearing = (
        good_eye_section(pair.order),
        getting_used_section(pair, place),
        light_reactive_section(pair),
        tint_section(pair.order),
        fit_section(pair),
        care_section(pair),
    )
    keeping = (price_section(pair, place), keep_section(pair, place), calling_section(pair))
    return PageStory(
        order=pair.order,
        shop=pair.shop,
        ordered_on=place.day(pair.order.ordered_on),
        first=first_screen(pair, place),
        recheck=recheck_text(pair.order, place),
        remake=remake_of(pair.order),
        groups=(
            _group(_("Your lenses"), lenses),
            _group(_("Wearing them"), wearing),
            _group(_("Price, keeping, calling"), keeping),
        ),
    )


def _group(title: str, sections: tuple[Section | None, ...]) -> Group:
    return Group(title, tuple(section for section in sections if section is not None))
