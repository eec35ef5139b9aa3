"""What a build says at its end: the link of one order, and where to look only where there is something to see."""

from __future__ import annotations

import pytest

from explain.cli import main
from tests.conftest import customer_pages
from tests.story.invented import write_order, write_shop

NO_AXIS = {"prescription": {"right": "-4.00 -1.00"}}


@pytest.fixture
def orders(tmp_path, monkeypatch):
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "orders"


@pytest.fixture
def run(capsys):
    """Run a command and give its exit status, what it said and what it complained about."""

    def run_it(*arguments):
        return (main([str(argument) for argument in arguments]), *capsys.readouterr())

    return run_it


def test_a_build_of_one_order_ends_with_its_link_ready_to_copy(run, orders):
    first = write_order(orders)
    said = run("build", first)[1]
    (page,) = customer_pages(orders.parent / "site_out")
    link = f"To send to Odile:   https://glasses.quillharbor.example/{page.parent.name}/"

    assert said.endswith(f"\n{link}\n")
    assert run("build", first)[1].endswith(f"\n{link}\n")
    run("build")
    write_order(orders, order="T-0002", **{"for": "Ines"})
    assert "To send to Ines:" in run("build")[1]
    assert "To send to" not in run("build", "--anew")[1]


def test_a_build_that_wrote_nothing_sends_nobody_to_look(run, orders):
    said = run("build", write_order(orders, **NO_AXIS))[1]

    assert "0 pages written" in said
    assert "Look in" not in said
