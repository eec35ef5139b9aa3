"""Places: where templates lie, in an installed package and in a checkout, and what files of an order are called."""

from __future__ import annotations

import os
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[1]


def templates_folder() -> Path:
    """Folder of the templates: inside the installed package, else beside the package in a checkout."""
    inside = _PACKAGE / "templates"
    return inside if inside.is_dir() else _PACKAGE.parent / "templates"


def is_text(name: str) -> bool:
    """False for a file name that is no text (UTF-8): it cannot be shown, nor written down."""
    try:
        name.encode()
    except UnicodeEncodeError:
        return False
    return True


def as_text(path: Path) -> Path:
    """A path as it can be shown: what is no text in it becomes a sign that says so."""
    return Path(os.fsencode(path).decode("utf-8", "replace"))


CALENDAR_NAME = "reminders.ics"
"""Name of the file beside a page: like the page's own, it tells nothing. The part of the diary links to it."""
