"""Workers: any executor makes the same pages; what is lost or damaged on the way is made again, and nothing else is."""

from __future__ import annotations

import os
import signal
import time
from concurrent.futures import Executor, Future
from contextlib import suppress
from pathlib import Path

import pytest
from msgspec.structs import replace

from explain.site.build import build
from explain.site.engine.processes import WorkerLostError, processes
from explain.site.engine.workers import HERE, Crew, Here, NoWorkerError, stream
from tests.site.engine.sites import ENVIRONMENT, clean, explain, shop_with, uploaded


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """Orders and what is uploaded of them when this process makes them."""
    folder = tmp_path_factory.mktemp("workers")
    paths = shop_with(folder, 9)
    return paths, clean(paths, folder / "here")


def built_by(crew, paths, out):
    return list(build(paths, out, all_answers=True, crew=lambda _: crew))


@pytest.mark.parametrize("count", [1, 2, 3])
def test_however_many_processes_the_bytes_are_the_same_and_the_order_too(shop, tmp_path, count):
    paths, whole = shop

    results = built_by(processes(count), paths, tmp_path / "out")

    assert [result.path for result in results] == paths
    assert uploaded(tmp_path / "out") == whole


class Losing(Here):
    """Loses every so-many-th chunk, as a worker does that dies."""

    every, given = 2, 0

    def submit(self, fn, /, *args):
        Losing.given += 1
        if Losing.given % self.every:
            return super().submit(fn, *args)
        lost = Future()
        lost.set_exception(WorkerLostError())
        return lost


class Damaging(Here):
    """Changes a byte of the first page on its way back."""

    done = False

    def submit(self, fn, /, *args):
        future = super().submit(fn, *args)
        if not Damaging.done:
            Damaging.done = True
            product, *others = future.result()
            future = Future()
            page = product.upload["index.html"].replace(b"Odile", b"Odila", 1)
            assert page != product.upload["index.html"]
            future.set_result([replace(product, upload={**product.upload, "index.html": page}), *others])
        return future


@pytest.mark.parametrize("kind", [Losing, Damaging])
def test_what_is_lost_or_damaged_on_the_way_is_made_again(shop, tmp_path, kind):
    paths, whole = shop
    crew = Crew(kind, width=2, chunk=2, is_lost=lambda error: isinstance(error, WorkerLostError))

    results = built_by(crew, paths, tmp_path / "out")

    assert [len(result.faults) for result in results] == [0] * 9
    assert uploaded(tmp_path / "out") == whole


class Counting(Here):
    """Takes chunks, and makes each only when its result is asked for; most: how many waited at once."""

    waiting, most = 0, 0

    def submit(self, fn, /, *args):
        Counting.waiting += 1
        Counting.most = max(Counting.most, Counting.waiting)
        future = super().submit(fn, *args)
        asked_for = future.result

        def result(timeout=None):
            Counting.waiting -= 1
            return asked_for(timeout)

        future.result = result
        return future


def test_no_more_chunks_are_under_way_than_the_crew_is_wide(shop, tmp_path):
    paths, whole = shop

    built_by(Crew(Counting, width=2, chunk=1), paths, tmp_path / "out")

    assert (Counting.waiting, Counting.most) == (0, 2)
    assert uploaded(tmp_path / "out") == whole


class LosingOne(Here):
    """Loses whatever holds one order, each time."""

    def submit(self, fn, /, packed, tasks):
        if not any(task.path.stem == "T-0004" for task in tasks):
            return super().submit(fn, packed, tasks)
        lost = Future()
        lost.set_exception(WorkerLostError())
        return lost


def test_an_order_over_which_every_worker_is_lost_is_a_fault_of_its_own(shop, tmp_path):
    paths, whole = shop
    crew = Crew(LosingOne, width=2, chunk=3, is_lost=lambda error: isinstance(error, WorkerLostError))

    results = built_by(crew, paths, tmp_path / "out")

    assert [result.path.stem for result in results if result.faults] == ["T-0004"]
    assert "the process that made it stopped" in str(results[3].faults[0])
    assert len(uploaded(tmp_path / "out")) == len(whole) - 2  # its page and its reminders


class Nobody(Here):
    """Has begun two chunks when the system takes its workers away for good."""

    def __init__(self):
        self.given = 0

    def submit(self, *_):
        self.given += 1
        if self.given > 2:
            raise NoWorkerError("Too many open files")
        lost = Future()
        lost.set_exception(WorkerLostError())
        return lost


def test_where_no_worker_can_be_had_this_process_makes_every_page_and_says_so_once(shop, tmp_path):
    paths, whole = shop
    told = []
    crew = Crew(Nobody, width=2, chunk=2, is_lost=lambda error: isinstance(error, WorkerLostError), tell=told.append)

    built_by(crew, paths, tmp_path / "out")

    assert uploaded(tmp_path / "out") == whole
    assert len(told) == 1
    assert "No worker process can be started here (Too many open files)." in told[0]


