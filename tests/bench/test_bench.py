"""The bench runs, compares like with like, and prints its table. How long anything takes is never a failure."""

from __future__ import annotations

from tests.bench.bench import PAGES, measure, table


def test_the_bench_builds_the_same_pages_both_ways_and_prints_how_long_it_took(tmp_path, capsys):
    timings, pages, bare = measure(tmp_path)

    assert len(pages) == PAGES == len(set(pages))
    assert bare == pages
    with capsys.disabled():
        print(f"\n{table(timings, PAGES)}")  # noqa: T201  the table is what a bench is for
