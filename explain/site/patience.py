"""Patience: put a file in place, or take it away, where another program may hold it open for a moment.

Windows refuses both while a virus scanner, an indexer or a browser reads the file; elsewhere nobody needs to wait.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path

TRIES = 20
PAUSE_S = 0.05


def put(source: Path, target: Path) -> None:
    """Put a file in place of another in one step. Raises OSError where that stays refused for a second."""
    _patiently(lambda: source.replace(target))


def take_away(path: Path) -> None:
    """Remove a file that may be there. Raises OSError where that stays refused for a second."""
    _patiently(lambda: path.unlink(missing_ok=True))


def _patiently(do: Callable[[], object]) -> None:
    for _ in range(TRIES - 1 if os.name == "nt" else 0):
        try:
            do()
        except PermissionError:
            time.sleep(PAUSE_S)
        else:
            return
    do()
