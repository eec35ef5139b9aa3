"""A table of orders: each row an order, every faulty cell told with row and column, all rows drafted or none."""

from __future__ import annotations

import random
import re
from datetime import date

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from explain.cli import main
from explain.draft.cells import table_of
from explain.draft.table import read_table
from explain.draft.taken import DraftError
from explain.draft.understood import report
from explain.order import OrderError, read_order, read_shop
from explain.order.order import read_plan
from tests.conftest import REPOSITORY
from tests.story.invented import write_shop

TABLE = (REPOSITORY / "tests" / "draft" / "orders.csv").read_text(encoding="utf-8")
SHOP = read_shop(REPOSITORY / "orders" / "shop.yaml")
NAME = "orders.csv"


@pytest.fixture
def shop_folder(tmp_path, monkeypatch):
    """A folder with a shop in orders/ and a table beside it, in which we stand."""
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    (tmp_path / NAME).write_text(TABLE, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def read(text, folder=REPOSITORY / "nowhere"):
    return read_table(text, NAME, SHOP, folder, date(2026, 10, 2))


def faults(text):
    with pytest.raises(DraftError) as caught:
        read(text)
    return str(caught.value)


def test_each_row_becomes_a_draft(shop_folder):
    assert main(["draft", NAME]) == 0

    first, second = (
        yaml.safe_load((shop_folder / "orders" / f"A-000{n}.yaml").read_text(encoding="utf-8")) for n in (5, 6)
    )
    assert first["prescription"] == {"right": "-3.25 -0.75 x 172", "left": "-3.00 DS", "pd": "31 / 30.5"}
    assert first["lenses"]["add-ons"] == ["anti-reflective", "hard-layer"]
    assert first["price"] == [{"item": "Frame price", "amount": 148.0}, {"item": "Lens price", "amount": 175.0}]
    assert (second["prescription"]["left"], second["prescription"]["add"]) == ("+1.25 -0.50 x 90", 2.25)
    assert "rush" not in str(first)


def test_a_full_row_is_a_whole_order(shop_folder):
    main(["draft", NAME])
    shop = read_shop(shop_folder / "orders" / "shop.yaml")

    assert read_order(shop_folder / "orders" / "A-0005.yaml", shop).order.bill.total == 323
    with pytest.raises(OrderError) as caught:
        read_plan(shop_folder / "orders" / "A-0006.yaml", shop)
    assert {fault.key for fault in caught.value.faults} == {
        "frame.name", "frame.size", "frame.depth", "frame.outline", "lenses.material",
    }  # fmt: skip


def test_every_faulty_cell_is_told_with_row_and_column_and_nothing_is_written(shop_folder, capsys):
    bad = (
        TABLE.replace("-3,25;", "3,25;")
        .replace(";172;", ";;")
        .replace("progressive", "progresive")
        .replace("175,00", "1x")
    )
    (shop_folder / NAME).write_text(bad.replace(";32;32;", ";32;;"), encoding="utf-8")

    assert main(["draft", NAME]) == 2

    told = re.findall(r"^orders\.csv, (row \d+.*?): ", capsys.readouterr().err, re.MULTILINE)
    assert told == [
        "row 2, column Sph R", "row 2, column Cyl R", "row 2, column Lens price", "row 3", "row 3, column Design",
    ]  # fmt: skip
    assert [path.name for path in (shop_folder / "orders").iterdir()] == ["shop.yaml"]


def test_one_order_that_is_there_already_stops_the_whole_table(shop_folder, capsys):
    (shop_folder / "orders" / "A-0006.yaml").write_text("mine", encoding="utf-8")

    assert main(["draft", NAME]) == 2

    assert "row 3, column Order" in capsys.readouterr().err
    assert not (shop_folder / "orders" / "A-0005.yaml").exists()


@pytest.mark.parametrize("sign", ["\t", ";", ",", "|"])
@pytest.mark.parametrize("decimal", [".", ","])
def test_the_sign_between_cells_and_the_decimal_sign_are_found_out_and_said(sign, decimal):
    cell = f'"-1{decimal}25"'
    taken = read(sign.join(["Order", "Sph R", "Sph L"]) + "\n" + sign.join(["A-1", cell, cell]))[0].taken

    assert taken.values["prescription.right"] == "-1.25 DS"
    assert {"\t": "tabs", ";": "semicolons", ",": "commas", "|": "bars"}[sign] in taken.notes[0]
    assert ("comma in" if decimal == "," else "point in") in taken.notes[0]


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("Number;Sph R\n1;-1.00", "no column holds the number"),
        ("Order;Sph R\n", "no row below"),
        ("Order;Sph R\nA-1;-1,25\nA-2;-1.25", "1 numbers have a comma and 1 a point"),
        ("Order;Order\nA-1;A-2", "stands twice"),
        ("Order;Sph R\nA-1;-1.00;x", "more cells than headings"),
        ('Order;Sph R\nA-1;"x', "not a whole table"),
        ("Order;Sph R\nA-1;-1.00\na-1;-1.00", "earlier row too"),
        ("Order;Sph R\n../x;-1.00", "cannot be the number"),
        ("Order;Sph R\nA-1;" + "x" * 500, "a cell holds 500"),
        ("Order;Sph R\n" + "A;-1.00\n" * 1001, "there are 1001 rows"),
        ("Order;Prism R;Sph R\nA-1;2;-1.00", "row 2, column Prism R"),
        ("Order;Date\nA-1;10/02/2026", "row 2, column Date"),
    ],
)
def test_a_table_that_cannot_be_used_says_why(text, word):
    told = faults(text)

    assert word in told
    assert len(told.splitlines()) >= 3


