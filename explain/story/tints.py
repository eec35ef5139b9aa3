"""Tints: how dark a lens is by its category, and what that allows at the wheel."""

from __future__ import annotations

from explain.facts import data_file, least_at_night_of_100, may_drive_by_day
from explain.language import _
from explain.optics.spread import Spread
from explain.optics.tint import tint_category
from explain.order.model import Order
from explain.story.blocks import Table
from explain.story.wording import between, listed, plain


def tint_table(order: Order) -> Table:
    """List the categories of tint: the light they let through, and when they may be worn for driving."""
    rows = tuple((_name(key, order), _range_words(key), driving_words(key)) for key in _ranges())
    columns = (_("Category"), _("Lets through, of 100"), _("Driving"))
    note = _(
        "At dusk and at night a lens must let through {least} of 100 or more. "
        "Rules differ from place to place, so check yours.",
        least=plain(least_at_night_of_100(), 0),
    )
    return Table(_("How dark, and driving"), columns, rows, note)


def driving_words(category: int) -> str:
    """Say when any tint of this category may be worn for driving.

    >>> driving_words(0), driving_words(3), driving_words(4)
    ('day and night', 'by day only', 'never')
    """
    if not may_drive_by_day(category):
        return _("never")
    return _("day and night") if category_range(category).low >= least_at_night_of_100() else _("by day only")


def category_range(category: int) -> Spread:
    """Light that a tint of this category lets through, of every 100 parts."""
    low, high = _ranges()[category]
    return Spread(low, high)


def categories_text(passed_of_100: Spread) -> str:
    """Say in which categories lenses lie that let this much through once dark, and what that means for driving.

    >>> categories_text(Spread(15, 40)).split(". ")[0]
    'In the sun, lenses like these let through 15 to 40 of 100: category 2 or 3'
    """
    found = sorted({tint_category(end, _ranges()) for end in (passed_of_100.low, passed_of_100.high)})
    return _(
        "In the sun, lenses like these let through {through} of 100: category {categories}. "
        "While they are dark, they are for driving by day only. "
        "In the cold they can go darker than any lens for driving.",
        through=between(passed_of_100),
        categories=listed([str(key) for key in found], "or"),
    )


def _ranges() -> dict[int, tuple[int, int]]:
    ranges: dict[int, tuple[int, int]] = data_file("tints")["let_through_of_100"]
    return ranges


def _name(category: int, order: Order) -> str:
    tint = order.lenses.tint
    is_mine = tint is not None and tint.category == category
    return _("{category} (yours)", category=category) if is_mine else str(category)


def _range_words(category: int) -> str:
    return between(category_range(category))
