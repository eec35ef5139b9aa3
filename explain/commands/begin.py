"""Begin: lay out a working shop in a new folder, from a few answers or from flags."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from explain.commands.clock import today
from explain.commands.door import shell_word
from explain.commands.options import QUESTIONS


def run(args: argparse.Namespace) -> int:
    """Ask what no flag says, and lay the shop out."""
    from explain.site.begin import BeginError, Start, lay_out

    answers = {flag: _answer(getattr(args, flag), question, default) for flag, question, default in QUESTIONS}
    missing = [f"--{flag}" for flag, answer in answers.items() if not answer]
    if missing:
        print(f"There is no answer to: {', '.join(missing)}.", file=sys.stderr)
        print(
            f"Type it at the question, or as a flag:   explain begin {shell_word(args.folder)} {missing[0]} TEXT",
            file=sys.stderr,
        )
        return 2
    address = tuple(line.strip() for line in answers.pop("address").split(";") if line.strip())
    try:
        paths = lay_out(args.folder, Start(address=address, **answers), today())
    except BeginError as error:
        print(error, file=sys.stderr)
        return 2
    except OSError as error:
        print(
            f"{Path(error.filename or args.folder).as_posix()}: this cannot be written ({error.strerror or error}).",
            file=sys.stderr,
        )
        print("Name a folder that you may write to:   explain begin my-shop", file=sys.stderr)
        return 2
    print("\n".join(f"{path.as_posix()} is written." for path in paths))
    print(f"\nLook through {paths[0].as_posix()}, then:   cd {shell_word(args.folder)}   and   explain build")
    return 0


def _answer(given: str | None, question: str, default: str) -> str:
    """What the flag says; else what is typed, where somebody is there to type; else the default."""
    if given is not None or not sys.stdin.isatty():
        return (default if given is None else given).strip()
    shown = f"{question} [{default}]: " if default else f"{question}: "
    try:
        return input(shown).strip() or default
    except EOFError:
        return default
