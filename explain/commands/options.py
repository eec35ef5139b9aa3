"""The commands and their options. Only light modules are imported here, so that --help is quick (`make bench`)."""

from __future__ import annotations

import argparse
import os
import sys

from explain.commands.door import Parser, Version

TYPE_CHECKING = False  # as typing has it, without its import
if TYPE_CHECKING:
    from argparse import ArgumentParser
    from pathlib import Path

    Commands = argparse._SubParsersAction[ArgumentParser]  # noqa: SLF001  it has no other name

FEW = 3
"""Orders up to which a check compares the materials unasked."""
QUESTIONS = (
    ("name", "Name of your shop", ""),
    ("optician", "Your name, as it signs the pages", ""),
    ("phone", "Phone number that customers call", ""),
    ("address", "Address, with a semicolon between its lines", ""),
    ("hours", "When somebody answers", "Monday to Friday, 9 to 5"),
    ("locale", "Language and country, for dates and numbers", "en_US"),
    ("currency", "Currency", "USD"),
)
"""What `explain begin` asks: the flag, the question, and what holds when nothing is typed."""
SHELLS = {
    "bash": 'eval "$(explain completion bash)"     in ~/.bashrc',
    "zsh": "explain completion zsh > _explain     in a folder of $fpath",
    "fish": "explain completion fish > ~/.config/fish/completions/explain.fish",
}
"""The shells that can complete, and where each wants it."""
DEFAULT_COLUMNS = 80


def parser() -> ArgumentParser:
    """The commands and their options; what is parsed names its module of explain/commands in `command`."""
    top = Parser(
        prog="explain",
        description="Turn an optician's order files into plain-language pages for the customers.",
        epilog="New here:   explain begin my-shop",
        formatter_class=_Help,
    )
    top.add_argument("--version", action=Version, nargs=0, help="show the version and exit")
    commands: Commands = top.add_subparsers(required=True, dest="command", metavar="COMMAND", parser_class=Parser)
    for add in (_build, _check, _draft, _links, _schema, _retire, _begin, _watch, _completion):
        add(commands)
    return top


def path(text: str) -> Path:
    """What was typed, as the path of a file or folder."""
    from pathlib import Path

    return Path(text)


def _build(commands: Commands) -> None:
    command = commands.add_parser(
        "build",
        formatter_class=_Help,
        help="write the pages",
        description="Read each order that changed and write its page. Example: explain build orders/QH-2101.yaml",
    )
    _add_orders(command)
    _add_out(command, "where to write (default: site_out)")
    _add_report(command)
    command.add_argument(
        "--workers", type=int, metavar="NUMBER", help="processes that share the work (default: all cores)"
    )
    command.add_argument("--cluster", metavar="ADDRESS", help="have a Dask cluster work, as tcp://10.0.0.5:8786")
    command.add_argument("--anew", action="store_true", help="make every page, whether or not something changed")
    command.add_argument("--verbose", action="store_true", help="say what is made anew, and why")


def _check(commands: Commands) -> None:
    command = commands.add_parser(
        "check",
        formatter_class=_Help,
        help="read and doubt only, write nothing",
        description="Read each order and say what is wrong or looks odd. For up to "
        f"{FEW} orders not checked yet, compare the materials as well. Example: explain check orders/QH-2101.yaml",
    )
    _add_orders(command)
    command.add_argument(
        "--compare", action="store_true", help=f"compare the materials of more than {FEW} orders not yet made"
    )
    command.add_argument("--json", action="store_true", help="print what was found as JSON, and nothing else")
    _add_out(command, "folder of the build, which knows what is put away")
    _add_report(command)


def _draft(commands: Commands) -> None:
    command = commands.add_parser(
        "draft",
        formatter_class=_Help,
        help="start an order from what has arrived",
        description="Start an order file from a prescription as typed, and say what was understood. "
        'Example: explain draft "OD -3.25 -0.75 x 172, OS -3.00 DS, PD 63"',
    )
    command.add_argument(
        "source", nargs="?", metavar="SOURCE", help="the words themselves, a file, or what is pasted (-, the default)"
    )
    command.add_argument("--order", metavar="NUMBER", help="number of the order (default: the next free one)")
    command.add_argument("--again", metavar="ORDER", help="keep frame, fit and lenses of an earlier order")
    command.add_argument("--to", metavar="FILE", help="another file (or folder, for a table); - only shows it")


