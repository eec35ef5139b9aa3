"""`explain links`: what to send to whom, as a table, JSON and CSV; what has no page is told apart."""

from __future__ import annotations

import csv
import io
import json

import pytest

from explain.cli import main
from tests.story.invented import write_order, write_shop


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    """Run a command in a folder with a shop and two orders, the first of which is built."""
    (tmp_path / "orders").mkdir()
    monkeypatch.chdir(tmp_path)
    write_shop(tmp_path / "orders")
    write_order(tmp_path / "orders", sent="2026-10-10")
    write_order(tmp_path / "orders", order="T-0002", **{"for": 'Ines, "Ina"'})

    def run_it(*words):
        status = main([*words])
        return (status, *capsys.readouterr())

    run_it("build", "orders/T-0001.yaml")
    return run_it


def test_the_table_has_the_link_and_the_day_to_call_and_names_what_has_no_page(run):
    status, said, complained = run("links")

    heading, line = said.splitlines()
    assert heading.split() == ["Order", "First", "name", "Link", "Call", "on"]
    assert line.startswith("T-0001  Odile")
    assert line.endswith("/  2026-10-27")
    assert "https://glasses.quillharbor.example/" in line
    assert (status, complained) == (0, "T-0002: has no page yet. Write it:   explain build\n")


def test_json_and_csv_hold_the_same_with_the_message(run):
    run("build")
    from_json = json.loads(run("links", "--json")[1])
    from_csv = list(csv.DictReader(io.StringIO(run("links", "--csv")[1])))

    assert [row["order"] for row in from_json] == ["T-0002", "T-0001"]
    assert from_csv == [row | {"follow_up": row["follow_up"] or ""} for row in from_json]
    assert from_json[0]["follow_up"] is None
    assert from_json[1]["message"].endswith(from_json[1]["link"])
    assert from_csv[0]["first_name"] == 'Ines, "Ina"'


def test_only_the_orders_named_are_told(run):
    run("build")

    assert [row["order"] for row in json.loads(run("links", "--json", "orders/T-0002.yaml")[1])] == ["T-0002"]


def test_a_fault_or_a_missing_file_gives_status_2_and_no_link(run, tmp_path):
    write_order(tmp_path / "orders", frame={"size": "500"})

    status, said, complained = run("links", "orders/T-0001.yaml", "orders/nobody.yaml")

    assert (status, said) == (2, "")
    assert "T-0001: has faults. See:   explain check orders/T-0001.yaml" in complained
    assert "nobody.yaml: there is no such file." in complained


def test_without_a_web_address_the_folder_is_named(run, tmp_path):
    write_shop(tmp_path / "orders", **{"web-address": None})

    status, said, complained = run("links", "orders/T-0001.yaml")

    assert (status, said) == (0, "")
    assert "its page is in upload/" in complained


def test_a_shop_file_with_faults_is_named(run, tmp_path):
    (tmp_path / "orders" / "shop.yaml").write_text("name: x\n", encoding="utf-8")

    assert run("links") == (2, "", "orders/shop.yaml: is missing or has faults. See:   explain check\n")


def test_the_old_link_of_a_pair_made_again_is_not_sent(run, tmp_path):
    why = {"order": "T-0001", "what": "the left lens was made again", "why": "its axis was off"}
    write_order(tmp_path / "orders", order="T-0003", replaces=why)
    run("build", "orders/T-0003.yaml")

    status, said, complained = run("links", "orders/T-0001.yaml", "orders/T-0003.yaml")

    assert [line.split()[0] for line in said.splitlines()[1:]] == ["T-0003"]
    assert (status, complained) == (0, "T-0001: its page leads on to T-0003. Send that link instead.\n")
