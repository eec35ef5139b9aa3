"""The door: what was mistyped is told with what is near it; any console can print; a disk that refuses is named."""

from __future__ import annotations

import csv
import errno
import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from explain.cli import main
from explain.commands import schema
from explain.commands.door import disk_refuses, is_unicode, leave_quietly, let_print_anything, reader_has_gone, typed_in
from tests.conftest import REPOSITORY
from tests.story.invented import write_order, write_shop

CONSOLES = ["cp1252", "cp437", "ascii"]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["biuld"], 'explain: "biuld" is not a command'),
        (["biuld"], "Perhaps:   explain build"),
        (["build", "--otu", "x"], "Perhaps:   explain build --out"),
        (["build", "--out"], "nothing is written after --out"),
        (["retire"], "explain retire: ORDER is missing."),
        (["retire"], 'For example:   explain retire QH-2101 --why "asked for by phone"'),
        (["retire", "A-1", "asked", "twice"], 'one word too many: "asked"'),
        (["links", "--csv", "--json"], "--json and --csv do not go together"),
        (["completion", "powershell"], '"powershell" is not one of SHELL; there are bash, zsh and fish.'),
        (["watch", "--port", "abc"], '"abc" cannot stand after --port'),
        ([], "New here: explain begin my-shop"),
    ],
)
def test_what_was_mistyped_is_told_with_what_is_right(capsys, typed, said):
    with pytest.raises(SystemExit) as left:
        main(typed)

    complained = capsys.readouterr()
    assert (left.value.code, complained.out) == (2, "")
    assert said in complained.err


def test_the_version_is_that_of_the_package(capsys):
    with pytest.raises(SystemExit) as left:
        main(["--version"])

    assert left.value.code == 0
    assert capsys.readouterr().out.startswith("explain 0.")


@pytest.mark.parametrize(
    ("typed", "cp437"),
    [("−2.00 × 90 → “é”…", '-2.00 x 90 -> "é"...'), ("Łucja 眼", "Lucja ?"), ("10\u202fmm ≤ €5", "10 mm ≤ EUR5")],
)
def test_a_console_without_a_sign_shows_another_in_its_place(typed, cp437):
    stream = io.TextIOWrapper(io.BytesIO(), encoding="cp437")
    let_print_anything(stream)

    print(typed, end="", file=stream)
    stream.flush()

    assert stream.buffer.getvalue().decode("cp437") == cp437.replace("Lucja", "?ucja")


def test_a_stream_that_prints_everything_is_left_alone():
    stream = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    let_print_anything(stream, io.StringIO())

    assert stream.errors == "strict"
    assert is_unicode(io.StringIO())


@pytest.mark.parametrize("console", CONSOLES)
@pytest.mark.parametrize("words", [["check"], ["links"], ["draft", "R −2,00 × 90 → ½ Łódź", "--to", "-"], ["--help"]])
def test_no_command_ends_in_an_error_of_the_console(tmp_path, console, words):
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders", name="Łucja’s 眼鏡 – Spectacles")
    write_order(tmp_path / "orders", **{"for": "Łucja", "frame": {"name": "Ægir − ½"}}, checked={"right": "−4.00 DS"})
    environment = {"PYTHONIOENCODING": console, "PYTHONUTF8": "0", "PYTHONPATH": str(REPOSITORY), "PATH": ""}

    done = subprocess.run(
        [sys.executable, "-m", "explain", *words], cwd=tmp_path, env=environment, capture_output=True, check=False
    )

    complained = done.stderr.decode(console)
    assert "Traceback" not in complained
    assert "Unicode" not in complained
    assert done.returncode in (0, 2)
    assert done.stdout.decode(console) or complained


@pytest.mark.parametrize("console", ["cp1252", "ascii", "utf-8"])
def test_what_another_program_reads_loses_no_sign(tmp_path, monkeypatch, console):
    (tmp_path / "orders").mkdir()
    monkeypatch.chdir(tmp_path)
    write_shop(tmp_path / "orders")
    main(["build", str(write_order(tmp_path / "orders", **{"for": "\u0141ucja"}))])
    environment = {"PYTHONIOENCODING": console, "PYTHONUTF8": "0", "PYTHONPATH": str(REPOSITORY), "PATH": ""}

    def said(form: str) -> bytes:
        command = [sys.executable, "-m", "explain", "links", form]
        return subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, check=True).stdout

    table = said("--csv")

    assert json.loads(said("--json").decode(console))[0]["first_name"] == "\u0141ucja"
    assert next(csv.DictReader(io.StringIO(table.decode("utf-8-sig"))))["first_name"] == "\u0141ucja"
    assert table.startswith(b"\xef\xbb\xbf") is (console != "utf-8")


def test_a_disk_that_refuses_is_told_by_its_file_and_not_by_a_traceback(tmp_path, monkeypatch, capsys):
    (tmp_path / "orders").mkdir()
    monkeypatch.chdir(tmp_path)

    def refuse(_: object) -> int:
        raise PermissionError(errno.EACCES, "Permission denied", "site_out/private/.retired.json.77.unfinished")

    monkeypatch.setattr(schema, "run", refuse)

    assert main(["schema"]) == 2
    said = capsys.readouterr().err
    assert said.startswith("site_out/private/retired.json: this cannot be read or written (Permission denied).")


def test_a_mistake_of_ours_is_not_taken_for_the_disks(tmp_path, monkeypatch, capsys):
    (tmp_path / "orders").mkdir()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))

    def fail(_: object) -> int:
        raise OSError("not the disk's")

    monkeypatch.setattr(schema, "run", fail)

    assert main(["schema"]) != 0
    assert "The program itself failed (OSError)" in capsys.readouterr().err


def test_a_file_without_a_name_is_still_told():
    assert "a file: this cannot be read or written" in disk_refuses(OSError(errno.ENOSPC, "No space left on device"))


@pytest.mark.parametrize(
    ("error", "gone"),
    [
        (BrokenPipeError(errno.EPIPE, "Broken pipe"), True),
        (OSError(errno.EINVAL, "Invalid argument"), True),
        (OSError(errno.EINVAL, "Invalid argument", "con.yaml"), False),
        (PermissionError(errno.EACCES, "Permission denied", "orders"), False),
    ],
)
def test_a_reader_that_has_gone_is_known_as_windows_says_it_too(error, gone):
    assert reader_has_gone(error) is gone


def test_leaving_quietly_prints_the_rest_to_nowhere():
    code = "from explain.commands.door import leave_quietly as q; q(); print('x' * 9999)"
    done = subprocess.run([sys.executable, "-c", code], cwd=REPOSITORY, capture_output=True, check=True)

    assert done.stdout == b""
    assert callable(leave_quietly)


@pytest.mark.parametrize(("system", "keys"), [("posix", "Enter and Ctrl-D."), ("nt", "Enter and Ctrl-Z and Enter.")])
def test_somebody_at_a_terminal_is_asked_to_paste(monkeypatch, capsys, system, keys):
    monkeypatch.setattr("explain.commands.door.os.name", system)
    monkeypatch.setattr("sys.stdin", io.StringIO())
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)

    assert typed_in() == "-"
    assert capsys.readouterr().err.endswith(f"{keys}\n")


def test_nothing_is_read_where_nothing_was_piped(monkeypatch):
    with Path(os.devnull).open(encoding="utf-8") as nothing:
        monkeypatch.setattr("sys.stdin", nothing)
        assert typed_in() is None
