"""The command line, run in-process: what it prints for a person, and the exit status it leaves for a script."""

from __future__ import annotations

import io
import json
import re
import subprocess
import sys

import pytest
from jinja2 import TemplateNotFound

from explain import cli
from explain.cli import main
from tests.conftest import REPOSITORY, customer_pages, demo_orders
from tests.story.invented import copy_demo, write_order, write_shop

NO_AXIS = {"prescription": {"right": "-4.00 -1.00"}}


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


def pages(folder):
    return customer_pages(folder / "site_out")


def test_building_one_order_writes_one_page_and_says_where(run, orders, shop_folder):
    status, said, complained = run("build", write_order(orders))

    assert (status, complained) == (0, "")
    (page,) = pages(shop_folder)
    assert str(page.relative_to(shop_folder)) in said
    assert "T-0001" in said
    assert "1 page written" in said


def test_building_without_a_name_builds_every_order(run, tmp_path, monkeypatch):
    copy_demo(tmp_path / "orders")
    monkeypatch.chdir(tmp_path)

    status, said, _ = run("build")

    assert status == 0
    assert len(pages(tmp_path)) == len(demo_orders())
    assert [path.stem for path in demo_orders() if path.stem not in said] == []
    assert f"{len(demo_orders())} pages written" in said


def test_a_build_says_what_to_upload_what_never_and_what_to_back_up(run, orders):
    _, said, _ = run("build", write_order(orders))

    assert "Look in site_out/upload" in said
    assert "Never upload site_out/private" in said
    assert "Back up address.secret" in said


def test_pages_may_be_written_elsewhere(run, orders, shop_folder):
    run("build", write_order(orders), "--out", shop_folder / "elsewhere")

    assert customer_pages(shop_folder / "elsewhere")
    assert pages(shop_folder) == []


def test_a_check_says_what_looks_right_and_writes_nothing(run, orders, shop_folder):
    order = write_order(orders)

    status, said, complained = run("check", order)

    assert (status, complained) == (0, "")
    assert "looks right" in said
    assert "1 order read, 0 warnings" in said
    assert sorted(path.name for path in shop_folder.rglob("*")) == ["T-0001.yaml", "orders", "shop.yaml"]


def test_a_warning_is_shown_and_counted_but_is_no_failure(run, orders):
    status, said, complained = run("check", write_order(orders, prescription={"left": "-1.00 DS"}))

    assert status == 0
    assert "1 warning" in said
    assert "warning: the eyes are 3 dioptres apart" in complained


@pytest.mark.parametrize("command", ["build", "check"])
def test_a_faulty_order_is_explained_and_the_status_is_2(run, orders, command):
    order = write_order(orders, **NO_AXIS)

    status, said, complained = run(command, order)

    assert status == 2
    assert ("1 fault, nothing written" in said) is (command == "build")
    assert "1 fault" in said
    assert "1 order with faults" in said
    assert re.search(r"T-0001\.yaml:\d+: .*axis", complained)
    assert "axis: " in complained


def test_one_faulty_order_among_good_ones_leaves_the_status_2_and_the_others_built(run, orders, shop_folder):
    write_order(orders, **NO_AXIS)
    write_order(orders, order="T-0002")

    status, said, _ = run("build")

    assert status == 2
    assert "1 page written" in said
    assert len(pages(shop_folder)) == 1


@pytest.mark.parametrize("name", ["T-0002.yml", "T-0002.YAML"])
@pytest.mark.parametrize("command", ["build", "check"])
def test_a_file_with_another_ending_is_not_passed_over_in_silence(run, orders, command, name):
    write_order(orders).rename(orders / name)
    write_order(orders)

    status, _, complaint = run(command)

    assert status == 0
    assert f"orders/{name}: warning: this file was not read" in complaint
    assert "Rename it to T-0002.yaml" in complaint


@pytest.mark.usefixtures("orders")
@pytest.mark.parametrize("command", ["build", "check"])
@pytest.mark.parametrize("name", ["orders/QH-9.yaml", "QH-9", "nowhere/QH-9.yaml"])
def test_an_order_file_that_is_not_there_is_named(run, command, name):
    status, _, complained = run(command, name)

    assert status == 2
    assert complained.strip().startswith(f"{name}: there is no such file")
    assert "Check its name and its folder" in complained


