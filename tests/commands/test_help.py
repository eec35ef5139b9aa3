"""The help of every command: a sentence and an example, on one screen."""

from __future__ import annotations

import argparse
import importlib
import re
import subprocess
import sys

import pytest

from explain.cli import main, parser
from tests.conftest import REPOSITORY

COMMANDS = next(action.choices for action in parser()._actions if action.choices)


@pytest.mark.parametrize("arguments", [["--help"], *([command, "--help"] for command in COMMANDS)], ids=" ".join)
def test_help_fits_a_screen_of_24_lines_and_80_letters(capsys, monkeypatch, arguments):
    monkeypatch.setenv("COLUMNS", "80")

    with pytest.raises(SystemExit) as left:
        main(arguments)

    lines = capsys.readouterr().out.splitlines()
    assert left.value.code == 0
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize("command", COMMANDS)
def test_the_help_of_a_command_is_a_sentence_and_an_example(capsys, command):
    with pytest.raises(SystemExit):
        main([command, "--help"])

    words = " ".join(capsys.readouterr().out.split())
    assert re.search(rf"[A-Z][^.]+\. .*Example: explain {command}\b", words)


def test_help_imports_only_light_modules():
    code = "import sys; from explain.cli import parser; parser().format_help(); print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-S", "-c", code], cwd=REPOSITORY, capture_output=True, text=True, check=True
    )

    assert set(done.stdout.split()) & {"dataclasses", "inspect", "pathlib", "shutil", "typing", "datetime"} == set()


@pytest.mark.parametrize("columns", ["", "0", "-5", "wide", "40", "132"])
def test_help_is_as_wide_as_argparse_would_make_it(monkeypatch, columns):
    monkeypatch.setenv("COLUMNS", columns)

    assert parser()._get_formatter()._width == argparse.HelpFormatter("explain")._width


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_its_module(command):
    assert callable(importlib.import_module(f"explain.commands.{command}").run)
