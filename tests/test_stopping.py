"""Stopping: Ctrl-C, pressed however often, ends a command in words."""

from __future__ import annotations

import signal

import pytest

from explain import cli
from explain.commands import build


@pytest.fixture
def hears_ctrl_c():
    """Ctrl-C as it was before, once the test is over."""
    before = signal.getsignal(signal.SIGINT)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("hears_ctrl_c")
def test_ctrl_c_pressed_again_while_the_program_ends_changes_nothing(tmp_path, monkeypatch):
    (tmp_path / "orders").mkdir()
    monkeypatch.chdir(tmp_path)
    said = []

    def press(*_, **__):
        signal.raise_signal(signal.SIGINT)

    def pressed_again(*words, **_):
        said.append(words)
        press()

    monkeypatch.setattr(build, "run", press)
    monkeypatch.setattr("builtins.print", pressed_again)

    assert cli.main(["build"]) == 130
    assert said == [("\nStopped. Every page written so far is whole.",)]
