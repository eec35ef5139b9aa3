"""Words about getting used to a pair: changes, notices, uses, cautions and the diary come from the catalogue."""

from __future__ import annotations

from datetime import date, timedelta
from gettext import NullTranslations
from itertools import product
from typing import Any

import pytest

from explain.order.keys import DESIGNS
from explain.story.blocks import Diary
from explain.story.changes import kind_text
from explain.story.diary import DAYS, first_day, recheck_text
from explain.story.getting_used import getting_used_section
from explain.story.pair import Pair
from explain.story.where import clear_width_text
from explain.story.wording import Place
from tests.language.catalogue import WORDS_IN_DATA, sentences_of
from tests.language.catalogue import said as in_catalogue
from tests.language.wrapped import (
    LOCALE,
    Remembering,
    Wrapping,
    WrappingAround,
    demo_pair,
    not_wrapped,
    said,
    speaking_with,
)
from tests.story.invented import pair_in

PLACE = Place(LOCALE, "USD")
MODULES = ("getting_used", "where", "changes", "cautions", "diary")
ADD = {"add": "1.50", "heights": "18 / 18"}
MEASURED = {"right": "-4.00 DS", "left": "-3.00 DS", "on": "2026-10-09"}
ALL_USES = ["all day", "driving", "sport", "desk", "reading", "music stand"]
ALL_DISTANCES = ["desk at 65 cm", "reading at 30 cm", "music stand at 90 cm"]
FAR = ["desk at 120 cm", "reading at 40 cm"]
NO_POWER = {"right": None, "left": None}
KINDS: dict[str, dict[str, Any]] = {
    "single-vision": {},
    "progressive": ADD,
    "bifocal": ADD,
    "reading": ADD,
    "plano": NO_POWER,
}


def pair_of_kind(design: str, **more: Any) -> dict[str, Any]:
    return {"prescription": KINDS[design], "lenses": {"design": design}, "use": ALL_USES, **more}


def since(old: str, new: str, **more: Any) -> dict[str, Any]:
    return {"prescription": {"right": new}, "previous": {"right": old}, **more}


CASES: dict[str, dict[str, Any]] = {
    **{design: pair_of_kind(design) for design in DESIGNS},
    **{f"{design}, at distances": pair_of_kind(design, use=ALL_DISTANCES) for design in DESIGNS},
    **{f"{design}, first pair": pair_of_kind(design, previous="none", sent="2026-10-30") for design in DESIGNS},
    **{f"{design}, over 65": pair_of_kind(design, wearer=["over 65"], use=FAR) for design in DESIGNS},
    "progressive, over 65, old pair for far": pair_of_kind(
        "progressive", wearer=["over 65"], previous={"design": "single-vision"}
    ),
    "progressive, old pair for far": pair_of_kind("progressive", previous={"design": "single-vision"}),
    **{f"{design}, child": pair_of_kind(design, wearer=["child"], checked=MEASURED) for design in KINDS},
    "bifocal, near": pair_of_kind("bifocal", use=["reading at 40 cm", "desk at 80 cm"]),
    "progressive, again": pair_of_kind("progressive", previous={"design": "progressive"}),
    "far after reading power": pair_of_kind("single-vision", previous={"design": "progressive"}),
    "frame too shallow": {
        "prescription": {"add": "2.50", "heights": "10 / 10"},
        "lenses": {"design": "progressive"},
        "use": ["reading at 40 cm"],
    },
    "reading, far desk": pair_of_kind("reading", use=["desk at 90 cm"]),
    "tint without power": {
        "prescription": NO_POWER,
        "lenses": {"design": "plano", "add-ons": ["sun-tint"], "tint": {"colour": "1", "category": "3"}},
    },
    "checked, not sent": {"checked": MEASURED},
    "more minus": since("-3.50 DS", "-4.00 DS"),
    "less minus, large": since("-5.00 DS", "-4.00 DS"),
    "more plus": since("+1.00 DS", "+2.00 DS"),
    "less plus, both large": {
        "prescription": {"right": "+1.00 DS", "left": "+1.00 DS"},
        "previous": {"right": "+2.00 DS", "left": "+2.00 DS"},
    },
    "the same": since("-4.00 DS", "-4.00 DS"),
    "cylinder new": since("-3.00 DS", "-3.00 -1.00 x 90"),
    "cylinder gone": since("-3.00 -1.00 x 90", "-3.00 DS"),
    "cylinder stronger": since("+2.00 -0.50 x 90", "+1.00 -1.00 x 91"),
    "cylinder weaker": since("-3.00 -2.00 x 90", "-3.00 -1.00 x 102"),
    "cylinder turned": since("-3.00 -1.00 x 90", "-3.00 -1.00 x 92"),
    "plus stronger": since("+1.00 -0.50 x 90", "+2.50 -1.00 x 90"),
    "prism new": since("-4.00 DS", "-4.00 DS prism 2 up"),
    "prism changed": since("-4.00 DS prism 1 up", "-4.00 DS prism 2 up"),
    "prism gone": since("-4.00 DS prism 1 up", "-4.00 DS"),
    "prism in both": {
        "prescription": {"right": "-4.00 DS prism 1 up", "left": "-3.00 DS prism 1 down"},
        "previous": {"right": "-4.00 DS", "left": "-3.00 DS"},
    },
    "add stronger": pair_of_kind("progressive", previous={"right": "-4.00 DS", "design": "progressive", "add": "1.25"}),
    "add weaker": pair_of_kind("progressive", previous={"right": "-4.00 DS", "design": "bifocal", "add": "2.00"}),
}


