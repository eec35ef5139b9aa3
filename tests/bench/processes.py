"""Runs commands as fresh processes: how long each takes, and how much memory it and its workers hold at most."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from tests.conftest import REPOSITORY

EVERY_S = 0.1
BUILD_DAY = "1793491200"
"""2026-11-01, for SOURCE_DATE_EPOCH: whenever this is run, no page's time is over."""


class FailedError(Exception):
    """A command that was to be timed did not do its work."""


@dataclass(frozen=True, slots=True)
class Run:
    """Seconds a process took, and what it said.

    peak_mb: memory of it and all it started, shared pages counted once; None where that is not known.
    """

    seconds: float
    said: str = ""
    peak_mb: float | None = None


def surroundings() -> dict[str, str]:
    """Environment of what is timed. Compiled code is kept, as Python does unless told otherwise."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "PYTHONPATH": str(REPOSITORY), "SOURCE_DATE_EPOCH": BUILD_DAY}


def explain(*arguments: str | Path) -> list[str]:
    """The command line of ours, as `python -m explain`."""
    return [sys.executable, "-m", "explain", *map(str, arguments)]


def run(command: Sequence[str], folder: Path, *, memory: bool = False) -> Run:
    """Run a command in a folder. Raises FailedError where it fails."""
    with tempfile.TemporaryFile() as said:
        started = time.perf_counter()
        process = subprocess.Popen(command, cwd=folder, env=surroundings(), stdout=said, stderr=subprocess.STDOUT)
        watch = _Memory(process.pid) if memory else None
        status = process.wait()
        seconds = time.perf_counter() - started
        peak_mb = watch.stop() if watch else None
        said.seek(0)
        text = said.read().decode()
    if status != 0:
        raise FailedError(f"{' '.join(command)} ended with {status}:\n{text[-2000:]}")
    return Run(seconds, text, peak_mb)


def in_turn(commands: dict[str, list[str]], folder: Path, rounds: int) -> dict[str, float]:
    """Median seconds of each command, run in turn, so that a busy moment meets all of them."""
    seconds: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(rounds):
        for name, command in commands.items():
            seconds[name].append(run(command, folder).seconds)
    return {name: median(values) for name, values in seconds.items()}


class _Memory:
    """Asks again and again how much memory a process and its descendants hold, and keeps the most."""

    def __init__(self, process: int) -> None:
        self._process, self._peak_kb, self._ended = process, 0, threading.Event()
        self._thread = threading.Thread(target=self._watch, daemon=True)
        self._thread.start()

    def stop(self) -> float | None:
        """The most memory so far [MB]; None where the system does not say."""
        self._ended.set()
        self._thread.join()
        return self._peak_kb / 1024 or None

    def _watch(self) -> None:
        while not self._ended.wait(EVERY_S):
            self._peak_kb = max(self._peak_kb, sum(map(_share_kb, _family(self._process))))


def _family(process: int) -> list[int]:
    """A process and all that it started, directly or not."""
    found = [process]
    for one in found:
        for task in Path(f"/proc/{one}/task").glob("*/children"):
            try:
                found += map(int, task.read_text().split())
            except OSError:  # it has ended meanwhile
                continue
    return found


def _share_kb(process: int) -> int:
    """Memory of a process, what it shares with others divided among them (PSS) [kB]."""
    try:
        text = Path(f"/proc/{process}/smaps_rollup").read_text()
    except OSError:
        return 0
    return next((int(line.split()[1]) for line in text.splitlines() if line.startswith("Pss:")), 0)
