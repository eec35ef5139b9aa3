"""The command completion: scripts that the shells themselves accept, with every command and option in them."""

from __future__ import annotations

import shutil
import subprocess

import pytest

from explain.cli import main, parser
from explain.commands.options import SHELLS

COMMANDS = next(action.choices for action in parser()._actions if action.choices)


@pytest.fixture
def script(capsys):
    def of(shell):
        assert main(["completion", shell]) == 0
        return capsys.readouterr().out

    return of


@pytest.mark.parametrize("shell", SHELLS)
def test_every_command_and_its_options_are_completed(script, shell):
    text = script(shell)
    options = {name for command in COMMANDS.values() for one in command._actions for name in one.option_strings}

    assert [command for command in COMMANDS if command not in text] == []
    assert [name for name in options if name.lstrip("-") not in text] == []


@pytest.mark.parametrize("shell", SHELLS)
def test_the_shell_itself_can_read_it(script, shell, tmp_path):
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed")
    path = tmp_path / "completion"
    path.write_text(script(shell), encoding="utf-8")

    assert subprocess.run([shell, "-n", str(path)], capture_output=True, check=False).returncode == 0


def test_bash_offers_what_a_word_begins(script, tmp_path):
    path = tmp_path / "completion"
    path.write_text(script("bash"), encoding="utf-8")
    typed = "COMP_WORDS=(explain re); COMP_CWORD=1; _shtab_explain; echo ${COMPREPLY[@]}"

    said = subprocess.run(["bash", "-c", f". {path}; {typed}"], capture_output=True, text=True, check=True)  # noqa: S607

    assert said.stdout.split() == ["retire"]


def test_another_shell_is_refused_with_those_that_are_known(capsys):
    with pytest.raises(SystemExit) as left:
        main(["completion", "cmd"])

    assert left.value.code == 2
    assert "bash" in capsys.readouterr().err