def told(pair: Pair) -> tuple[object, ...]:
    return getting_used_section(pair, PLACE), recheck_text(pair.order, PLACE)


def same_everywhere(pair: Pair) -> tuple[str, ...]:
    """The x before an axis, and the days of the diary, which the locale writes by itself."""
    first = first_day(pair.order).when
    days = [first + timedelta(days=day) for day in range(DAYS + 1)] if first else []
    return (" x ", *(text for day in days for text in (PLACE.day(day), PLACE.short_day(day))))


def test_every_text_of_a_demo_order_comes_from_the_catalogue(demo_order):
    pair = demo_pair(demo_order)

    for catalogue in (Wrapping(), WrappingAround()):
        with speaking_with(catalogue):
            assert not_wrapped(told(pair), same_everywhere(pair)) == []


@pytest.mark.parametrize("changes", CASES.values(), ids=CASES)
def test_every_text_of_a_rarer_pair_comes_from_the_catalogue(tmp_path, changes):
    pair = pair_in(tmp_path, **changes)

    with speaking_with(WrappingAround()):
        blocks = told(pair)

    assert not_wrapped(blocks, same_everywhere(pair)) == []


@pytest.mark.parametrize("changes", CASES.values(), ids=CASES)
def test_an_empty_catalogue_leaves_every_text_in_english(tmp_path, changes):
    pair = pair_in(tmp_path, **changes)

    with speaking_with(NullTranslations()):
        spanish = list(said(told(pair)))

    assert len(spanish) == len(list(said(told(pair))))
    assert [text for text in spanish if "{" in text] == []


@pytest.mark.parametrize(("old", "new"), list(product(DESIGNS, DESIGNS)))
def test_every_change_of_the_kind_of_lens_has_its_words(old, new):
    with speaking_with(WrappingAround()):
        assert not_wrapped(kind_text(old, new)) == []


@pytest.mark.parametrize("what", ["desk", "music stand"])
def test_how_much_is_clear_at_once_has_its_words(what):
    with speaking_with(WrappingAround()):
        assert not_wrapped(clear_width_text(what, 65, 8.0)) == []


def test_the_days_of_the_diary_are_written_in_the_language_of_the_page(tmp_path):
    pair = pair_in(tmp_path, sent="2026-10-30")

    with speaking_with(NullTranslations()):
        (diary,) = [block for block in getting_used_section(pair, PLACE).blocks if isinstance(block, Diary)]

    assert first_day(pair.order).when == date(2026, 11, 2)
    assert diary.stages[0].rows[0][0] == "1: 2 nov"
    assert recheck_text(pair.order, PLACE) == "16 de noviembre de 2026"


def sentences_of_the_data() -> set[str]:
    """What data/getting_used.yaml may say, as the catalogue has it."""
    path = "explain/data/getting_used.yaml"
    return {message.id for message in in_catalogue() if any(where == path for where, _ in message.locations)}


def test_the_rarer_pairs_between_them_say_every_sentence_of_these_modules_and_their_data(tmp_path):
    pairs = [pair_in(tmp_path, **changes) for changes in CASES.values()]
    catalogue = Remembering()

    with speaking_with(catalogue):
        for pair in pairs:
            told(pair)

    assert "getting_used" in WORDS_IN_DATA
    assert sentences_of_the_data() - catalogue.known == set()
    assert {module: sentences_of(module) - catalogue.known for module in MODULES} == {
        module: set() for module in MODULES
    }
