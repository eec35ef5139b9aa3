"""How fast pages are made, each figure beside a baseline of the same run: python -m tests.bench, or make bench."""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from tests.bench import many, page, start
from tests.bench.table import Row, machine, table

PARTS = ("page", "cold", "again", "start")


@dataclass(frozen=True, slots=True)
class Sizes:
    """How much is measured: orders of the page, of the cold builds, of the build done again; rounds of each."""

    pages: int = 50
    cold: tuple[int, ...] = (200, 2000)
    cold_rounds: int = 1
    again: int = 10000
    rounds: int = 5
    starts: int = 15


def rows(folder: Path, sizes: Sizes, parts: Sequence[str] = PARTS) -> Iterator[Row]:
    """Measure and give the rows, part by part."""
    made = {"page": _page_rows, "cold": _cold_rows, "again": _again_rows, "start": _start_rows}
    for part in parts:
        inside = folder / part
        inside.mkdir()
        yield from made[part](inside, sizes)


def _page_rows(folder: Path, sizes: Sizes) -> Iterator[Row]:
    timings, _ = page.measure(folder, sizes.pages)
    whole, bare, plain, built = map(median, (timings.page, timings.bare, timings.plain, timings.built))
    name = f"a page of {sizes.pages}, time of one core"
    yield Row(name, _ms(whole), whole, "bare fill of its template", _ms(bare), bare, most=5)
    for step, seconds in timings.steps.items():
        yield Row(f"- {step}", _ms(median(seconds)), median(seconds), "bare fill", _ms(bare), bare)
    yield Row(name, _rate(1 / whole), 1 / whole, "plain script", _rate(1 / plain), 1 / plain, least=30)
    yield Row("- built: card, desk and all", _ms(built), built, "bare fill", _ms(bare), bare)


def _cold_rows(folder: Path, sizes: Sizes) -> Iterator[Row]:
    done = {(one.orders, one.workers): one for one in many.cold(folder, sizes.cold, (1, 2), sizes.cold_rounds)}
    few, most = sizes.cold[0], sizes.cold[-1]
    for orders in sizes.cold:
        one, two = (done[orders, workers].pages_per_s for workers in (1, 2))
        least = 1.7 if orders == most else None
        yield Row(f"{orders} orders, 2 workers", _rate(two), two, "1 worker", _rate(one), one, least=least)
    for workers in (1, 2):
        low, high = done[few, workers].peak_mb, done[most, workers].peak_mb
        if low and high:
            what = f"memory, {most} orders, {workers} worker{'s' if workers > 1 else ''}"
            yield Row(what, _mb(high), high, f"{few} orders", _mb(low), low, most=1.1)


def _again_rows(folder: Path, sizes: Sizes) -> Iterator[Row]:
    done = many.again(folder, sizes.again, sizes.rounds)
    beside = f"a process that stats {done.files} files", _ms(done.sweep), done.sweep
    yield Row(f"{done.orders} orders, none changed", _ms(done.nothing), done.nothing, *beside, most=3)
    yield Row(f"{done.orders} orders, one changed", _ms(done.one), done.one, *beside, most=10)


def _start_rows(folder: Path, sizes: Sizes) -> Iterator[Row]:
    seconds = start.measure(folder, sizes.starts)
    nothing = seconds.pop(start.NOTHING)
    for what, taken in seconds.items():
        most = 3.0 if what.endswith("--help") else None
        yield Row(what, _ms(taken), taken, start.NOTHING, _ms(nothing), nothing, most=most)


def _ms(seconds: float) -> str:
    return f"{1000 * seconds:.1f} ms"


def _rate(per_s: float) -> str:
    return f"{per_s:.1f} pages/s"


def _mb(megabytes: float) -> str:
    return f"{megabytes:.0f} MB"


def _arguments(argv: Sequence[str] | None) -> argparse.Namespace:
    sizes = Sizes()
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("parts", nargs="*", default=PARTS, metavar="PART", help=f"of {', '.join(PARTS)} (default: all)")
    parser.add_argument("--pages", type=int, default=sizes.pages, help="orders whose page is timed step by step")
    parser.add_argument("--cold", type=int, nargs="+", default=sizes.cold, help="orders built from nothing")
    parser.add_argument("--cold-rounds", type=int, default=sizes.cold_rounds, help="how often each of these builds")
    parser.add_argument("--again", type=int, default=sizes.again, help="orders of the builds with next to no change")
    parser.add_argument("--rounds", type=int, default=sizes.rounds, help="how often these are built")
    parser.add_argument("--starts", type=int, default=sizes.starts, help="how often each command starts")
    args = parser.parse_args(argv)
    if unknown := set(args.parts) - set(PARTS):
        parser.error(f"no such part: {', '.join(sorted(unknown))}. There are {', '.join(PARTS)}.")
    return args


def main(argv: Sequence[str] | None = None) -> int:
    """Measure, and print the table."""
    args = _arguments(argv)
    sizes = Sizes(args.pages, tuple(args.cold), args.cold_rounds, args.again, args.rounds, args.starts)
    print(machine(), "\n", flush=True)  # noqa: T201  a bench prints
    with tempfile.TemporaryDirectory() as folder:
        print(table(list(rows(Path(folder), sizes, args.parts))))  # noqa: T201
    return 0


if __name__ == "__main__":
    sys.exit(main())
