"""Everything a draft may say, beside what it was started from: messages.yaml holds both, word for word.

`python -m tests.draft.messages` writes the texts anew. Then read what changed, aloud.
"""

from __future__ import annotations

import io
import os
import tempfile
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any

import yaml

from explain.cli import main
from tests.story.invented import copy_demo

KEPT = Path(__file__).with_name("messages.yaml")
HEAD = "# What a draft was started from, and what it says. Refresh: python -m tests.draft.messages\n"


def said(example: dict[str, Any]) -> str:
    """What is said about one example: standard output and errors, in a folder with the demo orders."""
    with _inside_a_shop():
        for name, text in example.get("files", {}).items():
            Path(name).write_text(text, encoding="utf-8")
        spoken = io.StringIO()
        with redirect_stdout(spoken), redirect_stderr(spoken):
            main(["draft", *example["run"]])
        return spoken.getvalue()


@contextmanager
def _inside_a_shop() -> Any:
    before = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        copy_demo(Path(folder) / "orders")
        os.chdir(folder)
        try:
            yield
        finally:
            os.chdir(before)


class _Folded(yaml.SafeDumper):
    """Texts of several lines as they are read."""


def _as_block(dumper: Any, text: str) -> Any:
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style="|" if "\n" in text else None)


_Folded.add_representer(str, _as_block)


def examples() -> list[dict[str, Any]]:
    """Every example with the text that is kept for it."""
    content: list[dict[str, Any]] = yaml.safe_load(KEPT.read_text(encoding="utf-8"))
    return content


def refresh() -> None:
    """Write the texts anew."""
    new = [{**example, "said": said(example)} for example in examples()]
    text = yaml.dump(new, Dumper=_Folded, sort_keys=False, allow_unicode=True, width=200)
    KEPT.write_text(HEAD + text, encoding="utf-8")


if __name__ == "__main__":
    refresh()
