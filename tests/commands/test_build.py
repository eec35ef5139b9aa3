"""What a build says at its end: the link of one order, and where to look only where there is something to see."""

from __future__ import annotations

import os

import pytest

from explain.cli import main
from explain.site.engine import sweep
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


@pytest.fixture
def odd_name(orders):
    """An order whose file name is no text; some systems refuse such a name by themselves."""
    path = orders / os.fsdecode(b"T-\xff.yaml")
    try:
        write_order(orders).rename(path)
    except OSError:
        pytest.skip("a file name that is no text is a thing of POSIX, and no Mac has one")
    write_order(orders)
    return path


@pytest.mark.parametrize("command", ["build", "check"])
def test_a_file_whose_name_is_no_text_is_refused_and_the_others_go_on(run, orders, odd_name, command):
    status, _, complaint = run(command)
    assert status == 0
    assert "warning: this file was not read\nIts name is not text (UTF-8)" in complaint

    status, _, complaint = run(command, odd_name.relative_to(orders.parent), orders / "T-0001.yaml")
    assert status == 2
    assert "this file name is not text" in complaint
    assert command == "check" or len(customer_pages(orders.parent / "site_out")) == 1


def test_a_build_that_finds_nothing_changed_repeats_every_warning(run, orders, monkeypatch):
    monkeypatch.setattr(sweep, "RACY_NS", 0)
    write_order(orders, order="T-0002", prescription={"right": "-4.00 DS", "left": "-7.00 DS"})
    write_order(orders, order="T-0003").rename(orders / "T-0003.yml")
    (orders / "old.yml").mkdir()
    run("build")
    run("build")  # takes note of the secret that the first one made
    (orders / "address.secret").chmod(0o644)
    _, said, quick = run("build")
    write_order(orders, order="T-0001")
    _, said_closer, closer = run("build")

    assert said.startswith("Nothing changed")
    assert quick == closer
    assert quick.count("warning: ") == (2 if os.name == "posix" else 1)
    warned = "Orders with warnings: 1. Read them again:   explain check\n"
    assert said.endswith(warned)
    assert warned in said_closer


def test_verbose_says_what_is_made_anew_and_why_and_no_name_of_a_customer(run, orders):
    paths = [write_order(orders, order=order) for order in ("T-0001", "T-0002")]
    first = run("build", *paths, "--verbose")[2]
    write_order(orders, order="T-0002", **{"for": "Odette"})
    second = run("build", *paths, "--verbose")[2]
    write_shop(orders, hours="Never")
    third = run("build", *paths, "--verbose")[2]
    quiet = run("build", *paths, "--anew")[2]

    names = [path.as_posix() for path in paths]
    assert [line for line in first.splitlines() if "T-000" in line] == [
        f"{name}: it changed, or is new." for name in names
    ]
    assert second == f"{names[1]}: it changed, or is new.\n"
    assert third.splitlines()[-2:] == [f"{name}: changed: shop.yaml." for name in names]
    assert quiet == ""
    assert not any(name in said for name in ("Odile", "Odette") for said in (first, second, third))
