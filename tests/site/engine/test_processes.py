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
from multiprocessing import forkserver
from multiprocessing.connection import Connection
from pathlib import Path

import pytest

from explain.site.engine.failure import told
from explain.site.engine.processes import WorkerLostError, processes
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


@pytest.mark.parametrize("work", [Unreadable, threading.Lock, lambda: 1], ids=["read", "result", "work"])
def test_what_cannot_be_handed_over_is_an_error_and_no_wait(two, work):
    assert two.submit(work).exception(LONG_S) is not None
    assert two.submit(process_number).result(LONG_S)


@listed
def test_no_process_is_left_when_all_is_done():
    executor = processes(2).start()
    used = {executor.submit(process_number, one).result(LONG_S) for one in range(6)}
    assert used <= set(workers())

    executor.shutdown()

    assert workers() == []
