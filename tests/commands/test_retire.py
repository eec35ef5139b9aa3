"""The command retire, as typed: what it says, and what a build and a check say then."""

from __future__ import annotations

from pathlib import Path

import pytest

from explain.cli import main
from explain.commands.clock import TOLD
from tests.conftest import customer_pages
from tests.story.invented import write_order, write_shop


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    write_order(tmp_path / "orders")
    monkeypatch.chdir(tmp_path)

    def run_it(*arguments):
        status = main(list(arguments))
        said = capsys.readouterr()
        return status, said.out, said.err

    run_it("build")
    return run_it


def test_retiring_says_where_the_notice_is_and_how_to_undo_it(run):
    status, said, complained = run("retire", "T-0001", "--why", "moved away")

    assert (status, complained) == (0, "")
    assert "is now a plain notice" in said
    assert "explain retire T-0001 --undo" in said
    assert "put away on 2026-11-25: moved away" in run("build")[1]
    assert "0 pages written" in run("build", "orders/T-0001.yaml")[1]


def test_undoing_says_that_the_page_is_back(run):
    run("retire", "T-0001")

    assert "T-0001 is back as it was" in run("retire", "T-0001", "--undo")[1]
    assert run("retire", "T-0001", "--undo")[0] == 2


def test_undoing_before_the_day_says_that_the_page_was_never_away(run, tmp_path):
    (page,) = customer_pages(tmp_path / "site_out")
    before = page.read_bytes()
    run("retire", "T-0001", "--on", "2026-12-01")

    said = run("retire", "T-0001", "--undo")[1]

    assert said == "T-0001 stays as it is: it was not put away yet, and will not be on 2026-12-01.\n"
    assert page.read_bytes() == before


def test_undoing_after_the_day_says_so_too_where_no_build_put_the_page_away(run, monkeypatch):
    run("retire", "T-0001", "--on", "2026-12-01")
    monkeypatch.setenv(TOLD, "1796169600")  # 2026-12-02

    assert "was not put away yet" in run("retire", "T-0001", "--undo")[1]


def test_a_day_to_come_is_promised_for_a_later_build(run):
    assert "first build on or after 2026-12-01" in run("retire", "T-0001", "--on", "2026-12-01")[1]
    assert "T-0001: its page will be put away on 2026-12-01." in run("check")[1]


def test_a_check_knows_what_is_put_away_in_another_build(run):
    run("build", "--out", "elsewhere")
    run("retire", "T-0001", "--on", "2026-12-01", "--out", "elsewhere")

    assert "put away" not in run("check")[1]
    assert "T-0001: its page will be put away on 2026-12-01." in run("check", "--out", "elsewhere")[1]


@pytest.mark.parametrize("command", ["check", "links", "build"])
def test_a_damaged_record_is_told_and_never_a_traceback(run, command):
    run("retire", "T-0001")
    Path("site_out/private/T-0001/retired.json").write_text("{", encoding="utf-8")

    status, _, complained = run(*command.split())

    assert status == 2
    assert "explain retire T-0001" in complained


def test_an_unclear_day_or_number_is_told_with_what_to_type(run):
    status, _, complained = run("retire", "T-0001", "--on", "1/12/2026")
    assert status == 2
    assert "--on 2026-10-02" in complained

    status, _, complained = run("retire", "T-9")
    assert status == 2
    assert "no page of this order" in complained


def test_a_check_names_what_is_due_within_a_month(run, monkeypatch):
    assert "put away" not in run("check")[1]

    monkeypatch.setenv(TOLD, "1852000000")  # 2028-09-08

    assert "T-0001: its page will be put away on 2028-10-02 (2 years after it was ordered)." in run("check")[1]
