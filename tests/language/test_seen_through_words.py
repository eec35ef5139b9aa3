"""Words about looking through the lenses, and about the check of the pair: all of them come from the catalogue."""

from __future__ import annotations

from gettext import NullTranslations
from typing import Any

import pytest

from explain.order.faults import Fault
from explain.site.measured import outside_limit
from explain.story import window, zones
from explain.story.checked import checked_section
from explain.story.figures import comparison_row, difference_text
from explain.story.pair import Pair
from explain.story.sideways import sideways_blocks
from explain.story.verify import comparisons, outside
from explain.story.window import bifocal_blocks
from explain.story.wording import Place, sentence_case
from explain.story.zones import progressive_blocks
from tests.language.catalogue import sentences_of
from tests.language.wrapped import (
    LOCALE,
    Remembering,
    Wrapping,
    demo_pair,
    not_wrapped,
    said,
    speaking_with,
    typed_by_the_shop,
)
from tests.story.invented import pair_in

PLACE = Place(LOCALE, "USD")
MODULES = ("parts", "zones", "marks", "window", "sideways", "checked", "figures")
ACCEPTED = {"by": "Odile, 16-10", "why": "1, 2, 3."}
MEASURED = {"right": "-4.00 DS", "left": "-3.00 DS"}


def progressive(add: str, heights: str, depth: str, size: str = "52-17-140", **eyes: str) -> dict[str, Any]:
    given = {"right": "+1.50 -0.50 x 90", "left": "+1.75 -0.75 x 85", "pd": "30.5 / 31"}
    return {
        "prescription": {**given, "add": add, "heights": heights, **eyes},
        "frame": {"size": size, "depth": depth},
        "lenses": {"design": "progressive", "material": "high-index-1.60"},
    }


def bifocal(add: str, heights: str, size: str = "54-18-145", depth: str = "42") -> dict[str, Any]:
    return {
        "prescription": {"right": "-5.00 DS", "left": "-4.75 DS", "add": add, "heights": heights},
        "frame": {"size": size, "depth": depth},
        "lenses": {"design": "bifocal", "material": "polycarbonate-1.59"},
    }


def check(**checked: Any) -> dict[str, Any]:
    return {"checked": checked, "accepted": ACCEPTED}


CASES: dict[str, dict[str, Any]] = {
    "progressive": progressive("2.25", "20 / 20", "38"),
    "progressive, narrow": progressive("0.75", "22 / 22", "40", size="42-17-140"),
    "progressive, cut off": progressive("2.00", "9 / 9", "30"),
    "progressive, strong add": progressive("3.50", "26 / 26", "50"),
    "progressive, uneven": progressive("2.25", "20 / 16", "38"),
    "progressive, 1 lens": progressive("2.25", "15", "28", left="none"),
    "progressive, marks cut away": progressive("2.25", "18 / 18", "30", size="38-17-140", pd="26 / 35"),
    "bifocal": bifocal("2.50", "17 / 17"),
    "bifocal, uneven": bifocal("1.25", "17 / 19"),
    "bifocal, deep": bifocal("3.50", "26 / 26", depth="50", size="40-18-145"),
    "unlike": {"prescription": {"right": "-1.00 DS", "left": "-4.00 DS"}},
    "unlike, aside only": {"prescription": {"right": "-1.00 DS", "left": "-1.00 -3.00 x 90"}},
    "strong": {"prescription": {"right": "-9.00 -1.00 x 20", "left": "-8.00 DS"}},
    "checked on a day": check(**MEASURED, on="2026-10-09", pd="31 / 32", centre="2.0 / 2.0"),
    "checked": check(**MEASURED, heights="20 / 20"),
    "only centers": check(pd="31 / 31", on="2026-10-09"),
    "only heights": {"prescription": {"heights": "19 / 19"}, **check(heights="20 / 20")},
    "only distances": check(pd="31 / 31"),
    "outside": {
        "prescription": {"right": "-4.00 -1.00 x 10", "left": "-3.00 -1.00 x 10 prism 1 up"},
        "lenses": {"add-ons": ["hard-layer"]},
        **check(right="-4.50 -1.50 x 30", left="-3.00 -1.00 x 11"),
    },
    "prism": {
        "prescription": {"right": "-4.00 DS prism 1 down", "left": "-3.00 -1.00 x 10 prism 1 up"},
        **check(right="-4.00 DS prism 1 down", left="-3.00 -1.00 x 10 prism 3 up", pd="33 / 33", heights="20 / 20"),
    },
    "checked, progressive": {
        **progressive("2.25", "20 / 20", "38"),
        **check(right="+1.50 -0.50 x 92", left="+1.75 -0.75 x 85", add="2.75", pd="30.5 / 33", heights="20 / 23"),
    },
    "balance": {"prescription": {"left": "balance"}, **check(right="-4.00 DS", left="-3.00 DS")},
    "iso": {
        "shop": {"standard": "iso"},
        "prescription": {"right": "-4.00 -1.00 x 10", "left": "-3.00 -1.00 x 10"},
        **check(right="-4.00 -1.50 x 10", left="-3.00 -1.00 x 12"),
    },
    "looked at": {"inspected": {"what": "1, 2", "by": "Jo", "on": "2026-10-13"}},
}