def test_a_folder_without_orders_in_place_of_an_order_is_named_with_what_to_type(run, shop_folder):
    (shop_folder / "empty").mkdir()
    status, _, complained = run("build", "empty")

    assert status == 2
    assert "empty: this is a folder" in complained
    assert "empty/*.yaml" in complained


def test_the_shop_file_among_the_orders_named_is_passed_over(run, orders):
    write_order(orders)

    status, said, complained = run("check", *sorted(orders.glob("*.yaml")))

    assert (status, complained) == (0, "")
    assert "1 order read" in said


def test_a_missing_shop_file_is_named_with_its_folder(run, orders):
    order = write_order(orders)
    (orders / "shop.yaml").unlink()

    status, _, complained = run("build", order)

    assert status == 2
    assert f"{orders / 'shop.yaml'}: there is no shop file" in complained


def test_a_file_in_place_of_the_folder_to_write_to_is_named(run, orders, shop_folder):
    (shop_folder / "taken").write_text("mine", encoding="utf-8")

    status, _, complained = run("build", write_order(orders), "--out", "taken")

    assert status == 2
    assert "taken" in complained
    assert "cannot be written" in complained
    assert (shop_folder / "taken").read_text(encoding="utf-8") == "mine"


def test_a_folder_that_may_not_be_written_to_is_named(run, orders, monkeypatch):
    def refuse(*_):
        raise PermissionError(13, "Permission denied", "site_out/upload")

    monkeypatch.setattr("explain.site.build.prepare", refuse)

    status, _, complained = run("build", write_order(orders))

    assert status == 2
    assert "site_out/upload: this cannot be written (Permission denied)" in complained
    assert "--out" in complained


def test_a_damaged_secret_stops_the_build_and_is_left_alone(run, orders, shop_folder):
    (orders / "address.secret").write_text("spilled coffee\n", encoding="utf-8")

    status, _, complained = run("build", write_order(orders))

    assert status == 2
    assert "address.secret" in complained
    assert "backup" in complained
    assert (orders / "address.secret").read_text(encoding="utf-8") == "spilled coffee\n"
    assert pages(shop_folder) == []


@pytest.mark.parametrize("command", ["build", "check"])
def test_a_folder_without_orders_says_where_to_stand(run, tmp_path, monkeypatch, command):
    monkeypatch.chdir(tmp_path)

    status, said, complained = run(command)

    assert (status, said) == (2, "")
    assert "no order here" in complained
    assert "orders/" in complained
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("arguments", [[], ["bild"], ["build", "--nowhere"]])
def test_a_command_that_is_not_understood_leaves_status_2(capsys, arguments):
    with pytest.raises(SystemExit) as left:
        main(arguments)

    assert left.value.code == 2
    said = capsys.readouterr().err
    assert "explain build" in said or "usage: explain" in said
    assert "--help" in said


class Screen(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self):
        return True


@pytest.fixture
def thirty(orders):
    for number in range(30):
        write_order(orders, order=f"T-{number:04}", **(NO_AXIS if number == 7 else {}))


@pytest.mark.usefixtures("thirty")
def test_with_many_orders_a_terminal_shows_how_far_it_is(monkeypatch):
    screen = Screen()
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setattr("explain.commands.telling.EVERY_S", 0)

    status = main(["check"])

    assert status == 2
    steps = re.findall(r"\r\[([#.]{30})\] (\d+) of 30", screen.getvalue())
    assert [int(count) for _, count in steps] == list(range(1, 31))
    assert [bar.count("#") for bar, _ in steps] == sorted(bar.count("#") for bar, _ in steps)
    assert steps[-1][0] == "#" * 30


@pytest.mark.usefixtures("thirty")
def test_with_many_orders_a_file_gets_no_bar_but_every_fault(run):
    status, said, complained = run("check")

    assert status == 2
    assert "\r" not in said + complained
    assert "30 orders read" in said
    assert "T-0007" in said + complained
    assert "T-0008" not in said + complained


