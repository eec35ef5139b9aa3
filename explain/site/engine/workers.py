"""Workers: chunks of orders made by any executor, results as they come, and a second try for what was lost on the way.

The seam is `concurrent.futures.Executor`: this process, worker processes of this machine, or somebody's cluster.
"""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from typing import Any, Self, TypeVar

from msgspec import Struct

from explain.site.making import Product, Task, make_all

CHUNK = 4
"""Orders in a chunk: enough that sending one is cheap, few enough that memory stays flat."""
TRIES = 2
"""How often a task that was lost with a worker is tried again, alone."""
LOOK_EVERY_S = 0.2
"""How often Ctrl-C is looked for while the workers work."""
Chunk = tuple[bytes, Sequence[Task]]
"""A packed kit, and orders to make with it."""
Result = TypeVar("Result")


class Here(Executor):
    """Does at once, in this process, what it is given."""

    def submit(self, fn: Callable[..., Result], /, *args: Any, **kwargs: Any) -> Future[Result]:
        """Do it now; the future is already done."""
        future: Future[Result] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:  # noqa: BLE001  handed on to whoever asks for the result
            future.set_exception(error)
        return future


class CrewError(Exception):
    """Nobody to make the orders; the message says why and what to type."""


class NoWorkerError(Exception):
    """No worker can be had at all; the message is what the system says of it."""


NO_WORKER = """No worker process can be started here ({why}).
This process makes the pages itself, one after the other, which takes longer and changes nothing else.
To leave workers out:   explain build --workers 1"""


class Crew(Struct, frozen=True):
    """Who makes the orders. start: gives an executor, and again another one when that broke. width: chunks at a time.

    is_lost: tells an error that means a lost worker, which costs a second try, from an error of the work itself.
    make: makes a chunk, wherever it is sent. end: called when all is done. tell: hears in words of what slows it down.
    look: called over and over while something is under way; raises CrewError where nobody is left to do it.
    """

    start: Callable[[], Executor]
    width: int = 1
    chunk: int = 1
    is_lost: Callable[[BaseException], bool] = lambda _: False
    make: Callable[[bytes, Sequence[Task]], list[Product]] = make_all
    end: Callable[[], None] = lambda: None
    tell: Callable[[str], None] = lambda _: None
    look: Callable[[], None] = lambda: None


HERE = Crew(Here)


class _CtrlC:
    """Ctrl-C taken note of, to be raised between two orders; pressed again, it stops at once whatever is done."""

    def __init__(self) -> None:
        self._is_asked = False
        self._is_ours = (
            threading.current_thread() is threading.main_thread()
            and signal.getsignal(signal.SIGINT) is signal.default_int_handler
        )

    def __enter__(self) -> Self:
        if self._is_ours:
            signal.signal(signal.SIGINT, self._note)
        return self

    def __exit__(self, *_: object) -> None:
        if self._is_ours:
            signal.signal(signal.SIGINT, signal.default_int_handler)

    def _note(self, *_: object) -> None:
        if self._is_asked:
            raise KeyboardInterrupt
        self._is_asked = True

    def raise_if_asked(self) -> None:
        """Stop here, where Ctrl-C was pressed since. Raises KeyboardInterrupt."""
        if self._is_asked:
            raise KeyboardInterrupt


def stream(crew: Crew, chunks: Iterable[Chunk]) -> Iterator[tuple[Task, Product | None]]:
    """Each task with what came of it, as it is done; None where whoever made it was lost over and over."""
    return _Stream(crew).run(iter(chunks))


class _Stream:
    """Chunks under way, and chunks that were lost with a worker, which are then tried alone."""

    def __init__(self, crew: Crew) -> None:
        self._crew = crew
        self._executor = crew.start()
        self._under_way: dict[Future[list[Product]], Chunk] = {}
        self._lost: list[Chunk] = []

    def run(self, chunks: Iterator[Chunk]) -> Iterator[tuple[Task, Product | None]]:
        with _CtrlC() as self._ctrl_c:
            yield from self._run(chunks)
            self._ctrl_c.raise_if_asked()

    def _run(self, chunks: Iterator[Chunk]) -> Iterator[tuple[Task, Product | None]]:
        try:
            for chunk in chunks:
                self._under_way[self._submitted(chunk)] = chunk
                while len(self._under_way) >= self._crew.width:
                    yield from self._done()
            while self._under_way:
                yield from self._done()
            for packed, tasks in self._lost:
                yield from ((task, self._alone((packed, (task,)))) for task in tasks)
        finally:
            self._stop()
            self._crew.end()

    def _submitted(self, chunk: Chunk) -> Future[list[Product]]:
        try:
            return self._executor.submit(self._crew.make, *chunk)
        except NoWorkerError as error:
            self._crew.tell(NO_WORKER.format(why=error))
            return self._by_another(Here(), chunk)
        except Exception as error:
            self._look()
            if not self._crew.is_lost(error):
                raise
            return self._by_another(self._crew.start(), chunk)

    def _by_another(self, executor: Executor, chunk: Chunk) -> Future[list[Product]]:
        self._stop()
        self._executor = executor
        return executor.submit(self._crew.make, *chunk)

    def _look(self) -> None:
        try:
            self._crew.look()
        except CrewError:
            self._under_way, self._executor = {}, Here()  # nobody is left to be told to stop
            raise

    def _stop(self) -> None:
        """Stop at once what is still under way: nobody wants it any more."""
        for future in self._under_way:
            future.cancel()
        self._executor.shutdown(wait=False)

    def _done(self) -> Iterator[tuple[Task, Product]]:
        for chunk, products in self._first_done():
            if products is None:
                self._lost.append(chunk)
            else:
                yield from zip(chunk[1], products, strict=True)

    def _first_done(self) -> Iterator[tuple[Chunk, list[Product] | None]]:
        """Chunks that are done next, with what each gave. Raises KeyboardInterrupt where Ctrl-C was pressed."""
        done: set[Future[list[Product]]] = set()
        while not done:
            self._ctrl_c.raise_if_asked()
            self._look()
            done, _ = wait(self._under_way, LOOK_EVERY_S, return_when=FIRST_COMPLETED)
        for future in done:
            yield self._under_way.pop(future), self._products(future)

    def _alone(self, chunk: Chunk) -> Product | None:
        """Try one task with nothing else under way, so that whoever is lost was lost over this one."""
        for _ in range(TRIES):
            self._under_way[self._submitted(chunk)] = chunk
            for _, products in self._first_done():
                if products is not None:
                    return products[0]
        return None

    def _products(self, future: Future[list[Product]]) -> list[Product] | None:
        """What a chunk gave; None where it was lost or damaged on the way."""
        try:
            products = future.result()
        except BaseException as error:
            if not self._crew.is_lost(error):
                raise
            return None
        return products if all(product.digest == product.digest_now() for product in products) else None
