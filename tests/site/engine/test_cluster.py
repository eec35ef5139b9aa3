"""A real Dask cluster: a scheduler and two workers, each a process of its own, and what happens when one dies."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import time

import pytest

from explain.site.build import build
from explain.site.engine.cluster import _need_alike, cluster
from explain.site.engine.workers import CrewError
from tests.site.engine.sites import ENVIRONMENT, clean, explain, shop_with, uploaded

PATIENCE_S = 120
QUIET = ("--no-dashboard", "--host", "127.0.0.1")


def start(folder, what, *words):
    command = [sys.executable, "-m", f"distributed.cli.dask_{what}", *words, *QUIET]
    streams = {"stdout": subprocess.DEVNULL, "stderr": subprocess.PIPE}
    return subprocess.Popen(command, cwd=folder, env=ENVIRONMENT, text=True, **streams)


def line_with(process, pattern):
    for line in process.stderr:
        found = re.search(pattern, line)
        if found:
            return found
    raise AssertionError(f"it never said {pattern}")


@pytest.fixture
def scheduler(tmp_path):
    """Address of a scheduler, a function that starts a worker in a folder of its own, and the scheduler's process."""
    started = [start(tmp_path, "scheduler", "--port", "0")]
    address = line_with(started[0], r"Scheduler at:\s+(tcp://\S+)")[1]

    def worker():
        folder = tmp_path / f"worker-{len(started)}"
        folder.mkdir()
        started.append(start(folder, "worker", address, "--nthreads", "1", "--no-nanny"))
        line_with(started[-1], r"Registered to:\s+" + re.escape(address))
        return started[-1]

    yield address, worker, started[0]
    for process in reversed(started):
        process.send_signal(signal.SIGKILL)
        process.wait(PATIENCE_S)
        process.stderr.close()


def first_page(folder):
    """Wait until a page is there."""
    deadline = time.monotonic() + PATIENCE_S
    while not list(folder.glob("site_out/upload/*/reminders.ics")) and time.monotonic() < deadline:
        time.sleep(0.02)


def test_two_workers_that_share_no_memory_make_the_same_pages(scheduler, tmp_path):
    address, worker, _ = scheduler
    worker(), worker()
    whole = clean(shop_with(tmp_path / "shop", 10), tmp_path / "clean")
    process = explain(tmp_path / "shop", "build", "--cluster", address)
    said, complained = process.communicate(timeout=PATIENCE_S)

    assert process.returncode == 0, complained
    assert "10 pages written" in said
    assert uploaded(tmp_path / "shop" / "site_out") == whole


def test_a_worker_that_dies_costs_a_second_try_and_no_page(scheduler, tmp_path):
    address, worker, _ = scheduler
    first, _ = worker(), worker()
    whole = clean(shop_with(tmp_path / "shop", 24), tmp_path / "clean")
    process = explain(tmp_path / "shop", "build", "--cluster", address)
    first_page(tmp_path / "shop")
    first.send_signal(signal.SIGKILL)
    said, complained = process.communicate(timeout=PATIENCE_S)

    assert process.returncode == 0, complained
    assert "24 pages written" in said
    assert uploaded(tmp_path / "shop" / "site_out") == whole


def test_a_scheduler_that_dies_is_named_and_the_next_build_makes_the_rest(scheduler, tmp_path):
    address, worker, scheduling = scheduler
    worker()
    whole = clean(shop_with(tmp_path / "shop", 60), tmp_path / "clean")
    process = explain(tmp_path / "shop", "build", "--cluster", address)
    first_page(tmp_path / "shop")
    scheduling.send_signal(signal.SIGKILL)
    _, complained = process.communicate(timeout=PATIENCE_S)

    assert process.returncode == 2
    assert complained.startswith(f"{address}: the Dask scheduler no longer answers.\n")
    assert "Traceback" not in complained
    again = explain(tmp_path / "shop", "build")
    again.communicate(timeout=PATIENCE_S)
    assert again.returncode == 0
    assert uploaded(tmp_path / "shop" / "site_out") == whole


def test_a_cluster_whose_last_worker_dies_is_waited_for_a_while_and_then_named(scheduler, tmp_path, monkeypatch):
    monkeypatch.setattr("explain.site.engine.cluster.LOOK_EVERY_S", 0.5)
    monkeypatch.setattr("explain.site.engine.cluster.WITHOUT_WORKERS_S", 2)
    address, worker, _ = scheduler
    only = worker()
    paths = shop_with(tmp_path / "shop", 40)
    results = build(paths, tmp_path / "out", crew=lambda _: cluster(address))
    monkeypatch.chdir(tmp_path / "shop")
    next(results)
    only.send_signal(signal.SIGKILL)

    with pytest.raises(CrewError, match="has no workers any more"):
        list(results)


def test_a_cluster_without_workers_or_that_does_not_answer_is_named_with_what_to_do(scheduler, monkeypatch):
    address, _, _ = scheduler
    with pytest.raises(CrewError, match="has no workers yet"):
        cluster(address)
    monkeypatch.setattr("explain.site.engine.cluster.PATIENCE_S", 1)
    with pytest.raises(CrewError, match="no Dask scheduler answers there"):
        cluster("tcp://127.0.0.1:1")


@pytest.mark.parametrize("told", [("another program", True), (None, False)], ids=["another program", "no folder"])
def test_a_worker_that_would_make_other_pages_is_named_before_anything_is_sent(told):
    ours = ("this program", True)
    theirs = (told[0] or ours[0], told[1])

    with pytest.raises(CrewError, match=r"^tcp://two: this worker (runs another version|does not see the folder)"):
        _need_alike("tcp://scheduler", {"tcp://one": ours, "tcp://two": theirs}, ours)
    _need_alike("tcp://scheduler", {"tcp://one": ours}, ours)


def test_without_dask_the_message_says_how_to_do_without(monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(CrewError, match="Most shops do without"):
        cluster("tcp://127.0.0.1:1")
