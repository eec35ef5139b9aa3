"""Many orders: from nothing by one worker and by two, then with nothing changed, then with one order changed."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from tests.bench.processes import FailedError, Run, explain, run
from tests.bench.shop import dearer, files_of, lay_out_shop

SETTLED_S = 2.5
"""Longer than a build distrusts the time of a file that was just written."""
OUT = "site_out"
SWEEP = Path(__file__).with_name("sweep.py")


@dataclass(frozen=True, slots=True)
class Cold:
    """Builds from nothing of so many orders by so many workers."""

    orders: int
    workers: int
    runs: tuple[Run, ...]

    @property
    def pages_per_s(self) -> float:
        """Pages a second, start-up and answers included."""
        return self.orders / median(run.seconds for run in self.runs)

    @property
    def peak_mb(self) -> float | None:
        """The most memory that any of the builds held [MB]."""
        peaks = [run.peak_mb for run in self.runs if run.peak_mb is not None]
        return max(peaks) if peaks else None


@dataclass(frozen=True, slots=True)
class Again:
    """Median seconds of a sweep of all files, of a build with nothing changed, and of one with one order changed."""

    orders: int
    files: int
    sweep: float
    nothing: float
    one: float


def cold(folder: Path, sizes: Sequence[int], workers: Sequence[int], rounds: int) -> Iterator[Cold]:
    """Build shops of each size by each number of workers, in turn."""
    runs: dict[tuple[int, int], list[Run]] = {}
    for turn in range(rounds):
        for size in sizes:
            shop = folder / f"shop-{size}"
            if turn == 0:
                lay_out_shop(shop / "orders", size)
            for count in workers:
                command = explain("build", "--workers", str(count), "--out", f"out-{turn}-{count}")
                runs.setdefault((size, count), []).append(run(command, shop, memory=True))
                _need_pages(shop / f"out-{turn}-{count}", size)
    for (size, count), done in runs.items():
        yield Cold(size, count, tuple(done))


def again(folder: Path, size: int, rounds: int) -> Again:
    """Build a shop once, then time a sweep, a build with nothing changed and one with one order changed, in turn."""
    paths = lay_out_shop(folder / "orders", size)
    out = folder / OUT
    run(explain("build"), folder)
    _need_pages(out, size)
    names = [str(path) for path in files_of(folder / "orders", out)]
    listed = folder / "list.txt"
    listed.write_text("".join(f"{name}\n" for name in names), encoding="utf-8")
    swept, nothing, one = [], [], []
    for turn in range(rounds):
        time.sleep(SETTLED_S)
        run(explain("build"), folder)  # looks once more at what was written just before
        swept.append(run([sys.executable, str(SWEEP), str(listed)], folder).seconds)
        nothing.append(_built(folder, "Nothing changed"))
        order = paths[turn * 7 % len(paths)]
        order.write_text(dearer(order.read_text(encoding="utf-8"), 1), encoding="utf-8")
        one.append(_built(folder, "1 page written"))
    return Again(size, len(names), median(swept), median(nothing), median(one))


def _built(folder: Path, expected: str) -> float:
    """Seconds of a build. Raises FailedError where it does not say what is expected of it."""
    done = run(explain("build"), folder)
    if expected not in done.said:
        raise FailedError(f"a build was to say '{expected}', and said:\n{done.said[-2000:]}")
    return done.seconds


def _need_pages(out: Path, size: int) -> None:
    pages = [page for page in (out / "upload").glob("*/index.html") if page.parent.name != "answers"]
    if len(pages) != size:
        raise FailedError(f"{size} orders were built and {len(pages)} pages written")
