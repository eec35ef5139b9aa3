"""Each reader: takes and refuses what it should of its seeds, and stands a short guided run."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from importlib.util import find_spec

import pytest

from tests.conftest import REPOSITORY
from tests.fuzz.readers import READERS
from tests.fuzz.seeds import seeds

SECONDS = 4
WITHOUT = "atheris is not installed: it has wheels for Linux on x86-64 only, and guided fuzzing is left out"
NEVER_REFUSE = {"flags", "trace"}
"""Readers whose seeds are all good."""


@pytest.mark.parametrize("reader", READERS)
def test_seeds_are_read_or_refused(reader):
    done = Counter(READERS[reader](data) for data in seeds(reader))

    assert done[True]
    assert done[False] or reader in NEVER_REFUSE


@pytest.mark.skipif(find_spec("atheris") is None, reason=WITHOUT)
@pytest.mark.parametrize("reader", READERS)
def test_a_reader_stands_a_short_guided_run(reader, tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "tests.fuzz.guided", reader, str(SECONDS), str(tmp_path)],
        cwd=REPOSITORY, env={**os.environ, "TMPDIR": str(tmp_path)},
        capture_output=True, text=True, errors="replace", check=False, timeout=120,
    )  # fmt: skip

    assert done.returncode == 0, f"{done.stdout}{done.stderr}"[-6000:]
    assert "stat::number_of_executed_units" in done.stderr
