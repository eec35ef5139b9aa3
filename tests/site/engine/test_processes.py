"""Processes: a worker that dies at any moment, halfway through a result too, is heard of, and costs only its work."""

from __future__ import annotations

import os
import random
import signal
import threading
import time
from concurrent.futures import wait
from contextlib import suppress
from functools import partial
from multiprocessing import forkserver, get_context
from multiprocessing.connection import Connection
from pathlib import Path

import pytest

from explain.site.engine import processes as module
from explain.site.engine.failure import told
from explain.site.engine.processes import Processes, WorkerLostError, processes
from explain.site.engine.workers import NoWorkerError
from tests.site.engine.test_workers import children

listed = pytest.mark.skipif(
    not Path("/proc/self/stat").exists(), reason="processes are listed elsewhere on this system"
)
LONG_S = 60
BIG = 3_000_000
"""Bytes, many times what a pipe holds."""
KILLS = 20


@pytest.fixture
def two():
    """Two worker processes, ended with the test."""
    executor = processes(2).start()
    yield executor
    executor.shutdown()


def process_number(*_):
    return os.getpid()


def big(number, seconds=0.0):
    time.sleep(seconds)
    return number, os.getpid(), bytes(BIG)


def half_a_result():
    """Say that a megabyte comes, give a piece of it, and die."""
    send = Connection._send
    Connection._send = lambda pipe, data: (send(pipe, data[: len(data) // 2]), os._exit(1))
    return bytes(1_000_000)


class Unreadable:
    """Can be handed over, and not be taken."""

    def __reduce__(self):
        return int, ("no number",)


class TwoWordsError(Exception):
    """Takes two words, and hands only one of them on."""

    def __init__(self, one, other):
        super().__init__(one + other)


class UnreadableError(Exception):
    """Can be handed over, and not be taken, and sounds like a pipe that ended."""

    def __reduce__(self):
        return _end_of_file, ()


def _end_of_file():
    raise EOFError


def raise_two_words():
    raise TwoWordsError("Odile", "Odette")


def raise_unreadable():
    raise UnreadableError


class TooDeep:
    """An object whose handing over fails in a way of its own."""

    def __reduce__(self):
        raise RecursionError


def broken():
    raise ZeroDivisionError("Odile has -4.00 DS")


def test_a_worker_that_dies_halfway_through_its_result_is_heard_of_and_another_takes_its_place(two):
    with pytest.raises(WorkerLostError):
        two.submit(half_a_result).result(LONG_S)

    assert len({two.submit(process_number, one).result(LONG_S) for one in range(20)}) <= 2


@listed
def test_workers_killed_at_any_moment_cost_their_own_work_and_nobody_waits_for_ever(two):
    moments, futures = random.Random(20261128), []  # noqa: S311  nothing secret
    killed = 0
    while killed < KILLS:
        while sum(not future.done() for future in futures) < 8:
            futures.append(two.submit(big, len(futures), 0.002))
        time.sleep(moments.uniform(0, 0.03))
        with suppress(ProcessLookupError, IndexError):  # the last has just ended, the next is not there yet
            os.kill(moments.choice(workers()), signal.SIGKILL)
            killed += 1

    lost = [future for future in futures if future.exception(LONG_S)]
    assert all(isinstance(future.exception(), WorkerLostError) for future in lost)
    assert 0 < len(lost) <= 2 * KILLS
    assert all(future.result()[0] == number for number, future in enumerate(futures) if future not in lost)


def workers():
    """Processes that the process has started from which workers are copied."""
    return children(forkserver._forkserver._forkserver_pid)


def test_neither_end_waits_for_the_other_to_read_first(two):
    futures = [two.submit(partial(len), bytes(BIG)) for _ in range(8)] + [two.submit(big, one) for one in range(8)]
    futures += [two.submit(_echoed, bytes(BIG)) for _ in range(8)]

    done, still = wait(futures, LONG_S)

    assert (len(done), len(still)) == (24, 0)
    assert futures[-1].result() == bytes(BIG)


def _echoed(data):
    return data


def test_an_error_comes_back_with_where_it_was_raised_and_the_report_has_no_word_of_it(two):
    error = two.submit(broken).exception(LONG_S)

    assert isinstance(error, ZeroDivisionError)
    lines = told(error)
    assert lines[:5] == ["", "ZeroDivisionError", "", "in another process:", ""]
    assert any(line.endswith(" broken") for line in lines)
    assert "Odile" not in str(lines)


@pytest.mark.parametrize(
    "work", [Unreadable, threading.Lock, lambda: 1, TooDeep], ids=["read", "result", "work", "result, oddly"]
)
def test_what_cannot_be_handed_over_is_an_error_and_no_wait(two, work):
    error = two.submit(work).exception(LONG_S)
    assert error is not None
    assert not isinstance(error, WorkerLostError)
    assert two.submit(process_number).result(LONG_S)


@listed
def test_no_process_is_left_when_all_is_done():
    executor = processes(2).start()
    used = {executor.submit(process_number, one).result(LONG_S) for one in range(6)}
    assert used <= set(workers())

    executor.shutdown()

    assert workers() == []


def test_work_that_cannot_be_read_is_an_error_and_no_wait(two):
    assert isinstance(two.submit(process_number, Unreadable()).exception(LONG_S), ValueError)
    assert two.submit(process_number).result(LONG_S)


@pytest.mark.parametrize("raising", [raise_two_words, raise_unreadable])
def test_an_error_that_cannot_be_handed_over_comes_back_by_its_name_with_where_it_was_raised(two, raising):
    error = two.submit(raising).exception(LONG_S)

    assert str(error) in {"TwoWordsError", "UnreadableError"}
    assert any(line.endswith(f" {raising.__name__}") for line in told(error))


class Refusing:
    """Starts processes; the first so many times it does not, as where the process they are copied from is gone."""

    def __init__(self, times, error):
        self._real, self._left, self._error = get_context("forkserver"), times, error

    def Pipe(self):  # noqa: N802  as the context has it
        return self._real.Pipe()

    def Process(self, **what):  # noqa: N802  as the context has it
        process = self._real.Process(**what)
        if self._left:
            self._left -= 1
            process.start = self._refuse
        return process

    def _refuse(self):
        raise self._error


@pytest.mark.parametrize("error", [ConnectionRefusedError(), EOFError(), OSError(24, "Too many open files")])
def test_a_start_that_fails_is_tried_again_and_each_gets_the_result_of_its_own_work(error):
    executor = Processes(1, Refusing(2, error))
    futures = [executor.submit(_echoed, one) for one in range(6)]

    assert [future.result(LONG_S) for future in futures] == list(range(6))
    executor.shutdown()


def test_where_no_process_can_be_started_what_was_given_is_lost_and_more_is_refused_with_the_reason(monkeypatch):
    monkeypatch.setattr(module, "PAUSE_S", 0.001)
    executor = Processes(2, Refusing(1000, OSError(24, "Too many open files")))
    futures = [executor.submit(_echoed, one) for one in range(6)]

    assert {type(future.exception(LONG_S)) for future in futures} == {WorkerLostError}
    with pytest.raises(NoWorkerError, match="Too many open files"):
        executor.submit(_echoed, 1)
    executor.shutdown()


def test_a_thread_that_the_system_refuses_leaves_the_others_at_work(monkeypatch):
    real, started = threading.Thread.start, []

    def start(thread):
        started.append(thread)
        if len(started) > 1:
            raise RuntimeError("can't start new thread")
        real(thread)

    monkeypatch.setattr(threading.Thread, "start", start)
    executor = Processes(3, get_context("forkserver"))
    monkeypatch.undo()

    assert executor.submit(_echoed, 7).result(LONG_S) == 7
    executor.shutdown()


@listed
def test_the_process_that_workers_are_copied_from_may_be_killed_at_any_moment(two):
    moments, futures = random.Random(20261129), []  # noqa: S311  nothing secret
    for _ in range(KILLS // 2):
        while sum(not future.done() for future in futures) < 8:
            futures.append(two.submit(big, len(futures), 0.002))
        copied_from = forkserver._forkserver._forkserver_pid  # None while another is just being started
        for victim in filter(None, (copied_from, *workers())):
            with suppress(ProcessLookupError):
                os.kill(victim, signal.SIGKILL)
        time.sleep(moments.uniform(0, 0.2))

    lost = [future for future in futures if future.exception(LONG_S)]
    assert all(isinstance(future.exception(), WorkerLostError) for future in lost)
    assert all(future.result()[0] == number for number, future in enumerate(futures) if future not in lost)
    assert two.submit(_echoed, 7).result(LONG_S) == 7


@pytest.mark.parametrize("is_still", [True, False], ids=["lies still", "never done"])
def test_a_worker_that_gives_nothing_for_too_long_is_lost(two, monkeypatch, is_still):
    assert two.submit(_echoed, 7).result(LONG_S) == 7
    monkeypatch.setattr(module, "PATIENCE_S", 0.5)
    monkeypatch.setattr(module, "GRACE_S", 0.2)

    with pytest.raises(WorkerLostError):
        two.submit(lie_still if is_still else time.sleep, 1000).result(LONG_S)
    monkeypatch.undo()
    assert two.submit(_echoed, 7).result(LONG_S) == 7


def lie_still(_):
    os.kill(os.getpid(), signal.SIGSTOP)


def test_stopping_ends_workers_that_would_never_be_done(two):
    stuck = [two.submit(time.sleep, 1000) for _ in range(6)]
    assert wait(stuck, 1).not_done == set(stuck)
    started = time.monotonic()

    servers = list(two._serving.values())
    two.shutdown(wait=False)

    assert {type(future.exception(LONG_S)) for future in stuck} == {WorkerLostError}
    assert time.monotonic() - started < 10
    assert not any(server.is_alive() for server in servers)


@listed
def test_a_process_that_begins_from_nothing_does_the_same():
    executor = Processes(2, get_context("spawn"))
    futures = [executor.submit(big, one) for one in range(6)]
    assert [future.result(LONG_S)[0] for future in futures] == list(range(6))
    used = {future.result()[1] for future in futures}

    executor.shutdown()

    assert not any(Path(f"/proc/{pid}").exists() for pid in used)


def test_a_result_of_two_hundred_megabytes_comes_whole(two):
    assert len(two.submit(bytes, 200_000_000).result(LONG_S)) == 200_000_000
