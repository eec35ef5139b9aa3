"""Cluster: a Dask cluster that makes orders, through the same seam as the processes of this machine.

Its workers read the orders themselves, so they must see the same folder under the same path, and run the same program;
both are asked before anything is sent. What they give comes back over the network and is written here.
"""

from __future__ import annotations

import importlib
import logging
import os
import threading
import time
from collections.abc import Sequence
from concurrent.futures import CancelledError
from functools import partial
from pathlib import Path
from typing import Any

from explain.site.engine.kits import program
from explain.site.engine.workers import CHUNK, Crew, CrewError
from explain.site.making import Product, Task, make_all

PATIENCE_S = 10
LOOK_EVERY_S = 5.0
"""How often the scheduler is asked whether it has workers."""
WITHOUT_WORKERS_S = 60.0
"""How long a cluster may have none: whoever looks after them starts another in place of one that died."""
_one_folder = threading.Lock()


def cluster(address: str) -> Crew:
    """The crew of a Dask cluster. Raises CrewError where it does not answer or cannot do this work."""
    try:
        dask: Any = importlib.import_module("distributed")  # an extra that most do without
    except ImportError:
        raise CrewError(
            f"{address}: working with a cluster needs Dask, which is not installed.\n"
            "Most shops do without: the cores of this computer share the work by themselves.\n"
            "To install it:   pip install 'order-explainer[cluster]'"
        ) from None
    logging.getLogger("distributed.client").setLevel(logging.CRITICAL)  # what it says is said here in plainer words
    try:
        client = dask.Client(address, timeout=PATIENCE_S, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise CrewError(
            f"{address}: no Dask scheduler answers there.\n"
            "Its address stands in the first lines it prints, for example tcp://10.0.0.5:8786.\n"
            "Check that it runs and that this computer may reach it; or leave --cluster out."
        ) from error
    here = str(Path.cwd())
    try:
        told = client.run(_described, here)
        _need_alike(address, told, _described(here))
    except BaseException:
        client.close()
        raise
    lost = (dask.KilledWorker, dask.comm.CommClosedError, dask.client.FutureCancelledError, CancelledError)
    return Crew(
        start=lambda: client.get_executor(pure=False, retries=2),
        width=2 * max(1, len(told)),
        chunk=CHUNK,
        is_lost=lambda error: isinstance(error, lost),
        make=partial(_make_in, here),
        end=client.close,
        look=_Watch(client, address).look,
    )


class _Watch:
    """Notices that nobody is left in a cluster, where what was given to it would be waited for for ever."""

    def __init__(self, client: Any, address: str) -> None:
        self._client, self._address = client, address
        self._asked_s = self._seen_s = time.monotonic()

    def look(self) -> None:
        """Raise CrewError where the scheduler is gone, or where there have been no workers for too long."""
        if self._client.status == "closed":
            raise CrewError(
                f"{self._address}: the Dask scheduler no longer answers.\n"
                "Pages written so far are whole; the next build makes the others.\n"
                "Start the scheduler again, then build again; or leave --cluster out."
            )
        now_s = time.monotonic()
        if now_s - self._asked_s < LOOK_EVERY_S:
            return
        self._asked_s = now_s
        if self._client.scheduler_info().get("workers"):
            self._seen_s = now_s
        elif now_s - self._seen_s > WITHOUT_WORKERS_S:
            raise CrewError(
                f"{self._address}: this cluster has no workers any more.\n"
                "Pages written so far are whole; the next build makes the others.\n"
                f"Start one:   dask worker {self._address}\n"
                "Then build again; or leave --cluster out."
            )


def _described(folder: str) -> tuple[str, bool]:
    """What program runs here, and whether it sees the folder."""
    return str(sorted(program(()).items())), Path(folder).is_dir()


def _need_alike(address: str, told: dict[str, tuple[str, bool]], ours: tuple[str, bool]) -> None:
    if not told:
        raise CrewError(
            f"{address}: this cluster has no workers yet.\n"
            "Pages are made by its workers.\n"
            f"Start one:   dask worker {address}"
        )
    for worker, one in told.items():
        if not one[1]:
            raise CrewError(
                f"{worker}: this worker does not see the folder {Path.cwd()}.\n"
                "Workers read the orders themselves, under the same path as here.\n"
                "Share the folder with it; or leave --cluster out."
            )
        if one[0] != ours[0]:
            raise CrewError(
                f"{worker}: this worker runs another version of the program or of its libraries.\n"
                "Pages must come out the same wherever they are made.\n"
                "Install the same on each computer, with the same lock file."
            )


def _make_in(folder: str, packed: bytes, tasks: Sequence[Task]) -> list[Product]:
    """Make a chunk as if in that folder, where paths of orders start; one chunk at a time in a process."""
    with _one_folder:
        before = os.getcwd()  # noqa: PTH109  beside os.chdir
        os.chdir(folder)
        try:
            return make_all(packed, tasks)
        finally:
            os.chdir(before)
