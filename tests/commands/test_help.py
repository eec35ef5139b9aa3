"""The help of every command: a sentence and an example, on one screen."""

from __future__ import annotations

import re

import pytest

from explain.cli import main, parser

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