def test_a_socket_that_the_folder_for_temporary_files_cannot_hold_costs_no_page(tmp_path):
    whole = clean(shop_with(tmp_path, 9), tmp_path / "clean")
    long = tmp_path / ("long" * 30)
    long.mkdir()
    process = explain(tmp_path, "build", "--workers", "2", env={**ENVIRONMENT, "TMPDIR": str(long)})
    said, complained = process.communicate(timeout=120)

    assert (process.returncode, complained) == (0, "")
    assert "9 pages written" in said
    assert uploaded(tmp_path / "site_out") == whole


def test_a_worker_short_of_memory_is_a_lost_one():
    is_lost = processes(1).is_lost
    assert is_lost(MemoryError())
    assert is_lost(WorkerLostError())
    assert not is_lost(ZeroDivisionError())


def test_who_is_slow_to_take_pages_has_no_more_than_so_many_chunks_under_way():
    taken, most = 0, 0

    class Counting(Here):
        given = 0

        def submit(self, fn, /, *args):
            Counting.given += 1
            return super().submit(fn, *args)

    crew = Crew(Counting, width=4, make=lambda _, tasks: [_Nothing() for _ in tasks])
    for _ in stream(crew, ((b"", (number,)) for number in range(100))):
        most = max(most, Counting.given - taken)
        taken += 1
    assert (taken, most) == (100, 4)


class _Nothing:
    """Stands for a product that came whole."""

    digest = ""

    def digest_now(self):
        return ""


class Silent(Executor):
    """Never gives anything back; presses Ctrl-C so many times when asked, and loses the first chunk."""

    def __init__(self, presses):
        self.presses, self.given, self.stopped = presses, 0, []

    def submit(self, *_):
        future = Future()
        self.given += 1
        if self.given == 1:
            future.set_exception(WorkerLostError())
        else:
            for _ in range(self.presses):
                signal.raise_signal(signal.SIGINT)
        return future

    def shutdown(self, *, wait):
        self.stopped.append(wait)


@pytest.mark.parametrize("presses", [1, 2])
def test_ctrl_c_is_heard_while_one_order_is_tried_alone_and_nobody_waits_for_the_worker(presses):
    silent = Silent(presses)
    crew = Crew(lambda: silent, is_lost=lambda error: isinstance(error, WorkerLostError))

    with pytest.raises(KeyboardInterrupt):
        list(stream(crew, [(b"", (1,))]))

    assert silent.stopped == [False]


def test_ctrl_c_pressed_again_stops_what_this_process_is_doing():
    went_on = []

    def make(*_):
        signal.raise_signal(signal.SIGINT)
        signal.raise_signal(signal.SIGINT)
        went_on.append(True)

    with pytest.raises(KeyboardInterrupt):
        list(stream(Crew(Here, make=make), [(b"", (1,))]))
    assert went_on == []


def test_ctrl_c_after_the_last_order_is_not_forgotten():
    def pressed_at_the_end():
        for _ in stream(Crew(Here, make=lambda *_: [_Nothing()]), [(b"", (1,))]):
            signal.raise_signal(signal.SIGINT)

    with pytest.raises(KeyboardInterrupt):
        pressed_at_the_end()


def test_a_bug_in_a_worker_is_not_taken_for_a_lost_one(shop, tmp_path, monkeypatch):
    def broken(*_):
        raise ZeroDivisionError

    monkeypatch.setattr("explain.site.checking.work_out", broken)
    with pytest.raises(ZeroDivisionError):
        built_by(HERE, shop[0], tmp_path / "out")


def children(pid):
    """Processes that a process has started, and those that they have."""
    found = []
    for entry in Path("/proc").iterdir():
        try:
            parent = int((entry / "stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()[1])
        except (OSError, ValueError, IndexError):
            continue
        if entry.name.isdigit() and parent == pid:
            found += [int(entry.name), *children(int(entry.name))]
    return found


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are listed elsewhere on this system")
def test_a_worker_that_is_killed_costs_a_second_try_and_no_page(tmp_path):
    paths = shop_with(tmp_path, 120)  # enough that a busy machine does not miss the moment between two pages
    whole = clean(paths, tmp_path / "clean")
    process = explain(tmp_path, "build", "--workers", "2")
    killed = 0
    while process.poll() is None and killed < 2:
        if len(list(tmp_path.glob("site_out/upload/*/index.html"))) > 1 + 8 * killed:
            workers = [pid for pid in children(process.pid) if b"site_out" not in _command(pid)]
            with suppress(ProcessLookupError, ValueError):  # the last is just ending, none has begun since
                os.kill(max(workers), signal.SIGKILL)
                killed += 1
        time.sleep(0.005)
    said, complained = process.communicate(timeout=120)

    assert (process.returncode, killed) == (0, 2), complained
    assert "120 pages written" in said
    assert uploaded(tmp_path / "site_out") == whole


def _command(pid):
    try:
        return Path(f"/proc/{pid}/cmdline").read_bytes()
    except OSError:
        return b""
