"""Completion: lets a shell finish commands, options and file names."""

from __future__ import annotations

import argparse

import shtab

from explain.commands import options


def run(args: argparse.Namespace) -> int:
    """Print the completion of one shell."""
    whole = options.parser()
    _complete_paths(whole)
    print(shtab.complete(whole, shell=args.shell))
    return 0


def _complete_paths(parser: argparse.ArgumentParser) -> None:
    """Let everything that takes a path complete file names."""
    for action in parser._actions:  # noqa: SLF001  argparse has no other list of its options
        if isinstance(action, argparse._SubParsersAction):  # noqa: SLF001
            for inner in set(action.choices.values()):
                _complete_paths(inner)
        elif action.type is options.path:
            action.complete = shtab.FILE  # type: ignore[attr-defined]
