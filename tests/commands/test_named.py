"""Orders are named by file, number, folder or pattern; a command typed in a wrong folder names the right one."""

from __future__ import annotations

from pathlib import Path

import pytest

from explain.cli import main
from explain.commands.named import named
from tests.story.invented import write_order, write_shop


@pytest.fixture
def shop(tmp_path, monkeypatch):
    folder = tmp_path / "Brillen Müller"
    (folder / "orders").mkdir(parents=True)
    write_shop(folder / "orders")
    write_order(folder / "orders")
    write_order(folder / "orders", order="T-0002")
    monkeypatch.chdir(folder)
    return folder


@pytest.mark.parametrize(
    ("typed", "files"),
    [
        ("orders/T-0001.yaml", ["orders/T-0001.yaml"]),
        ("orders/T-0001", ["orders/T-0001.yaml"]),
        ("T-0001", ["orders/T-0001.yaml"]),
        ("T-0001.yaml", ["orders/T-0001.yaml"]),
        ("orders/T-*.yaml", ["orders/T-0001.yaml", "orders/T-0002.yaml"]),
        ("T-0009", ["T-0009"]),
        ("orders/X-*.yaml", ["orders/X-*.yaml"]),
        ("orders", []),
    ],
)
@pytest.mark.usefixtures("shop")
def test_a_name_means_files(typed, files):
    assert [path.as_posix() for path in named([Path(typed)])] == files


@pytest.mark.usefixtures("shop")
def test_another_folder_means_its_orders(tmp_path):
    found = named([tmp_path / "Brillen Müller" / "orders", Path("T-0001")])

    assert [path.name for path in found] == ["T-0001.yaml", "T-0002.yaml", "shop.yaml", "T-0001.yaml"]


@pytest.mark.parametrize("words", ["build", "check", "links", "watch", "schema", "retire T-1", "draft -"])
def test_in_a_wrong_folder_the_right_one_is_named(shop, monkeypatch, capsys, words):
    said = []
    for folder in (shop / "orders", shop.parent, shop / "inner" / "most"):
        folder.mkdir(parents=True, exist_ok=True)
        monkeypatch.chdir(folder)
        assert main(words.split()) == 2
        said.append(capsys.readouterr().err.splitlines())

    assert [lines[0] for lines in said] == ["There is no order here: this folder has no folder orders/ in it."] * 3
    assert said[0][1].endswith("cd ..")
    assert said[1][1].endswith('cd "Brillen Müller"')
    assert said[2][1].endswith(f'cd "{shop.as_posix()}"')


def test_a_command_that_names_its_files_needs_no_folder_of_orders(shop, monkeypatch, capsys, tmp_path):
    monkeypatch.chdir(tmp_path)

    assert main(["check", str(shop / "orders" / "T-0001.yaml")]) == 0
    assert "T-0001" in capsys.readouterr().out
    assert main(["schema", "--out", str(shop)]) == 0
