"""The table: each figure beside its baseline, and whether its aim was met."""

from __future__ import annotations

import os
import platform
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

HEAD = ("what", "measured", "baseline", "measured", "ratio", "aim", "met")


@dataclass(frozen=True, slots=True)
class Row:
    """A figure and its baseline, as text and as numbers. most, least: the ratio that is aimed at, where one is."""

    what: str
    measured: str
    value: float
    beside: str = ""
    baseline: str = ""
    against: float = 0.0
    most: float | None = None
    least: float | None = None

    @property
    def ratio(self) -> float | None:
        """The figure as so many of its baseline."""
        return self.value / self.against if self.against else None

    @property
    def is_met(self) -> bool | None:
        """Whether the aim was met; None where there is none."""
        if self.ratio is None or (self.most is None and self.least is None):
            return None
        return self.ratio <= self.most if self.most is not None else self.ratio >= (self.least or 0.0)

    @property
    def aim(self) -> str:
        """The aim in words."""
        if self.most is not None:
            return f"at most {self.most:g}"
        return "" if self.least is None else f"at least {self.least:g}"

    def cells(self) -> tuple[str, ...]:
        """The row as it is printed."""
        ratio = "" if self.ratio is None else f"{self.ratio:.2f}" if self.ratio < 10 else f"{self.ratio:.0f}"
        met = {True: "yes", False: "NO", None: ""}[self.is_met]
        return self.what, self.measured, self.beside, self.baseline, ratio, self.aim, met


def table(rows: Sequence[Row]) -> str:
    """All rows as a Markdown table whose columns also stand under each other as plain text."""
    cells = [HEAD, *(row.cells() for row in rows)]
    widths = [max(len(line[column]) for line in cells) for column in range(len(HEAD))]
    lines = [
        "| " + " | ".join(cell.ljust(wide) for cell, wide in zip(line, widths, strict=True)) + " |" for line in cells
    ]
    return "\n".join([lines[0], "| " + " | ".join("-" * wide for wide in widths) + " |", *lines[1:]])


def machine() -> str:
    """What this was measured on, and how busy that was: on a busy machine only the ratios mean something."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    load = f", load {os.getloadavg()[0]:.1f} before" if hasattr(os, "getloadavg") else ""
    return f"{cores} cores ({_processor()}), Python {platform.python_version()}, {platform.platform(terse=True)}{load}"


def _processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.processor() or "unknown processor"
    return next((line.partition(":")[2].strip() for line in lines if line.startswith("model name")), platform.machine())
