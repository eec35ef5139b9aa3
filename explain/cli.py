"""The command line: a thin door to the commands. Each is imported when it runs, so that --help is quick."""

from __future__ import annotations

import importlib
import os
import sys

from explain.commands.door import disk_refuses, leave_quietly, let_print_anything, reader_has_gone
from explain.commands.options import parser

TYPE_CHECKING = False  # as typing has it, without its import
if TYPE_CHECKING:
    from collections.abc import Sequence

USAGE = 2
STOPPED = 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; 0 when all went well, 2 when an order has faults."""
    let_print_anything(sys.stdout, sys.stderr)
    args = parser().parse_args(argv)
    if getattr(args, "orders", None):
        from explain.commands.named import named

        args.orders = named(args.orders)
    if not os.path.isdir("orders"):  # noqa: PTH112  pathlib is slow to import
        from explain.commands.named import astray

        if lost := astray(args):
            print(lost, file=sys.stderr)
            return USAGE
    try:
        status: int = importlib.import_module(f"explain.commands.{args.command}").run(args)
        sys.stdout.flush()
    except KeyboardInterrupt:
        _deaf_to_ctrl_c()
        print("\nStopped. Every page written so far is whole.", file=sys.stderr)
        return STOPPED
    except Exception as error:  # noqa: BLE001  a bug of ours: say so in words, and keep where it happened
        if isinstance(error, OSError) and error.errno is not None:
            if reader_has_gone(error):
                leave_quietly()
            else:
                print(disk_refuses(error), file=sys.stderr)
            return USAGE
        from explain.commands.crash import say_crashed

        return say_crashed(error, args.command)
    return status


def _deaf_to_ctrl_c() -> None:
    """Let nobody who presses it again while the program ends see where in the code that was."""
    import signal
    import threading

    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGINT, signal.SIG_IGN)
