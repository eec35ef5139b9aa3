"""The command in a process of its own, as a shop runs it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from tests.conftest import REPOSITORY


def explain(folder: Path, *arguments: str, status: int = 0, **environment: str) -> str:
    """All that a command says, on both streams, run in a folder. It must end with the status."""
    run = subprocess.run(
        [sys.executable, "-m", "explain", *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(REPOSITORY), **environment},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    said = f"{run.stdout}\n{run.stderr}"
    assert "Traceback" not in said, said
    assert run.returncode == status, said
    return said
