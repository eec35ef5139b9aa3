"""Tables as spreadsheets save them: the same order is read from each, or the table is refused in words."""

from __future__ import annotations

from datetime import date

import pytest

from explain.draft.table import read_table
from explain.draft.taken import DraftError
from explain.order import read_shop
from tests.conftest import REPOSITORY

SHOP = read_shop(REPOSITORY / "orders" / "shop.yaml")
HEAD = "Order;Date;First name;Sph R;Cyl R;Axis R;Sph L;Cyl L;Axis L;Add;PD R;PD L"
ROW = "X-1;2026-10-02;Odile;-3,25;-0,75;172;-3,00;;;;31;30,5"
PLAIN = f"{HEAD}\n{ROW}\n"
RIGHT, LEFT = "-3.25 -0.75 x 172", "-3.00 DS"


def with_cell(old: str, new: str) -> str:
    return f"{HEAD}\n{ROW.replace(old, new)}\n"


def read(text: str):
    (row,) = read_table(text, "orders.csv", SHOP, REPOSITORY / "nowhere", date(2026, 10, 2))
    return row


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + PLAIN.replace("\n", "\r\n"),
        "sep=;\r\n" + PLAIN,
        "SEP=;;;;\n" + PLAIN,
        "\n".join(";".join(f'"{cell}"' for cell in line.split(";")) for line in PLAIN.splitlines()),
        PLAIN.replace(",", ".").replace(";", ","),
        "sep=,\n" + PLAIN.replace(",", ".").replace(";", ","),
        PLAIN.replace(";", "\t"),
        PLAIN.replace(";", "|"),
        HEAD.replace(";", ",") + "\n" + ",".join(f'"{cell}"' if "," in cell else cell for cell in ROW.split(";")),
        f"{HEAD};;\n{ROW};;\n;;;;;;;;;;;;;\n",
        f"{HEAD};;Remarks;\n{ROW};;;\n",
        HEAD.upper().replace(" ", "  ") + "\n" + ROW,
        with_cell("X-1", '"=""X-1"""'),
        with_cell("X-1", "'X-1"),
        with_cell(";-3,25", ";'-3,25"),
        with_cell(";-3,25;-0,75", ";\u22123,25;\u20130,75"),
        with_cell("-3,25", " -3,25\u00a0"),
        with_cell(";-3,25;-0,75;172;", ";-3,25 dpt;-0,75 D;172\u00b0;"),
        with_cell(";172;", ";172,0;"),
        with_cell(";172;", ";0172;"),
        with_cell(";-3,00;;", ";-3,00;DS;"),
        with_cell(";-3,00;;", ";-3,00;sph;"),
        with_cell(";-3,00;;", ";-3,00;-;"),
        with_cell(";-3,25;", ";-3,250;"),
    ],
)
def test_the_same_order_is_read_from_each(text):
    row = read(text)

    assert (row.number, row.taken.values["for"]) == ("X-1", "Odile")
    assert (row.taken.values["prescription.right"], row.taken.values["prescription.left"]) == (RIGHT, LEFT)
    assert row.taken.values["prescription.pd"] == "31 / 30.5"
    assert row.taken.warnings == ()


@pytest.mark.parametrize(
    ("text", "word"),
    [
        (with_cell("-3,25", "3,25"), "a sphere without a sign: 3.25"),
        (with_cell("-3,25", "-3,25E+00"), "not a number"),
        (with_cell("-3,25", "#WERT!"), "not a number"),
        (with_cell(";172;", ";01. Feb;"), "axis that is not a number"),
        (with_cell(";172;", ";;"), "a cylinder but no axis"),
        (with_cell(";-0,75;172;", ";;172;"), "an axis but no cylinder"),
        (with_cell("172", "1.720"), "numbers have a comma and 1 a point"),
        (with_cell("30,5", "30.5"), "numbers have a comma and 1 a point"),
        (with_cell("2026-10-02", "02.10.2026"), "not a date we can be sure of"),
        (with_cell("2026-10-02", "10/2/2026"), "not a date we can be sure of"),
        (with_cell("2026-10-02", "46297"), "not a date we can be sure of"),
        (with_cell("Odile;", "Odile;;"), "more cells than headings"),
        (with_cell("Odile", '"Odile'), "not a whole table"),
        (with_cell("30,5", ""), "PD R is filled in and PD L is not"),
        (f"{PLAIN}{ROW}\n", "stands in an earlier row too"),
        (f"{HEAD};Sph R\n{ROW};-1,00\n", 'the heading "sph r" stands twice'),
        (f"Orders of October;;\n{PLAIN}", "more cells than headings"),
        (f"{HEAD[6:]}\n{ROW[4:]}\n", "no column holds the number of the order"),
        (f"sep=;\n{HEAD}\n", "no row below the headings"),
        (f"sep=;\n{with_cell('-3,25', '3,25')}", "row 2, column Sph R"),
    ],
)
def test_what_could_be_two_lenses_or_two_days_is_refused_in_words(text, word):
    with pytest.raises(DraftError) as caught:
        read(text)

    assert word in str(caught.value)


def test_what_is_left_out_or_short_is_read_as_it_stands():
    assert read(with_cell("-3,00", "plan")).taken.values["prescription.left"] == "plano"
    assert read(with_cell("-3,25", "-325")).taken.warnings[0].message.endswith("read as -3.25")
    assert "prescription.left" not in read(with_cell("-3,00", "")).taken.values
    assert read(PLAIN.replace(";PD L", "").replace(";31;30,5", ";61,5")).taken.values["prescription.pd"] == "61.5"
    assert "for" in read(with_cell("Odile", "Odile Example")).taken.questions
