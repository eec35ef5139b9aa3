"""Compiled: a template's code is made once and kept; what is damaged, old or not ours is never run."""

from __future__ import annotations

import errno
import sys

import pytest
from jinja2 import Environment, FileSystemLoader

from explain.pycache import DIGEST_LENGTH
from explain.site.compiled import CompiledTemplates
from explain.site.templating import environment

TEXT = "{% for one in many %}<li>{{ one }}</li>{% endfor %}"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", None)
    (tmp_path / "list.html").write_text(TEXT, encoding="utf-8")
    return tmp_path


class Counting(Environment):
    """Counts how often a template is made into code."""

    def __init__(self, folder, settings="as ever"):
        super().__init__(loader=FileSystemLoader(folder), bytecode_cache=CompiledTemplates(settings), autoescape=True)
        self.made = 0

    def compile(self, *given, **named):
        self.made += 1
        return super().compile(*given, **named)


def filled(folder, **named):
    """How often code was made to fill the template in a new environment; what comes out is always the same."""
    templates = Counting(folder, **named)
    assert templates.get_template("list.html").render(many="a<") == "<li>a</li><li>&lt;</li>"
    return templates.made


def kept_in(folder):
    (path,) = (folder / "__pycache__").iterdir()
    return path


def test_code_is_made_once_and_kept_beside_the_template(folder):
    assert [filled(folder), filled(folder)] == [1, 0]
    assert kept_in(folder).suffix == ".pyc"


@pytest.mark.parametrize("at", [0, DIGEST_LENGTH, DIGEST_LENGTH + 40, -1])
def test_a_damaged_file_is_not_run_but_written_anew(folder, at):
    filled(folder)
    whole = kept_in(folder).read_bytes()
    damaged = bytearray(whole)
    damaged[at] ^= 1
    kept_in(folder).write_bytes(damaged)

    assert [filled(folder), filled(folder)] == [1, 0]
    assert kept_in(folder).read_bytes() == whole


@pytest.mark.parametrize("length", [0, 5, DIGEST_LENGTH, DIGEST_LENGTH + 100])
def test_half_a_file_is_not_run(folder, length):
    filled(folder)
    kept_in(folder).write_bytes(kept_in(folder).read_bytes()[:length])

    assert [filled(folder), filled(folder)] == [1, 0]


def test_a_changed_template_is_made_anew(folder):
    filled(folder)
    (folder / "list.html").write_text(TEXT + "{# changed #}", encoding="utf-8")

    assert [filled(folder), filled(folder)] == [1, 0]


def test_other_settings_are_never_mixed_up(folder):
    filled(folder)

    assert filled(folder, settings="others") == 1


def test_code_of_another_template_is_not_run(folder):
    filled(folder)
    (folder / "other.html").write_text(TEXT, encoding="utf-8")
    place = kept_in(folder)
    place.with_name(place.name.replace("list", "other")).write_bytes(place.read_bytes())
    templates = Counting(folder)

    templates.get_template("other.html")

    assert templates.made == 1


def test_nothing_is_kept_where_python_is_told_to_keep_nothing(folder, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", True)

    assert [filled(folder), filled(folder)] == [1, 1]
    assert not (folder / "__pycache__").exists()


def test_where_nothing_may_be_written_pages_are_filled_all_the_same(folder):
    (folder / "__pycache__").write_text("a file in the way", encoding="utf-8")

    assert [filled(folder), filled(folder)] == [1, 1]


@pytest.mark.parametrize("call", ["mkdir", "write_bytes", "replace"])
def test_a_read_only_installation_is_no_fault(folder, monkeypatch, call):
    def refuse(*_, **__):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(f"pathlib.Path.{call}", refuse)  # rights of files would mean nothing to root

    assert filled(folder) == 1
    assert not list(folder.glob("__pycache__/*"))


def test_nothing_of_a_shop_is_kept_as_code():
    assert environment((("words/care.md", "Rinse them.\n"),)).bytecode_cache is None
    assert isinstance(environment().bytecode_cache, CompiledTemplates)
