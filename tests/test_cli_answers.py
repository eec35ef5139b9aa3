"""The command line and the answers for everyone: one line about them, and their faults in words."""

from __future__ import annotations

import re

import pytest

from explain.cli import main
from tests.story.invented import write_answer, write_order, write_shop


@pytest.fixture
def shop_folder(tmp_path, monkeypatch):
    """A folder with one shop in orders/, in which we stand."""
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def orders(shop_folder):
    return shop_folder / "orders"


@pytest.fixture
def run(capsys):
    """Run a command and give its exit status, what it said and what it complained about."""

    def run_it(*arguments):
        status = main([str(argument) for argument in arguments])
        said = capsys.readouterr()
        assert "Traceback" not in said.err + said.out
        return status, said.out, said.err

    return run_it


def test_building_every_order_writes_the_answers_and_says_so_in_one_line(run, orders, shop_folder):
    write_order(orders)

    status, said, _ = run("build")

    assert status == 0
    count = len(list((shop_folder / "site_out" / "upload" / "answers").glob("*.html"))) - 1
    assert f"{count} answer{'s' if count > 1 else ''} written.\n" in said


def test_naming_an_order_again_leaves_the_answers_alone(run, orders):
    order = write_order(orders)
    run("build", order)

    assert "answer" not in run("build", order)[1]


@pytest.mark.parametrize("command", ["build", "check"])
def test_a_faulty_answer_is_explained_and_the_status_is_2(run, orders, command):
    write_order(orders)
    write_answer(orders / "faq", "thick", subject="thicknes")

    status, said, complained = run(command)

    assert status == 2
    assert ", 1 with faults: see above." in said
    assert "orders/faq/thick.md:4: subject cannot be" in complained
    assert "Perhaps you meant:   thickness" in complained


def test_a_check_of_every_order_reads_the_answers_too_and_writes_nothing(run, orders, shop_folder):
    write_order(orders)

    status, said, _ = run("check")

    assert status == 0
    assert re.search(r"\d+ answers? read\.", said)
    assert not (shop_folder / "site_out").exists()
