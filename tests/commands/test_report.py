"""Reports: JSON for a script, and a summary by kind that stays readable however many orders there are."""

from __future__ import annotations

import json

import pytest

from explain.cli import main
from explain.order.faults import Doubt, Fault
from explain.site.report import kind_of, kinds
from explain.site.results import Result
from tests.story.invented import write_order, write_shop


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    monkeypatch.chdir(tmp_path)

    def run_it(*arguments):
        status = main(list(arguments))
        said = capsys.readouterr()
        return status, said.out, said.err

    return run_it


def fault(number, message):
    return Fault(f"orders/{number}.yaml", 5, "axis", message, "x", "Allowed.", "Type it.")


def test_a_build_is_reported_as_json(run, tmp_path):
    write_order(tmp_path / "orders")
    write_order(tmp_path / "orders", order="T-0002", prescription={"right": "-4.00 -1.00"})

    status, _, _ = run("build", "--report", "report.json")

    report = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))
    assert status == 2
    assert [report[key] for key in ("command", "orders_read", "orders_with_faults", "pages_written")] == [
        "build",
        2,
        1,
        1,
    ]
    assert [one["order"] for one in report["orders"]] == ["T-0001", None]
    assert report["orders"][0]["page"].endswith("index.html")
    assert "axis" in report["orders"][1]["faults"][0]["message"]
    assert report["kinds"][0]["files"] == ["orders/T-0002.yaml"]


def test_a_check_is_reported_too_also_beside_json_on_the_screen(run, tmp_path):
    write_order(tmp_path / "orders")

    assert run("check", "--report", "one.json")[0] == 0
    status, said, _ = run("check", "--json", "--report", "two.json")

    assert status == 0
    assert json.loads(said)[0]["order"] == "T-0001"
    assert json.loads((tmp_path / "two.json").read_text(encoding="utf-8"))["command"] == "check"


def test_a_report_that_cannot_be_written_is_told(run, tmp_path):
    write_order(tmp_path / "orders")
    (tmp_path / "there").mkdir()

    status, _, complained = run("check", "--report", "there")

    assert status == 2
    assert "there: the report cannot be written there" in complained


def test_the_same_fault_with_other_figures_is_one_kind():
    assert kind_of(fault(1, 'an axis of 495; "a" is odd')) == kind_of(fault(2, 'an axis of -18.5; "b c" is odd'))
    assert kind_of(fault(1, "an axis of 495")) != kind_of(fault(1, "a cylinder of 495"))


def test_a_thousand_orders_are_told_in_a_few_lines(capsys):
    from explain.commands.report import say_by_kind

    results = [
        Result(f"T-{number:04}", (fault(f"T-{number:04}", f"an axis of {number + 181}"),), ()) for number in range(1000)
    ]
    results.append(Result("T-1000", (), (Doubt("orders/T-1000.yaml", 1, "", "odd", "x", "Allowed.", "Look."),)))

    say_by_kind(results)

    lines = capsys.readouterr().err.splitlines()
    assert len(lines) < 15
    assert "The same in 999 other orders: T-0001.yaml, T-0002.yaml" in "\n".join(lines)
    assert "and 994 more; --report FILE names all." in "\n".join(lines)
    assert [kind.is_fault for kind in kinds(results)] == [True, False]


def test_more_than_twenty_orders_are_told_by_kind(run, tmp_path):
    for number in range(21):
        write_order(tmp_path / "orders", order=f"T-{number:04}", prescription={"right": "-4.00 -1.00"})

    status, said, complained = run("check")

    assert status == 2
    assert complained.count("a cylinder but no axis") == 1
    assert "The same in 20 other orders" in complained
    assert "21 orders with faults" in said
