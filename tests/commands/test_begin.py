"""The command begin: a shop that builds at once, from flags or from answers, and never over anything."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys

import pytest

from explain.cli import main
from explain.site.begin import FILES
from tests.conftest import customer_pages

FLAGS = (
    "--name",
    'Lind "& Daughter"',
    "--optician",
    "Tove: Lind",
    "--phone",
    "555 0134",
    "--address",
    "3 Mill Lane; Easton",
)
NO_TYPIST = io.StringIO("")


class Typist(io.StringIO):
    """Somebody at a terminal, who types these lines."""

    def isatty(self):
        return True


@pytest.fixture
def begin(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)

    def begin_it(*flags, stdin=NO_TYPIST):
        monkeypatch.setattr(sys, "stdin", stdin)
        status = main(["begin", "shop", *flags])
        said = capsys.readouterr()
        return status, said.out, said.err

    return begin_it


def test_the_new_shop_builds_at_once_and_without_a_warning(begin, tmp_path, monkeypatch, capsys):
    assert begin(*FLAGS)[0] == 0

    monkeypatch.chdir(tmp_path / "shop")
    assert main(["build"]) == 0
    assert capsys.readouterr().err == ""
    (page,) = customer_pages(tmp_path / "shop" / "site_out")
    assert "Lind &#34;&amp; Daughter&#34;" in page.read_text(encoding="utf-8")


def test_every_file_is_written_and_named(begin, tmp_path):
    _, said, _ = begin(*FLAGS)

    assert sorted(str(path.relative_to(tmp_path / "shop")) for path in (tmp_path / "shop").rglob("*.*")) == sorted(
        FILES
    )
    assert [name for name in FILES if f"shop/{name} is written" not in said] == []


@pytest.mark.parametrize("name", FILES)
def test_nothing_is_ever_overwritten_and_then_nothing_written_at_all(begin, tmp_path, name):
    there = tmp_path / "shop" / name
    there.parent.mkdir(parents=True)
    there.write_text("mine", encoding="utf-8")

    status, _, complained = begin(*FLAGS)

    assert status == 2
    assert f"{name} is there already" in complained
    assert there.read_text(encoding="utf-8") == "mine"
    assert [path for path in (tmp_path / "shop").rglob("*") if path.is_file()] == [there]


def test_somebody_at_a_terminal_is_asked_what_no_flag_says(begin, tmp_path, capsys):
    status, said, _ = begin("--name", "Lind", stdin=Typist("Tove\n555 0134\n3 Mill Lane\n\n\n\n"))

    assert status == 0
    assert "Phone number that customers call: " in said
    assert "Name of your shop" not in said
    shop = (tmp_path / "shop" / "orders" / "shop.yaml").read_text(encoding="utf-8")
    assert 'hours: "Monday to Friday, 9 to 5"' in shop
    assert "currency: USD" in shop
    assert capsys.readouterr().err == ""


def test_without_a_terminal_missing_flags_are_named(begin, tmp_path):
    status, _, complained = begin("--name", "Lind")

    assert status == 2
    assert "--optician, --phone, --address" in complained
    assert not (tmp_path / "shop").exists()


def test_answers_that_cannot_be_read_are_told_all_at_once_by_their_flags(begin, tmp_path):
    status, _, complained = begin(*FLAGS, "--phone", "call me", "--currency", "Dollars")

    assert status == 2
    assert '--phone: "call me" is not a number that can be called' in complained
    assert "--currency: " in complained
    assert not (tmp_path / "shop").exists()


@pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")
def test_git_leaves_the_secret_and_what_a_build_writes_out(begin, tmp_path):
    begin(*FLAGS)
    shop = tmp_path / "shop"
    (shop / "orders" / "address.secret").write_text("x", encoding="utf-8")
    (shop / "site_out" / "private").mkdir(parents=True)
    (shop / "site_out" / "private" / "numbers.json").write_text("{}", encoding="utf-8")

    subprocess.run(["git", "init", "-q"], cwd=shop, check=True)  # noqa: S607
    subprocess.run(["git", "add", "."], cwd=shop, check=True)  # noqa: S607
    added = subprocess.run(["git", "ls-files"], cwd=shop, capture_output=True, text=True, check=True).stdout.split()  # noqa: S607

    assert sorted(added) == sorted(FILES)
