"""Watch: rebuild while orders are typed, and show the page beside the editor."""

from __future__ import annotations

import argparse
import signal
import sys
import threading
import time
import webbrowser
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from explain.commands.clock import today

if TYPE_CHECKING:
    from watchfiles import Change

    from explain.site.preview import Board
    from explain.site.rebuild import Workbench

HIGHEST_PORT = 65535
ENDINGS = (".yaml", ".md", ".html", ".txt")


class _PortError(Exception):
    """A port that cannot be used; the message says why."""


def run(args: argparse.Namespace) -> int:
    """Build, show, and build again what changes, until it is stopped."""
    from explain.site.preview import Board
    from explain.site.rebuild import Workbench

    bench, board = Workbench(args.folder, args.out, today), Board()
    if not bench.orders():
        print(f"{args.folder.as_posix()}: there is no order here.", file=sys.stderr)
        print("Start one:   explain draft. Or name another folder:   explain watch FOLDER", file=sys.stderr)
        return 2
    signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell starts jobs in the background deaf to Ctrl-C
    try:
        with _server(args, board) as address:
            changes = _changes(args.folder)
            next(changes)  # what is typed during the first build is built next
            _rebuild(bench, board, bench.orders(), all_answers=True)
            print(f"Look at {address}   Stop with Ctrl-C.", flush=True)
            if not args.no_browser:
                webbrowser.open(address)
            _follow(changes, bench, board)
    except KeyboardInterrupt:
        pass
    except _PortError as error:
        print(f"Port {args.port} cannot be used ({error}).", file=sys.stderr)
        print(f"Name one up to {HIGHEST_PORT}, or leave it out for a free one:   explain watch", file=sys.stderr)
        return 2
    print("\nStopped. Every page written so far is whole.")
    return 0


@contextmanager
def _server(args: argparse.Namespace, board: Board) -> Iterator[str]:
    """Run the preview while inside; give its address. Raises _PortError for a port that cannot be used."""
    from explain.site.preview import LOOPBACK, serve

    if not 0 <= args.port <= HIGHEST_PORT:
        raise _PortError("there is no such port")
    try:
        server = serve(args.out / "upload", board, args.port)
    except OSError as error:
        raise _PortError(error.strerror or error) from error
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True)
    thread.start()
    try:
        yield f"http://{LOOPBACK}:{server.server_address[1]}/"
    finally:
        board.end()
        server.shutdown()
        server.server_close()
        thread.join()


def _changes(folder: Path) -> Iterator[set[tuple[Change, str]]]:
    """What changes in a folder, as sets; an empty one at once, when the watching has begun, and while nothing does."""
    from watchfiles import watch

    def is_ours(_: Change, path: str) -> bool:
        return path.endswith(ENDINGS) and not Path(path).name.startswith(".")

    return watch(folder, watch_filter=is_ours, step=50, rust_timeout=300, yield_on_timeout=True, raise_interrupt=True)


def _follow(changes: Iterable[set[tuple[Change, str]]], bench: Workbench, board: Board) -> None:
    """Build again what changes, until Ctrl-C."""
    for found in changes:
        changed = [Path(path) for _, path in found]
        if changed:
            orders = bench.concerned(changed)
            _rebuild(bench, board, orders, all_answers=any(path.parent.name == "faq" for path in changed))


def _rebuild(bench: Workbench, board: Board, orders: list[Path], *, all_answers: bool) -> None:
    from explain.site.address import SecretError
    from explain.site.preview import Shown
    from explain.site.publish import FolderError

    started = time.perf_counter()
    try:
        done = bench.build(orders, all_answers=all_answers)
    except (SecretError, FolderError) as error:
        print(f"\n{error}\n", file=sys.stderr, flush=True)
        board.show(Shown(board.shown.pages, (str(error),)))
        return
    board.show(bench.shown())
    for result in done:
        for finding in (*result.faults, *result.doubts):
            print(f"\n{finding}\n", file=sys.stderr, flush=True)
    _say_done([result.path.stem for result in done], time.perf_counter() - started)


def _say_done(names: Iterable[str], seconds: float) -> None:
    names = list(names)
    what = names[0] if len(names) == 1 else f"{len(names)} orders"
    print(f"{what} read and built in {seconds:.2f} s.", flush=True)
