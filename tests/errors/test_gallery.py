"""Every message, word for word. Refresh the texts with `python -m tests.errors.refresh`, and read what changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.errors.gallery import HERE, examples, message_of


@pytest.mark.parametrize("example", examples(), ids=lambda path: path.stem)
def test_each_file_of_the_gallery_gives_its_exact_text(example):
    kept = example.with_suffix(".txt").read_text(encoding="utf-8")

    assert kept
    assert message_of(example) == kept


@pytest.mark.parametrize("example", examples(), ids=lambda path: path.stem)
def test_a_doubt_is_named_as_one_and_a_fault_is_not(example):
    first_line = message_of(example).splitlines()[0]

    assert (" warning: " in first_line) == example.name.startswith("doubt")


def test_no_text_of_the_gallery_is_left_without_its_file():
    texts = {path.stem for path in HERE.glob("*.txt")}

    assert texts == {path.stem for path in examples()}


def example_of(text: Path) -> Path:
    (found,) = (path for path in examples() if path.stem == text.stem)
    return found


JARGON = ("yaml", "scalar", "mapping", "sequence", "token", "node", "string", "float", "null", "none type", "traceback")


@pytest.mark.parametrize("text", sorted(HERE.glob("*.txt")), ids=lambda path: path.stem)
def test_no_message_speaks_of_the_machinery(text):
    words = text.read_text(encoding="utf-8").replace(example_of(text).name, "").lower()

    assert [word for word in JARGON if word in words] == []


@pytest.mark.parametrize("text", sorted(HERE.glob("*.txt")), ids=lambda path: path.stem)
def test_every_message_says_what_is_allowed_and_what_to_do(text):
    findings = text.read_text(encoding="utf-8").split(f"{example_of(text).name}:")[1:]

    assert findings
    for finding in findings:
        lines = [line for line in finding.strip().splitlines() if line]
        assert len(lines) in (3, 4), finding
        assert Path(lines[-1]).name
