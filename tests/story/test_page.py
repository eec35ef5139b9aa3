"""The page as a whole: which parts it has and which it leaves out, in which order, under which headings."""

from __future__ import annotations

import pytest

ALWAYS = ["thickness", "choices", "getting-used", "fit", "care", "price", "keep", "calling"]
IN_ORDER = [
    *("prescription", "without", "thickness", "choices", "checked"),
    *("good-eye", "getting-used", "light-reactive", "tint", "fit", "care", "price", "keep", "calling"),
]
PLANO = {
    "prescription": {"right": None, "left": None},
    "lenses": {"design": "plano", "material": "polycarbonate-1.59"},
}


def ids(page):
    return [section.id for group in page.groups for section in group.sections]


def sections(page):
    return [section for group in page.groups for section in group.sections]


def test_a_plain_order_has_every_part_that_applies_to_it(page_of):
    assert ids(page_of()) == [
        name for name in IN_ORDER if name not in {"checked", "good-eye", "light-reactive", "tint"}
    ]


def test_a_pair_without_power_has_no_prescription_and_nothing_to_see_without_it(page_of):
    assert ids(page_of(**PLANO)) == ALWAYS


@pytest.mark.parametrize(
    ("changes", "part"),
    [
        ({"checked": {"right": "-4.00 DS"}}, "checked"),
        ({"wearer": ["child"]}, "good-eye"),
        ({"wearer": ["one good eye"]}, "good-eye"),
        ({"lenses": {"add-ons": ["light-reactive"]}}, "light-reactive"),
        ({"lenses": {"add-ons": ["sun-tint"], "tint": {"colour": "gray", "category": "2"}}}, "tint"),
    ],
)
def test_a_part_stands_only_where_it_applies(page_of, changes, part):
    assert part in ids(page_of(**changes))
    assert part not in ids(page_of())


def test_a_check_without_a_measured_value_makes_no_part(page_of):
    assert "checked" not in ids(page_of(checked={"on": "2026-10-09"}))


def test_the_parts_of_a_demo_page_stand_in_the_fixed_order(demo_page):
    assert ids(demo_page) == [name for name in IN_ORDER if name in ids(demo_page)]
    assert set(ALWAYS) <= set(ids(demo_page))


def test_the_contents_of_a_demo_page_are_grouped_by_at_most_seven_and_thirteen_in_all(demo_page):
    assert all(1 <= len(group.sections) <= 7 for group in demo_page.groups)
    assert len(ids(demo_page)) <= 13


def test_every_part_has_a_name_of_its_own_in_the_contents(demo_page):
    short = [section.short for section in sections(demo_page)]

    assert len(short) == len(set(short))
    assert all(0 < len(name.split()) <= 7 for name in short)


def test_the_day_of_the_order_has_its_month_in_words_as_the_shop_writes_it(page_of):
    assert page_of().ordered_on == "October 2, 2026"
    assert page_of(shop={"locale": "en_GB"}).ordered_on == "2 October 2026"


def test_every_figure_has_a_short_finding_a_measure_a_description_and_a_table(demo_page):
    figures = [block for section in sections(demo_page) for block in section.blocks if block.kind == "figure"]

    assert len(figures) >= 3
    assert [figure.finding for figure in figures if len(figure.finding.split()) > 15] == []
    for figure in figures:
        assert figure.measure
        assert figure.drawing.title == figure.finding
        assert figure.drawing.description
        assert figure.table.rows


def test_every_row_of_every_table_fills_its_columns_and_starts_with_its_own_heading(demo_page):
    blocks = [block for section in sections(demo_page) for block in section.blocks]
    tables = [getattr(block, "table", getattr(block, "figures", block)) for block in blocks]
    tables = [table for table in tables if table.kind == "table"]

    assert tables
    for table in tables:
        assert {len(row) for row in (*table.rows, table.total or table.rows[0])} == {len(table.columns)}
        assert all(row[0] for row in table.rows), table.caption


def test_no_list_is_longer_than_seven(demo_page):
    lists = [block for section in sections(demo_page) for block in section.blocks if block.kind == "bullets"]

    assert [block.lead for block in lists if len(block.items) > 7] == []
