"""Words about the fit, wearing, light and the sheet to keep: all of them come from the catalogue."""

from __future__ import annotations

from gettext import NullTranslations
from typing import Any

import pytest
from msgspec.structs import replace

from explain.order import frame, trace_shape, trace_sides
from explain.story import wearing
from explain.story.fitting import fit_section, photo_text
from explain.story.getting_used import LOOK_STEPS
from explain.story.keep import assumptions, calling_section, keep_section
from explain.story.light import light_reactive_figure, light_reactive_sources
from explain.story.pair import Pair
from explain.story.sketches import said_steps
from explain.story.true_size import lenses_to_keep
from explain.story.wording import Place
from tests.language.wrapped import (
    LOCALE,
    Wrapping,
    WrappingAround,
    demo_pair,
    not_wrapped,
    said,
    speaking_with,
    typed_by_the_shop,
)
from tests.story.invented import pair_in

PLACE = Place(LOCALE, "USD")
ADD = {"add": "2.00", "heights": "18 / 18"}
NO_POWER = {"right": None, "left": None}
TINT = {"add-ons": ["sun-tint"], "tint": {"colour": "gris", "category": "2"}}
CASES: dict[str, dict[str, Any]] = {
    "single vision": {},
    "heights": {"prescription": {"heights": "20 / 19"}},
    "child": {"wearer": ["child"]},
    "child with heights": {"wearer": ["child"], "prescription": {"heights": "18 / 18"}},
    "one good eye": {"wearer": ["one good eye"], "prescription": {"left": "none"}},
    "balance": {"prescription": {"left": "balance"}},
    "one lens with a height": {"prescription": {"right": "none", "heights": "18"}},
    "left alone": {"prescription": {"right": "none"}},
    "progressive": {"prescription": ADD, "lenses": {"design": "progressive"}},
    "bifocal": {"prescription": ADD, "lenses": {"design": "bifocal"}},
    "reading": {"prescription": {"add": "1.50"}, "lenses": {"design": "reading"}},
    "no power": {"prescription": NO_POWER, "lenses": {"design": "plano"}},
    "plus, base curve": {
        "prescription": {"right": "+2.00 -1.00 x 90 prism 1 up", "left": "+2.00 DS", "pd": "62"},
        "lenses": {"base-curve": "6.25", "add-ons": ["anti-reflective", "hard-layer"]},
    },
    "dark": {"lenses": TINT},
    "too dark to drive": {"lenses": TINT | {"tint": {"colour": "gris", "category": "4"}}},
    "polarized": {"lenses": {"add-ons": ["polarised"]}},
    "light-reactive": {"lenses": {"add-ons": ["light-reactive"]}, "use": ["driving"]},
    "measured": {
        "prescription": {"heights": "20 / 19"},
        "checked": {
            "right": "-4.00 DS",
            "pd": "31 / 31.5",
            "heights": "20 / 19.5",
            "centre": "2.1 / 2.0",
            "on": "2026-10-09",
        },
    },
    "short frame": {"frame": {"size": "50-18"}},
}


def typed(pair: Pair) -> tuple[str, ...]:
    """What the shop wrote; the days of the order and the joiners of lists, which the locale gives."""
    checked = pair.order.checked
    days = [pair.order.ordered_on, *([checked.on] if checked and checked.on else [])]
    return " y ", " o ", *(PLACE.day(day) for day in days), *typed_by_the_shop(pair)


def told(pair: Pair) -> tuple[object, ...]:
    order = pair.order
    sections = (
        fit_section(pair),
        wearing.good_eye_section(order),
        wearing.light_reactive_section(pair),
        wearing.care_section(pair),
        wearing.tint_section(order),
        keep_section(pair, PLACE),
        calling_section(pair),
    )
    return tuple(section for section in sections if section is not None)


def test_every_text_of_a_demo_order_comes_from_the_catalogue(demo_order):
    pair = demo_pair(demo_order)

    for catalogue in (Wrapping(), WrappingAround()):
        with speaking_with(catalogue):
            sections = told(pair)

        assert sum("«" in text for text in said(sections)) > 40
        assert not_wrapped(sections, typed(pair)) == []


@pytest.mark.parametrize("changes", CASES.values(), ids=CASES)
def test_every_text_of_a_rarer_pair_comes_from_the_catalogue(tmp_path, changes):
    pair = pair_in(tmp_path, **changes)

    for catalogue in (Wrapping(), WrappingAround()):
        with speaking_with(catalogue):
            sections = told(pair)

        assert not_wrapped(sections, typed(pair)) == []


@pytest.mark.parametrize("changes", CASES.values(), ids=CASES)
def test_an_empty_catalogue_leaves_every_text_in_english(tmp_path, changes):
    pair = pair_in(tmp_path, **changes)

    with speaking_with(NullTranslations()):
        spanish = list(said(told(pair)))

    assert len(spanish) == len(list(said(told(pair))))
    assert [text for text in spanish if "{" in text] == []


def test_what_was_assumed_of_a_traced_frame_is_said_from_the_catalogue(tmp_path):
    pair = pair_in(tmp_path)
    notes = (
        frame.PRINTED_SIZE_NOTE,
        trace_shape.NOTE,
        trace_sides.ONE_FOR_BOTH,
        trace_sides.SMALL_GAP,
        *trace_sides.ONLY_ONE_TRACED.values(),
        *trace_sides.SOURCES.values(),
    )
    traced = replace(pair, order=replace(pair.order, frame=replace(pair.order.frame, notes=notes)))

    with speaking_with(Wrapping()):
        found = assumptions(traced)

    assert {f"«{note}»" for note in notes} <= set(found)


def test_single_texts_come_from_the_catalogue(tmp_path):
    pair = pair_in(tmp_path, prescription=ADD, lenses={"design": "progressive"})
    unknown = replace(
        pair, order=replace(pair.order, fit=replace(pair.order.fit, height_right_mm=None, height_left_mm=None))
    )

    with speaking_with(WrappingAround()):
        found = (
            said_steps(LOOK_STEPS)[0].sketches,
            photo_text(replace(pair.shop, email=None)),
            keep_section(unknown, PLACE),
            lenses_to_keep(unknown),
            light_reactive_figure(),
            light_reactive_sources(),
        )

    assert not_wrapped(found, typed(pair)) == []