def typed(pair: Pair) -> tuple[str, ...]:
    """What the shop wrote, also with the capital letter that a list gives it."""
    return tuple(words for text in typed_by_the_shop(pair) for words in (text, sentence_case(text)))


def told(pair: Pair) -> tuple[object, ...]:
    checked = checked_section(pair, PLACE)
    return *progressive_blocks(pair), *bifocal_blocks(pair), *sideways_blocks(pair), *((checked,) if checked else ())


def test_every_text_of_a_demo_order_comes_from_the_catalogue(demo_order):
    pair = demo_pair(demo_order)

    with speaking_with(Wrapping()):
        blocks = told(pair)

    assert not_wrapped(blocks, typed(pair)) == []


@pytest.mark.parametrize("changes", CASES.values(), ids=CASES)
def test_every_text_of_a_rarer_pair_comes_from_the_catalogue(tmp_path, changes):
    pair = pair_in(tmp_path, **changes)

    with speaking_with(Wrapping()):
        blocks = told(pair)

    assert any("«" in text for text in said(blocks))
    assert not_wrapped(blocks, typed(pair)) == []


@pytest.mark.parametrize("changes", CASES.values(), ids=CASES)
def test_an_empty_catalogue_leaves_every_text_in_english(tmp_path, changes):
    pair = pair_in(tmp_path, **changes)

    with speaking_with(NullTranslations()):
        spanish = list(said(told(pair)))

    assert len(spanish) == len(list(said(told(pair))))
    assert [text for text in spanish if "{" in text] == []


def says_of_odd_frames() -> None:
    """Say what only a traced lens of more than 90 mm, or one with its corridor outside, brings about."""
    window._measure("", 1.0)
    zones._measure("", 1.0)
    zones._width_words(None)


def test_the_rarer_pairs_between_them_say_every_sentence_of_these_modules(tmp_path):
    pairs = [pair_in(tmp_path, **changes) for changes in CASES.values()]
    catalogue = Remembering()

    with speaking_with(catalogue):
        for pair in pairs:
            told(pair)
        says_of_odd_frames()

    assert {module: sentences_of(module) - catalogue.known for module in MODULES} == {
        module: set() for module in MODULES
    }


def test_the_names_of_the_rows_come_from_the_catalogue_and_the_terminal_stays_english(tmp_path):
    pair = pair_in(tmp_path, **CASES["outside"])

    with speaking_with(Wrapping()):
        rows = [comparison_row(one)[0] for one in comparisons(pair)]
        differences = [difference_text(one) for one in outside(pair)]
        message = outside_limit(pair, outside(pair)[0], Fault).message

    assert [row[0] + row[-1] for row in rows] == ["«»"] * len(rows)
    assert not_wrapped(tuple(differences)) == []
    assert "«" not in message
