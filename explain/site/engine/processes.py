"""Processes of this machine as workers, each at the end of a pipe of its own.

The pool of the standard library shares one pipe between all its workers: one that dies while it hands over a page of
some hundred thousand bytes leaves the rest of it outstanding, and whoever gave the work waits for ever. A pipe of one
worker ends with it, so that its death is heard of at any moment, and costs nothing but what it was making. The other
way round, a worker ends with its pipe, so that none outlives the process that gave the work.
"""

from __future__ import annotations

import os
import signal
import threading
import time
from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager, suppress
from multiprocessing import get_all_start_methods, get_context
from multiprocessing.reduction import ForkingPickler
from queue import Empty, SimpleQueue
from typing import Any, TypeVar

from explain.site.engine.failure import FailedThereError, told
from explain.site.engine.workers import CHUNK, Crew, NoWorkerError

AHEAD = 2
"""Pieces of work that lie with a worker: the one it does, and the next, so that it need not wait for it."""
STARTS = 6
"""How often the start of a worker is tried, with a pause after each try that failed."""
PAUSE_S = 0.1
PATIENCE_S = 300.0
"""A worker that gives nothing for so long is taken for lost: a piece of work takes a tenth of a second."""
GRACE_S = 5.0
"""How long a process that ends may take for it."""
READY = b"ready"
CANNOT_START = (OSError, EOFError, MemoryError, RuntimeError)
"""What the starting of a process raises where the system has no room for it, or where it ends at once."""
Result = TypeVar("Result")
Work = tuple[Callable[..., Any], tuple[Any, ...]]
_one_start = threading.Lock()


class WorkerLostError(Exception):
    """A worker ended before it handed over what it was doing."""


def processes(count: int, tell: Callable[[str], None] = lambda _: None) -> Crew:
    """Worker processes of this machine, which begin clean and end with the process that started them.

    tell: hears in words where none can be had, and this process makes the pages itself.
    """
    context = _context()
    return Crew(
        lambda: Processes(count, context),
        width=2 * count,
        chunk=CHUNK,
        is_lost=lambda error: isinstance(error, WorkerLostError | MemoryError),
        tell=tell,
    )


def _context() -> Any:
    """How processes begin: copied from one that has all imports ready; where that cannot be had, from nothing."""
    if "forkserver" in get_all_start_methods():
        context = get_context("forkserver")
        context.set_forkserver_preload(["explain.site.warm"])
        with suppress(OSError):  # no folder for its socket, or one whose name is too long for it
            _start_deaf_to_ctrl_c()
            return context
    return get_context("spawn")


class Processes(Executor):
    """So many processes. One that dies costs what lay with it, with WorkerLostError, and another takes its place."""

    def __init__(self, count: int, context: Any) -> None:
        self._asked: SimpleQueue[tuple[Future[Any], Work] | None] = SimpleQueue()
        self._change = threading.Lock()
        self._why_none = ""
        self._serving: dict[_Worker, threading.Thread] = {}
        try:
            for worker in [_Worker(context) for _ in range(count)]:
                server = threading.Thread(target=self._serve, args=(worker,), daemon=True)
                server.start()
                self._serving[worker] = server
        except RuntimeError as error:  # the system gives no more threads: some are enough
            self._why_none = str(error)

    def submit(self, fn: Callable[..., Result], /, *args: Any, **kwargs: Any) -> Future[Result]:
        """Have it done by the next process that is free; function, arguments and result must bear pickling.

        Raises NoWorkerError where no process could be started.
        """
        if kwargs:
            raise TypeError("Work is given by position")
        future: Future[Result] = Future()
        with self._change:
            if not self._serving:
                raise NoWorkerError(self._why_none)
            self._asked.put((future, (fn, args)))
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:  # noqa: FBT001, FBT002  as Executor
        """Take no more work, and end each process: when it has done what it has, or, without waiting, now."""
        with self._change:
            serving = list(self._serving.items())
        if cancel_futures or not wait:
            self._lose_all()
        self._asked.put(None)
        for worker, _ in () if wait else serving:
            worker.stop()
        for _, server in serving:
            server.join(None if wait else GRACE_S)

    def _serve(self, worker: _Worker) -> None:
        """Keep one worker busy, and start it again whenever it is lost; give up where it cannot be started."""
        try:
            while self._give(worker):
                worker.take()
        except CANNOT_START as error:
            self._why_none = getattr(error, "strerror", None) or str(error) or "it ended at once"
        finally:
            worker.end()
            with self._change:
                del self._serving[worker]
                if not self._serving:
                    self._lose_all()

    def _give(self, worker: _Worker) -> bool:
        """Give a worker what there is to do; wait where it has nothing at all. False: there will be no more."""
        while not worker.is_full:
            try:
                asked = self._asked.get(block=not worker.has_work)
            except Empty:
                break
            if asked is None:
                self._asked.put(None)  # for the others
                break
            future, work = asked
            if future.set_running_or_notify_cancel():
                worker.give(future, work)
        return worker.has_work

    def _lose_all(self) -> None:
        """Lose what nobody has begun."""
        with suppress(Empty):
            while True:
                asked = self._asked.get_nowait()
                if asked and asked[0].set_running_or_notify_cancel():
                    asked[0].set_exception(WorkerLostError())


