"""The next free number: after the newest order, never one that a page was ever built for."""

from __future__ import annotations

import os

import pytest

from explain.cli import main
from explain.draft.next_number import next_number
from tests.story.invented import write_shop


@pytest.fixture
def orders(tmp_path):
    (tmp_path / "orders").mkdir()
    return tmp_path / "orders"


def order(folder, number, *, name=None, second=0):
    path = folder / f"{name or number}.yaml"
    path.write_text(f'order: "{number}"\n', encoding="utf-8")
    os.utime(path, (second, second))


def test_the_first_order_of_a_shop_has_the_first_number(orders):
    (orders / "shop.yaml").write_text("name: x\n", encoding="utf-8")

    assert next_number(orders) == "A-0001"


@pytest.mark.parametrize(
    ("numbers", "following"),
    [
        (["A-0001"], "A-0002"),
        (["QH-2101", "QH-2199"], "QH-2200"),
        (["QH-999"], "QH-1000"),
        (["2026.17"], "2026.18"),
        (["Maria"], "Maria-1"),
        (["A-0007", "B-0001"], "B-0002"),
        (["b-5", "B-4"], "B-6"),
    ],
)
def test_it_counts_on_as_the_newest_order_does(orders, numbers, following):
    for second, number in enumerate(numbers):
        order(orders, number, second=second)

    assert next_number(orders) == following


def test_the_number_inside_a_file_counts_as_its_name_does(orders):
    order(orders, "A-0009", name="A-0001")

    assert next_number(orders) == "A-0010"


def test_a_number_whose_page_was_built_is_never_given_again(orders):
    order(orders, "A-0001")
    (orders.parent / "site_out" / "private" / "A-0005").mkdir(parents=True)
    (orders.parent / "elsewhere" / "private" / "a-0006").mkdir(parents=True)

    assert next_number(orders) == "A-0007"


def test_a_file_that_cannot_be_read_counts_by_its_name(orders):
    (orders / "A-0003.yaml").write_bytes(b"\xff\xfe\x00")

    assert next_number(orders) == "A-0004"


def test_a_draft_run_twice_makes_one_order(orders, monkeypatch, capsys):
    write_shop(orders)
    monkeypatch.chdir(orders.parent)
    words = ["draft", "R -1.00 L -1.25"]

    assert main(words) == 0
    assert main(words) == 2
    assert "orders/A-0001.yaml was started from the same words today" in capsys.readouterr().err
    assert main([*words, "--order", "A-0009"]) == 0
    assert main(["draft", "R -1.00 L -1.50"]) == 0
    assert sorted(path.stem for path in orders.glob("A-*.yaml")) == ["A-0001", "A-0009", "A-0010"]
