"""Programs of the operating system that some tests need: where they are, and what is said where one is missing."""

from __future__ import annotations

import os
import shutil

import pytest

WITHOUT = os.environ.get("EXPLAIN_WITHOUT", "").split()
"""Programs that this run is to do without, by name: their tests are skipped, and the run lists them as skipped."""


def program(name: str, package: str) -> str:
    """Where a program is; its tests fail where it is missing, unless the run was told to do without it."""
    if name in WITHOUT:
        pytest.skip(f"EXPLAIN_WITHOUT names {name}")
    found = shutil.which(name)
    if found is None:
        pytest.fail(
            f"{name} is missing. Run `make browser`, or as root: apt-get install {package}. "
            f"To leave its tests out: EXPLAIN_WITHOUT={name}"
        )
    return found
