"""Processes of this machine as workers, each at the end of a pipe of its own.

The pool of the standard library shares one pipe between all its workers: one that dies while it hands over a page of
some hundred thousand bytes leaves the rest of it outstanding, and whoever gave the work waits for ever. A pipe of one
worker ends with it, so that its death is heard of at any moment, and costs nothing but what it was making.
"""

from __future__ import annotations

import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from multiprocessing import get_all_start_methods, get_context, parent_process
from pickle import PicklingError
from queue import Empty, SimpleQueue
from typing import Any, TypeVar

from explain.site.engine.failure import FailedThereError, told
from explain.site.engine.workers import CHUNK, Crew

AHEAD = 2
"""Pieces of work that lie with a worker: the one it does, and the next, so that it need not wait for it."""
Result = TypeVar("Result")
Work = tuple[Callable[..., Any], tuple[Any, ...]]
_one_start = threading.Lock()


class WorkerLostError(Exception):
    """A worker ended before it handed over what it was doing."""


def processes(count: int) -> Crew:
    """Worker processes of this machine, which begin clean and end with the process that started them."""
    begin_with = "forkserver" if "forkserver" in get_all_start_methods() else "spawn"
    context = get_context(begin_with)
    if begin_with == "forkserver":
        context.set_forkserver_preload(["explain.site.warm"])
        _start_deaf_to_ctrl_c()
    return Crew(
        lambda: Processes(count, context),
        width=2 * count,
        chunk=CHUNK,
        is_lost=lambda error: isinstance(error, WorkerLostError),
    )


class Processes(Executor):
    """So many processes. One that dies costs what lay with it, with WorkerLostError, and another takes its place."""

    def __init__(self, count: int, context: Any) -> None:
        self._context = context
        self._asked: SimpleQueue[tuple[Future[Any], Work] | None] = SimpleQueue()
        self._servers = [threading.Thread(target=self._serve, daemon=True) for _ in range(count)]
        for server in self._servers:
            server.start()

    def submit(self, fn: Callable[..., Result], /, *args: Any, **kwargs: Any) -> Future[Result]:
        """Have it done by the next process that is free; function, arguments and result must bear pickling."""
        if kwargs:
            raise TypeError("Work is given by position")
        future: Future[Result] = Future()
        self._asked.put((future, (fn, args)))
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:  # noqa: FBT001, FBT002  as Executor
        """Take no more work, and end each process when it has done what it has."""
        while cancel_futures:
            try:
                asked = self._asked.get_nowait()
            except Empty:
                break
            if asked:
                asked[0].cancel()
        for _ in self._servers:
            self._asked.put(None)
        if wait:
            for server in self._servers:
                server.join()

    def _serve(self) -> None:
        """Keep one worker busy, and put another in its place whenever it is lost."""
        worker = _Worker(self._context)
        is_open = True
        while is_open or worker.has_work:
            is_open = is_open and self._give(worker)
            if worker.has_work and not worker.take():
                worker.end()
                worker = _Worker(self._context)
        worker.end()

    def _give(self, worker: _Worker) -> bool:
        """Give a worker what there is to do; wait where it has nothing at all. False: there will be no more."""
        while not worker.is_full:
            try:
                asked = self._asked.get(block=not worker.has_work)
            except Empty:
                return True
            if asked is None:
                return False
            future, work = asked
            if future.set_running_or_notify_cancel():
                worker.give(future, work)
        return True


class _Worker:
    """A process, what lies with it, and our end of its pipe. The process is started with the first work."""

    def __init__(self, context: Any) -> None:
        self._context = context
        self._given: deque[Future[Any]] = deque()
        self._process: Any = None

    @property
    def has_work(self) -> bool:
        return bool(self._given)

    @property
    def is_full(self) -> bool:
        return len(self._given) >= AHEAD

    def give(self, future: Future[Any], work: Work) -> None:
        """Hand over work; where the process is gone, `take` finds that out."""
        self._given.append(future)
        try:
            if self._process is None:
                self._start()
            self._pipe.send(work)
        except ConnectionError:
            pass
        except Exception as error:  # noqa: BLE001  handed on to whoever asks for the result
            self._given.remove(future)
            future.set_exception(error)

    def _start(self) -> None:
        self._pipe, its_end = self._context.Pipe()
        try:
            with _one_start:
                process = self._context.Process(target=_work, args=(its_end,), daemon=True)
                process.start()
        finally:
            its_end.close()  # a pipe ends with the last who holds this end of it: the worker
        self._process = process

    def take(self) -> bool:
        """Wait for the result of the oldest work. False where the process is gone, and with it all it was given."""
        try:
            result, error, lines = self._pipe.recv()
        except (EOFError, OSError):
            for future in self._given:
                future.set_exception(WorkerLostError())
            self._given.clear()
            return False
        except Exception as unreadable:  # noqa: BLE001  handed on to whoever asks for the result
            result, error, lines = None, unreadable, []
        future = self._given.popleft()
        if error is None:
            future.set_result(result)
        else:
            error.__cause__ = FailedThereError(lines)
            future.set_exception(error)
        return True

    def end(self) -> None:
        """Let the process end, which it does when its pipe is closed."""
        if self._process is not None:
            self._pipe.close()
            self._process.join()


def _work(pipe: Any) -> None:
    """Do what comes over a pipe until it is closed; leave Ctrl-C to the process that gives the work."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with, args=(parent_process(),), daemon=True).start()
    asked: SimpleQueue[Work | None] = SimpleQueue()
    threading.Thread(target=_listen, args=(pipe, asked), daemon=True).start()
    while work := asked.get():
        _hand_over(pipe, _done(*work))


def _end_with(parent: Any) -> None:
    """Do not outlive the process that gave the work."""
    parent.join()
    os._exit(1)


def _listen(pipe: Any, asked: SimpleQueue[Work | None]) -> None:
    """Take in work while other work is done, so that neither end waits for the other to read."""
    try:
        while True:
            asked.put(pipe.recv())
    except (EOFError, OSError):
        asked.put(None)


def _done(fn: Callable[..., Any], args: tuple[Any, ...]) -> tuple[Any, Exception | None, list[str]]:
    try:
        return fn(*args), None, []
    except Exception as error:  # noqa: BLE001  handed on to whoever asks for the result
        return None, error, told(error)


def _hand_over(pipe: Any, done: tuple[Any, Exception | None, list[str]]) -> None:
    try:
        pipe.send(done)
    except (PicklingError, TypeError, AttributeError) as error:  # before a byte of it was sent
        pipe.send((None, TypeError("A result that cannot be handed over"), told(error)))


def _start_deaf_to_ctrl_c() -> None:
    """Start the process that workers are copied from, with Ctrl-C held back from it and from all of them."""
    from multiprocessing import forkserver, resource_tracker  # noqa: PLC0415  not on every system

    resource_tracker.ensure_running()  # first: starting it lets Ctrl-C through again
    with _ctrl_c_held_back():
        forkserver.ensure_running()


@contextmanager
def _ctrl_c_held_back() -> Iterator[None]:
    """Let Ctrl-C wait while inside, so that what is started inside never hears it; where the system can do that."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