def test_with_few_orders_each_has_its_line_and_no_bar(orders, monkeypatch, capsys):
    screen = Screen()
    monkeypatch.setattr(sys, "stderr", screen)
    write_order(orders)

    main(["check"])

    assert screen.getvalue() == ""
    assert "T-0001" in capsys.readouterr().out


@pytest.mark.parametrize("bug", [ZeroDivisionError(), TemplateNotFound("order.html")], ids=["arithmetic", "template"])
def test_a_bug_of_ours_is_told_in_words_and_kept_without_a_word_of_the_order(run, orders, monkeypatch, bug, tmp_path):
    def broken(*_):
        raise bug from ValueError("Odile has -4.00 DS")

    monkeypatch.setattr("explain.site.checking.work_out", broken)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))

    status, _, complained = run("build", write_order(orders))

    assert status == 70
    (report,) = tmp_path.glob("explain-crash-*.txt")
    assert f"A report lies in {report}" in complained
    text = report.read_text(encoding="utf-8")
    assert f"\n{type(bug).__name__}\n" in text
    assert "\nValueError\n" in text
    assert re.search(r"  explain/site/checking\.py:\d+ judged\n", text)
    assert [word for word in ("Odile", "4.00", str(orders), "Traceback") if word in text + complained] == []


def test_a_check_does_not_load_what_only_drawing_needs(repository):
    code = "import sys; from explain.cli import main; main(['check']); print('matplotlib' in sys.modules)"
    finished = subprocess.run([sys.executable, "-c", code], cwd=repository, capture_output=True, text=True, check=True)

    assert finished.stdout.splitlines()[-1] == "False"


def test_the_command_in_the_project_file_is_this_one():
    text = (REPOSITORY / "pyproject.toml").read_text(encoding="utf-8")

    assert 'explain = "explain.cli:main"' in text
    assert callable(cli.main)


CHECKED = {"checked": {"right": "-4.00 DS", "left": "-3.00 DS"}}


def test_a_check_compares_the_materials_of_an_order_whose_lenses_are_not_made(run, orders):
    _, asked, _ = run("check", write_order(orders))
    _, checked, _ = run("check", write_order(orders, **CHECKED))

    assert "Material  " in asked
    assert "ordered" in asked
    assert "Material  " not in checked


def test_with_many_orders_materials_are_compared_only_when_asked_for(run, orders):
    for number in range(1, 5):
        write_order(orders, order=f"T-000{number}")

    few = run("check", *sorted(orders.glob("T-*.yaml"))[:3])[1]
    many = run("check")[1]
    compared = run("check", "--compare")[1]

    assert [text.count("Blank needed") for text in (few, many, compared)] == [3, 0, 4]


def test_an_order_may_be_checked_before_it_has_a_price_and_is_not_built(run, orders):
    order = write_order(orders, price=None)

    asked, built = run("check", order), run("build", order)

    assert asked[0] == 0
    assert "looks right, no price yet" in asked[1]
    assert asked[2] == ""
    assert built[0] == 2
    assert '"price" is missing' in built[2]


def test_a_pair_that_was_checked_needs_its_price(run, orders):
    status, _, complained = run("check", write_order(orders, price=None, **CHECKED))

    assert status == 2
    assert '"price" is missing' in complained


def test_a_sum_without_its_lines_is_a_fault_before_there_is_a_price_too(run, orders):
    status, _, complained = run("check", write_order(orders, price=None, total="313.00"))

    assert status == 2
    assert "the total says 313.00" in complained


def test_a_check_as_json_gives_what_was_found_and_nothing_else(run, orders):
    good = write_order(orders, prescription={"pd": "28 / 28"})
    bad = write_order(orders, order="T-0002", **NO_AXIS)

    status, said, complained = run("check", "--json", good, bad)
    found, faulty = json.loads(said)

    assert (status, complained) == (2, "")
    assert (found["order"], found["faults"]) == ("T-0001", [])
    assert [warning["line"] > 0 for warning in found["warnings"]] == [True]
    assert [one["ordered"] for one in found["comparison"]["materials"]].count(True) == 1
    assert faulty["comparison"] is None
    assert "axis" in faulty["faults"][0]["message"]
    assert run("check", "--json", good)[0] == 0