@pytest.mark.parametrize("first", ["sep=;\n", '"sep=;"\r\n', "SEP=;;;\n"])
def test_a_first_line_that_says_the_sign_between_the_cells_is_no_heading(first):
    plain, told = table_of(TABLE, ["Order"], NAME), table_of(first + TABLE, ["Order"], NAME)

    assert (told.headings, told.rows, told.said) == (plain.headings, plain.rows, plain.said)
    assert told.numbers == plain.numbers  # a spreadsheet does not show that line as a row


def test_a_whole_name_is_left_to_type():
    taken = read("Order;First name\nA-1;Odile Secret")[0].taken

    assert "for" in taken.questions
    assert "Secret" not in report(taken) + str(taken.values)


def test_a_shop_without_columns_says_what_to_add(shop_folder, capsys):
    write_shop(shop_folder / "orders", csv=None)

    assert main(["draft", NAME]) == 2
    assert "csv: {columns: {Order: order" in capsys.readouterr().err


@pytest.mark.parametrize("beside", [["--order", "A-1"], ["--again", "A-1"], ["--to", "-"]])
def test_only_a_folder_may_be_named_beside_a_table(shop_folder, beside):
    assert main(["draft", NAME, *beside]) == 2
    assert [path.name for path in (shop_folder / "orders").iterdir()] == ["shop.yaml"]


@given(st.text(alphabet='ABOrder;,|\t"\n\r0123.-+xSphR \0é', max_size=80))
def test_any_table_is_read_or_refused_in_words(text):
    for start in ("", "Order;Sph R;Cyl R;Axis R\n"):
        try:
            rows = read(start + text)
        except DraftError:
            continue
        assert all(report(row.taken) for row in rows)


def test_spoilt_tables_are_read_or_refused_in_words():
    chance = random.Random(20261125)  # noqa: S311  repeatable spoiling, nothing secret
    refused = 0
    for _ in range(300):
        letters = list(TABLE)
        for _ in range(chance.randint(1, 3)):
            letters[chance.randrange(len(letters))] = chance.choice([*';,"\n\t-+.xR9', chr(chance.randrange(0x300))])
        try:
            assert [report(row.taken) for row in read("".join(letters))]
        except DraftError:
            refused += 1
    assert 0 < refused < 300


def test_two_thousand_spoilt_tables_are_taken_apart_or_refused_in_words():
    chance = random.Random(20261125)  # noqa: S311  repeatable spoiling, nothing secret
    for _ in range(2000):
        letters = list(TABLE)
        for _ in range(chance.randint(1, 12)):
            letters[chance.randrange(len(letters))] = chance.choice([*';,"\n\t\0\r', chr(chance.randrange(0x300))])
        try:
            table = table_of("".join(letters), ["Order", "Sph R"], NAME)
        except DraftError:
            continue
        assert all(len(row) == len(table.headings) for row in table.rows)
