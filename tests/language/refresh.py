"""Bring the catalogues up to what the pages say: `python -m tests.language.refresh`. Then translate what is empty."""

from __future__ import annotations

import sys

from tests.language.catalogue import LANGUAGES, renewed, save


def main() -> int:
    """Write each catalogue; say how many sentences still wait. Exit status 1 while any does."""
    waiting = 0
    for code in LANGUAGES:
        catalogue = renewed(code)
        save(code, catalogue)
        empty = [message for message in catalogue if message.id and not _is_translated(message.string)]
        waiting += len(empty)
        sys.stdout.write(f"{code}: {len(catalogue)} sentences, {len(empty)} to translate\n")
    return 1 if waiting else 0


def _is_translated(string: str | tuple[str, ...] | list[str]) -> bool:
    return bool(string) and all(string) if isinstance(string, (tuple, list)) else bool(string)


if __name__ == "__main__":
    raise SystemExit(main())
