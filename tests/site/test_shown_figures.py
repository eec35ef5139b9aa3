"""Figures in the tables of a page: each one with a unit stands in numbers.json as well, there in full.

Left out, as nothing in them is worked out: money (typed in the order), and what each source says of light-reactive
lenses (facts of data/light_reactive.yaml). Inches and feet only repeat the millimetres and metres beside them.
"""

from __future__ import annotations

import json
import re

import pytest

from explain.story.wording import rounded

UNITS = {
    "mm": ("_mm", 1),
    "cm": ("_cm", 1),
    "m": ("_cm", 0.01),
    "g": ("_g", 1),
    "°": ("_deg", 1),
    "degrees": ("_deg", 1),
}
UNITS |= {"seconds": ("_s", 1), "minute": ("_s", 1 / 60), "minutes": ("_s", 1 / 60)}
SHOWN = re.compile(r"(?:([−+]?[\d.]+) to )?([−+]?[\d.]+) ?(mm|cm|m|g|°|degrees|seconds|minutes?)(?![\w])")
BARE = re.compile(r"[−+]?\d+(?:\.\d+)?")
INCHES = re.compile(r"\([^)]*(?:in|ft|°F)\)")
BY_CAPTION = {
    "Power in each direction": ("_dpt", 1),
    "Light let through, of 100": ("_of_100", 1),
    "Of every 100 parts of light": ("_of_100", 1),
    "Color fringe off the middle, in prism diopters": ("_prism_dpt", 1),
    "How far your lenses shift the view": ("_prism_dpt", 1),
}
"""Tables whose cells give no unit, or another one than the key: 1 cm at 1 m is 1 prism dioptre."""
NOT_WORKED_OUT = {"What each source says", "Your bill", "For any optician"}


def shown_in(table):
    """Every figure with a unit in the cells of a table: as printed, the ending of its key, and its factor."""
    caption = table.caption.get_text()
    if caption in NOT_WORKED_OUT:
        return []
    found = []
    for cell in table.select("tbody td, tbody th"):
        if cell.get("data-label") == "Price for each":  # an amount of money for 1 mm or 1 g
            continue
        text = INCHES.sub("", cell.get_text().replace("\N{NO-BREAK SPACE}", " "))
        if caption in BY_CAPTION and cell.name == "td" and cell.get("data-label") != "Price":
            found += [(shown, *BY_CAPTION[caption]) for shown in BARE.findall(text)]
        else:
            found += [(end, *UNITS[unit]) for *ends, unit in SHOWN.findall(text) for end in ends if end]
    return found


EDGE = "Thickness at places of the edge"
"""The one table that may be answered by the edge itself: hundreds of thicknesses, which would answer nearly any."""


def values_by_key(thing, key=""):
    """Every number with the key it stands under; in a list of ends, with the key of the list."""
    if isinstance(thing, dict):
        return [pair for name, value in thing.items() for pair in values_by_key(value, _key(key, name))]
    if isinstance(thing, list):
        return [pair for value in thing for pair in values_by_key(value, key)]
    return [(key, thing)] if isinstance(thing, int | float) and not isinstance(thing, bool) else []


def _key(above, name):
    """Side names and the like stand below a key that has the unit."""
    return above if name in {"right", "left"} and above else name


def is_kept(shown, ending, factor, values):
    """True where a value under a key of this ending comes out as printed, once rounded to as many places."""
    number = shown.replace("−", "").replace("+", "")
    places = len(number.partition(".")[2])
    return any(key.endswith(ending) and str(abs(rounded(value * factor, places))) == number for key, value in values)


def missing(tables, numbers):
    """Figures of the tables that no number answers."""
    everywhere = values_by_key(numbers)
    chosen = {key: value for key, value in numbers["chosen"].items() if key != "lenses"}
    lenses = [{k: v for k, v in lens.items() if k != "edge"} for lens in numbers["chosen"]["lenses"].values()]
    without_edge = values_by_key({**numbers, "chosen": [chosen, *lenses]})
    return [
        (table.caption.get_text(), shown, ending)
        for table in tables
        for shown, ending, factor in shown_in(table)
        if not is_kept(shown, ending, factor, everywhere if table.caption.get_text() == EDGE else without_edge)
    ]


@pytest.fixture
def tables(soup):
    return soup.select("table")


@pytest.fixture
def kept(demo_results, demo_order):
    path = demo_results[demo_order.stem].page.parents[2] / "private" / demo_order.stem / "numbers.json"
    return json.loads(path.read_text(encoding="utf-8"))


def test_every_figure_with_a_unit_in_a_table_is_kept_in_full(tables, kept):
    assert missing(tables, kept) == []


def test_the_pages_show_such_figures(tables):
    assert sum(len(shown_in(table)) for table in tables) > 10


GROUPS = [
    ("QH-2102", "away_from_the_middle", "How far your lenses shift the view"),
    ("QH-2102", "reflections", "Of every 100 parts of light"),
    ("QH-2102", "without_lenses", "Size of the blur"),
    ("QH-2102", "others", "Your left lens, cut level"),
    ("QH-2105", "progressive", "Your right lens, from the cross down"),
    ("QH-2105", "light_reactive", "Light let through, of 100"),
    ("QH-2106", "bifocal", "The window of your right lens"),
]


@pytest.mark.parametrize(("order", "group", "caption"), GROUPS)
def test_a_group_that_is_left_out_is_missed(soups, demo_results, order, group, caption):
    path = demo_results[order].page.parents[2] / "private" / order / "numbers.json"
    numbers = json.loads(path.read_text(encoding="utf-8"))
    tables = [table for table in soups[order].select("table") if table.caption.get_text() == caption]

    assert missing(tables, numbers) == []
    assert missing(tables, {**numbers, group: {}}) != []
