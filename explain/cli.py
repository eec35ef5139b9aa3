"""The command line: a thin door to the commands. Each is imported when it runs, so that --help is quick."""

from __future__ import annotations

import importlib
import os
import sys

from explain.commands.options import parser

TYPE_CHECKING = False  # as typing has it, without its import
if TYPE_CHECKING:
    from collections.abc import Sequence

USAGE = 2
STOPPED = 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; 0 when all went well, 2 when an order has faults."""
    args = parser().parse_args(argv)
    try:
        status: int = importlib.import_module(f"explain.commands.{args.command}").run(args)
        sys.stdout.flush()
    except KeyboardInterrupt:
        print("\nStopped. Every page written so far is whole.", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:  # whoever read our output has had enough, as in `explain check | head -1`
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return USAGE
    except Exception as error:  # noqa: BLE001  a bug of ours: say so in words, and keep where it happened
        from explain.commands.crash import say_crashed

        return say_crashed(error, args.command)
    return status