class _Worker:
    """A process, what lies with it, and our end of its pipe. The process is started with the first work.

    All but `stop` is called by one thread, which serves it.
    """

    def __init__(self, context: Any) -> None:
        self._context = context
        self._given: deque[Future[Any]] = deque()
        self._process: Any = None
        self._pipe: Any = None
        self._is_stopped = False

    @property
    def has_work(self) -> bool:
        return bool(self._given)

    @property
    def is_full(self) -> bool:
        return len(self._given) >= AHEAD

    def give(self, future: Future[Any], work: Work) -> None:
        """Hand over work. Where the process is gone, `take` finds that out; where none can be started, it raises."""
        try:
            data = ForkingPickler.dumps(work)
        except Exception as error:  # noqa: BLE001  handed on to whoever asks for the result
            future.set_exception(error)
            return
        self._given.append(future)
        if self._process is None and not self._is_started():
            self.end()
            return
        with suppress(OSError):
            self._pipe.send_bytes(data)

    def take(self) -> None:
        """Wait for the result of the oldest work. Where the process is gone, all that it was given is lost."""
        data = self._received()
        if data is None:
            self.end()
            return
        try:
            result, error, lines = ForkingPickler.loads(data)
        except Exception as unreadable:  # noqa: BLE001  handed on to whoever asks for the result
            result, error, lines = None, unreadable, []
        future = self._given.popleft()
        if error is None:
            future.set_result(result)
        else:
            error.__cause__ = FailedThereError(lines)
            future.set_exception(error)

    def end(self) -> None:
        """End the process, and lose what it was given."""
        self._end_process()
        while self._given:
            self._given.popleft().set_exception(WorkerLostError())

    def stop(self) -> None:
        """End the process now, whatever it is doing, for good. May be called from another thread."""
        self._is_stopped = True
        process = self._process
        if process is not None:
            process.kill()

    def _is_started(self) -> bool:
        """Start the process and hear that it is ready. False where somebody killed it; raises where none can be had."""
        for tries_left in reversed(range(STARTS)):
            try:
                self._try_to_start()
            except CANNOT_START:
                process = self._process
                self._end_process()
                if self._is_stopped or (process is not None and (process.exitcode or 0) < 0):
                    return False
                if not tries_left:
                    raise
                time.sleep(PAUSE_S)
            else:
                return True
        return False

    def _try_to_start(self) -> None:
        self._pipe, its_end = self._context.Pipe()
        process = self._context.Process(target=_work, args=(its_end,), daemon=True)
        try:
            with _one_start, _ctrl_c_held_back():
                process.start()
        finally:
            its_end.close()  # a pipe ends with the last who holds this end of it: the worker
        self._process = process
        if self._is_stopped or self._received() != READY:
            raise EOFError

    def _received(self) -> bytes | None:
        """What the process says next; None where it is gone, stuck, or says more than there is memory for."""
        try:
            return bytes(self._pipe.recv_bytes()) if self._pipe.poll(PATIENCE_S) else None
        except (EOFError, OSError, MemoryError):
            return None

    def _end_process(self) -> None:
        """Close the pipe, with which the process ends by itself; where it is stuck or lies still, kill it."""
        if self._pipe is not None:
            self._pipe.close()
        if self._process is not None:
            self._process.join(GRACE_S)
            self._process.kill()
            self._process.join(GRACE_S)
        self._pipe = self._process = None


def _work(pipe: Any) -> None:
    """Do what comes over a pipe, and end with it; leave Ctrl-C to the process that gives the work."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    asked: SimpleQueue[bytes] = SimpleQueue()
    with suppress(OSError, RuntimeError, MemoryError):  # whoever gave the work hears of the end of the pipe
        threading.Thread(target=_listen, args=(pipe, asked), daemon=True).start()
        pipe.send_bytes(READY)
        while True:
            pipe.send_bytes(_done(asked.get()))


def _listen(pipe: Any, asked: SimpleQueue[bytes]) -> None:
    """Take in work while other work is done, so that neither end waits for the other to read."""
    try:
        while True:
            asked.put(pipe.recv_bytes())
    finally:
        os._exit(1)  # nobody is there to take a result


def _done(data: bytes) -> bytes:
    """Do a piece of work: its result, its error, and where that was raised."""
    try:
        fn, args = ForkingPickler.loads(data)
        return bytes(ForkingPickler.dumps((fn(*args), None, ())))
    except Exception as error:  # noqa: BLE001  handed on to whoever asks for the result
        return bytes(ForkingPickler.dumps((None, _that_can_be_handed_over(error), told(error))))


def _that_can_be_handed_over(error: Exception) -> Exception:
    """An error as it is, or, where it would not come out whole at the other end, its name."""
    try:
        ForkingPickler.loads(ForkingPickler.dumps(error))
    except Exception:  # noqa: BLE001  whatever it is
        return RuntimeError(type(error).__qualname__)
    return error


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