def _links(commands: Commands) -> None:
    command = commands.add_parser(
        "links",
        formatter_class=_Help,
        help="print what to send to whom",
        description="Print the link of each page that is built, whom it is for, and the day to call; as JSON or CSV "
        "with a ready message for a mail merge. Example: explain links --csv > links.csv",
    )
    _add_orders(command)
    _add_out(command, "where they were built")
    form = command.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print JSON: order, link, day to call and message")
    form.add_argument("--csv", action="store_true", help="print the same as CSV, for a mail merge")


def _schema(commands: Commands) -> None:
    command = commands.add_parser(
        "schema",
        formatter_class=_Help,
        help="let an editor complete and underline orders",
        description="Write what an order and a shop file may hold as JSON Schema, for editors that complete and "
        "underline while you type. Example: explain schema",
    )
    command.add_argument(
        "--out", type=path, default="orders", metavar="FOLDER", help="where to write (default: orders)"
    )


def _retire(commands: Commands) -> None:
    command = commands.add_parser(
        "retire",
        formatter_class=_Help,
        help="put a page away, and a plain notice in its place",
        description="Put a plain notice with your phone where a customer's page was; later builds leave it there. "
        'The page is kept in private/. Example: explain retire QH-2101 --why "asked for by phone"',
    )
    command.add_argument("order", metavar="ORDER", help="number of the order, or its file")
    command.add_argument("--on", metavar="DATE", help="day to put it away, as 2026-10-02 (default: today)")
    command.add_argument("--why", default="", metavar="TEXT", help="why, for your record; it is never published")
    command.add_argument("--undo", action="store_true", help="bring the page back; its time then counts anew")
    _add_out(command, "folder of the build (default: site_out)")


def _begin(commands: Commands) -> None:
    command = commands.add_parser(
        "begin",
        formatter_class=_Help,
        help="lay out a new shop, ready to build",
        description="Ask a few questions and lay out a shop with an example order, ready to build. "
        "Nothing is overwritten. Example: explain begin my-shop",
    )
    command.add_argument("folder", type=path, metavar="DIRECTORY", help="where to lay it out")
    for flag, question, default in QUESTIONS:
        ending = f" (default: {default})" if default else ""
        command.add_argument(f"--{flag}", metavar="TEXT", help=question.lower() + ending)


def _watch(commands: Commands) -> None:
    command = commands.add_parser(
        "watch",
        formatter_class=_Help,
        help="rebuild while you type, and show the page",
        description="Build all orders, show them in the browser, and build again what you change, until Ctrl-C. "
        "Only this computer sees the pages. Example: explain watch",
    )
    command.add_argument(
        "folder", nargs="?", type=path, default="orders", metavar="FOLDER", help="orders to watch (default: orders)"
    )
    _add_out(command, "where to write (default: site_out)")
    command.add_argument("--port", type=int, default=0, metavar="NUMBER", help="port to show at (default: a free one)")
    command.add_argument("--no-browser", action="store_true", help="do not open the browser")


def _completion(commands: Commands) -> None:
    command = commands.add_parser(
        "completion",
        formatter_class=_HelpAsWritten,
        help="let your shell complete commands and options",
        description="Print what lets a shell complete the commands and options of explain.\n"
        "Example: explain completion bash\n\nWhere it goes:\n" + "\n".join(f"  {words}" for words in SHELLS.values()),
    )
    command.add_argument("shell", choices=tuple(SHELLS), metavar="SHELL", help="bash, zsh or fish")


def _add_orders(command: ArgumentParser) -> None:
    command.add_argument(
        "orders", nargs="*", type=path, metavar="ORDER", help="order files (default: every one in orders/)"
    )


def _add_out(command: ArgumentParser, words: str) -> None:
    command.add_argument("--out", type=path, default="site_out", metavar="FOLDER", help=words)


def _add_report(command: ArgumentParser) -> None:
    command.add_argument("--report", type=path, metavar="FILE", help="write all that was found as JSON, for a script")


class _Help(argparse.HelpFormatter):
    """Help as wide as the terminal; argparse asks the same of shutil, whose import takes longer than all of this."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=_columns() - 2)


class _HelpAsWritten(_Help, argparse.RawDescriptionHelpFormatter):
    """The same, with the lines of the description as they are written."""


def _columns() -> int:
    """Columns of the terminal, or what COLUMNS says."""
    told = os.environ.get("COLUMNS", "")
    if told.isdecimal() and int(told):
        return int(told)
    try:
        return os.get_terminal_size(sys.__stdout__.fileno() if sys.__stdout__ else -1).columns or DEFAULT_COLUMNS
    except (ValueError, OSError):  # closed, or no terminal
        return DEFAULT_COLUMNS
