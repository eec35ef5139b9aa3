"""How the pair was checked: the words of each result, and that a difference is shown openly."""

from __future__ import annotations

import pytest

from explain.story.checked import checked_section, not_measured_text
from explain.story.verify import comparisons

ACCEPTED = {"by": "Odile, by phone", "why": "She needed the pair for a journey."}
SPACE = "\N{NO-BREAK SPACE}"


def table_of(section):
    return next(block for block in section.blocks if block.kind == "table")


def texts_of(section):
    return " ".join(f"{block.lead} {block.text}" for block in section.blocks if block.kind == "paragraph")


@pytest.mark.parametrize("checked", [None, {"on": "2026-10-09"}], ids=["no check", "only a day"])
def test_nothing_is_said_about_a_check_that_measured_nothing(pair_of, place, checked):
    assert checked_section(pair_of(checked=checked), place) is None


def test_every_comparison_has_a_row_with_what_is_allowed(demo_pair, place):
    table = table_of(checked_section(demo_pair, place))

    assert len(table.rows) == len(comparisons(demo_pair))
    for row, one in zip(table.rows, comparisons(demo_pair), strict=True):
        assert len(row) == len(table.columns)
        assert ("\N{PLUS-MINUS SIGN}" in row[-1]) == (one.allowed is not None)
        assert one.inside != ("outside" in row[-1])


def test_the_table_names_its_standard_and_edition(pair_of, place):
    pairs = {family: pair_of(checked={"right": "-4.00 DS"}, shop={"standard": family}) for family in ("us", "iso")}

    notes = {family: table_of(checked_section(pair, place)).note for family, pair in pairs.items()}

    assert "ANSI Z80.1" in notes["us"]
    assert "2015" in notes["us"]
    assert "ISO 21987" in notes["iso"]


def test_an_accepted_difference_is_shown_with_who_and_why(pair_of, place):
    section = checked_section(pair_of(checked={"right": "-4.50 DS"}, accepted=ACCEPTED), place)

    assert "1 figure is outside" in texts_of(section)
    assert ACCEPTED["by"] in texts_of(section)
    assert ACCEPTED["why"] in texts_of(section)
    assert bullets_of(section)[0][1] == (
        "Right sphere: \N{MINUS SIGN}4.50 instead of \N{MINUS SIGN}4.00, outside by 0.37 diopters.",
    )
    assert f"outside by 0.37{SPACE}diopters" in str(table_of(section).rows).replace(" diopters", f"{SPACE}diopters")


def test_several_differences_are_counted(pair_of, place):
    measured = {"right": "-4.50 DS", "left": "-3.50 DS"}

    section = checked_section(pair_of(checked=measured, accepted=ACCEPTED), place)

    assert "2 figures are outside" in texts_of(section)


def test_an_acceptance_that_was_not_needed_is_not_shown(pair_of, place):
    section = checked_section(pair_of(checked={"right": "-4.00 DS"}, accepted=ACCEPTED), place)

    assert "outside" not in texts_of(section)


@pytest.mark.parametrize(
    ("changes", "said", "unsaid"),
    [
        ({"checked": {"right": "-4.00 DS"}}, ["thickness", "centers"], ["layers"]),
        ({"checked": {"right": "-4.00 DS", "pd": "31 / 31"}}, ["thickness", "how high"], ["how far apart", "layers"]),
        ({"checked": {"right": "-4.00 DS"}, "lenses": {"add-ons": ["hard-layer"]}}, ["layers"], []),
    ],
)
def test_what_was_not_measured_is_named(pair_of, changes, said, unsaid):
    text = not_measured_text(pair_of(**changes))

    assert [word for word in said if word not in text] == []
    assert [word for word in unsaid if word in text] == []


INSPECTED = [
    {"what": ["lens surfaces for scratches", "screws and hinges"], "by": "Marta", "on": "2026-10-12"},
    {"what": "nose pads", "by": "jo", "on": "2026-10-13"},
]


def bullets_of(section):
    return [(block.lead, block.items) for block in section.blocks if block.kind == "bullets"]


def test_what_was_looked_at_is_listed_with_who_and_when(pair_of, place):
    section = checked_section(pair_of(checked={"right": "-4.00 DS"}, inspected=INSPECTED), place)

    assert bullets_of(section) == [
        ("Marta looked at these on October 12, 2026.", ("Lens surfaces for scratches", "Screws and hinges")),
        ("Jo looked at these on October 13, 2026.", ("Nose pads",)),
    ]
    assert "Any optician can repeat this check" in texts_of(section)


def test_one_inspection_needs_no_list(pair_of, place):
    assert len(bullets_of(checked_section(pair_of(inspected=INSPECTED[1]), place))) == 1


def test_a_pair_that_was_looked_at_and_not_measured_says_so(pair_of, place):
    section = checked_section(pair_of(inspected=INSPECTED), place)

    assert [block.kind for block in section.blocks] == ["bullets", "bullets", "paragraph", "note"]
    assert "No figures" in section.blocks[-1].text
    assert "lensmeter" not in texts_of(section)
