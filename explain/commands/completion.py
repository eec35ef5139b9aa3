"""Completion: lets a shell finish commands, options and file names."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from functools import partial

SHELLS = ("bash", "zsh", "fish")
SET_UP = {
    "bash": 'eval "$(explain completion bash)"     in ~/.bashrc',
    "zsh": "explain completion zsh > _explain     in a folder of $fpath",
    "fish": "explain completion fish > ~/.config/fish/completions/explain.fish",
}


def add(
    commands: argparse._SubParsersAction[argparse.ArgumentParser], parser: Callable[[], argparse.ArgumentParser]
) -> None:
    """Add the command to the command line that parser makes."""
    command = commands.add_parser(
        "completion",
        help="let your shell complete commands and options",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Print what lets a shell complete the commands and options of explain.\n"
        "Example: explain completion bash\n\nWhere it goes:\n" + "\n".join(f"  {words}" for words in SET_UP.values()),
    )
    command.add_argument("shell", choices=SHELLS, metavar="SHELL", help="bash, zsh or fish")
    command.set_defaults(run=partial(run, parser))


def run(parser: Callable[[], argparse.ArgumentParser], args: argparse.Namespace) -> int:
    """Print the completion of one shell."""
    import shtab

    whole = parser()
    _complete_paths(whole)
    print(shtab.complete(whole, shell=args.shell))
    return 0


def _complete_paths(parser: argparse.ArgumentParser) -> None:
    """Let everything that takes a path complete file names."""
    import shtab

    for action in parser._actions:  # noqa: SLF001  argparse has no other list of its options
        if isinstance(action, argparse._SubParsersAction):  # noqa: SLF001
            for inner in set(action.choices.values()):
                _complete_paths(inner)
        elif action.type is not None and getattr(action.type, "__name__", "") == "Path":
            action.complete = shtab.FILE  # type: ignore[attr-defined]
