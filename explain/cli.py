"""The command line: a thin door to the site layer."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from explain.commands import begin, build, completion, report, retire, watch
from explain.commands.clock import today
from explain.commands.retire import say_due
from explain.commands.telling import add_orders, closing, count, nothing_to_do, print_answers, reported, say_overlooked

if TYPE_CHECKING:
    from explain.site.results import Result

OUT = Path("site_out")
FEW = 3
MANY = 20
USAGE = 2
STOPPED = 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; 0 when all went well, 2 when an order has faults."""
    args = parser().parse_args(argv)
    try:
        command: int = args.run(args)
        sys.stdout.flush()
    except KeyboardInterrupt:
        print("\nStopped. Every page written so far is whole.", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:  # whoever read our output has had enough, as in `explain check | head -1`
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return USAGE
    return command


def parser() -> argparse.ArgumentParser:
    """The commands and their options."""
    top = argparse.ArgumentParser(
        prog="explain", description="Turn an optician's order files into plain-language pages for the customers."
    )
    commands = top.add_subparsers(required=True, metavar="COMMAND")
    build.add(commands)
    check = commands.add_parser(
        "check",
        help="read and doubt only, write nothing",
        description="Read each order and say what is wrong or looks odd. For up to "
        f"{FEW} orders not checked yet, compare the materials as well. Example: explain check orders/QH-2101.yaml",
    )
    add_orders(check)
    check.add_argument(
        "--compare", action="store_true", help=f"compare the materials of more than {FEW} orders not yet made"
    )
    check.add_argument("--json", action="store_true", help="print what was found as JSON, and nothing else")
    report.add_option(check)
    check.set_defaults(run=run_check)
    _add_draft(commands.add_parser(
        "draft",
        help="start an order from what has arrived",
        description="Start an order file from a prescription as typed, and say what was understood. "
        'Example: explain draft --order A-0001 "OD -3.25 -0.75 x 172, OS -3.00 DS, PD 63"',
    ))  # fmt: skip
    _add_links(commands.add_parser(
        "links",
        help="print what to send to whom",
        description="Print the link of each page that is built, whom it is for, and the day to call; as JSON or CSV "
        "with a ready message for a mail merge. Example: explain links --csv > links.csv",
    ))  # fmt: skip
    schema = commands.add_parser(
        "schema",
        help="let an editor complete and underline orders",
        description="Write what an order and a shop file may hold as JSON Schema, for editors that complete and "
        "underline while you type. Example: explain schema",
    )
    schema.add_argument(
        "--out", type=Path, default=Path("orders"), metavar="FOLDER", help="where to write (default: orders)"
    )
    schema.set_defaults(run=run_schema)
    retire.add(commands)
    begin.add(commands)
    watch.add(commands)
    completion.add(commands, parser)

    return top


def run_check(args: argparse.Namespace) -> int:
    """Read and doubt the orders named, or every order in orders/; compare materials where the lenses are not made."""
    from explain.site.checking import advise, check, check_answers
    from explain.site.shops import order_paths, overlooked

    paths = order_paths(args.orders)
    say_overlooked(overlooked(args.orders))
    if not paths:
        return nothing_to_do()
    if args.json:
        return _as_json(advise(paths), args.report)
    looked_at = (advise if args.compare or len(paths) <= FEW else check)(paths, OUT / "private")
    results = reported(looked_at, len(paths), "looks right")
    answers = None if args.orders else check_answers(paths)
    faulty = print_answers(answers) if answers else False
    print(f"\n{count(len(results), 'order')} read, {count(sum(len(r.doubts) for r in results), 'warning')}.")
    say_due(results, OUT / "private", today())
    written_down = report.write(args.report, "check", results, [answers] if answers else [])
    return closing(results) or (0 if written_down and not faulty else USAGE)


def _as_json(results: Iterable[Result], to: Path | None) -> int:
    from explain.site.check_json import check_json

    done = list(results)
    print(check_json(done))
    return 0 if report.write(to, "check", done, ()) and not any(result.faults for result in done) else USAGE


def run_draft(args: argparse.Namespace) -> int:
    """Start an order file, never over another one, and say what was understood before it is written."""
    from datetime import UTC, datetime

    from explain.draft.sources import source_of
    from explain.draft.start import Wish, drafts_from
    from explain.draft.taken import DraftError
    from explain.draft.understood import report as understood
    from explain.draft.writing import write_all

    try:
        source = source_of(args.source, sys.stdin.buffer) if args.source is not None else None
        today = datetime.now(tz=UTC).astimezone().date()
        drafts = drafts_from(source, Wish(args.order, args.to, args.again), today)
        for draft in drafts:
            if len(drafts) > 1 and draft.path:
                print(f"\n{draft.path.stem}")
            print(understood(draft.taken), file=sys.stdout if draft.path else sys.stderr)
            if draft.path is None:
                print(draft.text, end="")
        write_all([file for draft in drafts for file in draft.files])
    except DraftError as error:
        print(error, file=sys.stderr)
        return USAGE
    for draft in drafts:
        if draft.path is not None:
            to_type = count(len(draft.open_paths), "line")
            print(f"\n{draft.path} is written; {to_type} in it to type. Then: explain check {draft.path}")
    return 0


def run_links(args: argparse.Namespace) -> int:
    """Print what to send for the orders named, or for every order in orders/ whose page is built."""
    from explain.site.address import SecretError
    from explain.site.desk.links import links_csv, links_json, links_of, links_table
    from explain.site.shops import order_paths

    paths = order_paths(args.orders)
    if not paths:
        return nothing_to_do()
    try:
        links = links_of(paths, args.out)
    except SecretError as error:
        print(error, file=sys.stderr)
        return USAGE
    for remark in links.remarks:
        print(remark, file=sys.stderr)
    if args.json or args.csv:
        print(links_json(links) if args.json else links_csv(links), end="\n" if args.json else "")
    elif links.rows:
        print(links_table(links))
    return USAGE if links.is_faulty else 0


def run_schema(args: argparse.Namespace) -> int:
    """Write the schemas of order and shop files."""
    from explain.draft.schema import write_schemas

    try:
        paths = write_schemas(args.out)
    except OSError as error:
        print(f"{args.out}: the schemas cannot be written there ({error.strerror}).", file=sys.stderr)
        print("Name a folder that is there:   explain schema --out FOLDER", file=sys.stderr)
        return USAGE
    print(f"{' and '.join(str(path) for path in paths)} are written. Name one on the first line of a file:")
    print(f"# yaml-language-server: $schema={paths[0].name}")
    return 0


def _add_draft(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "source", nargs="?", metavar="SOURCE", help="the words themselves, a file, or - for standard input"
    )
    command.add_argument("--order", metavar="NUMBER", help="number of the order; the file is orders/NUMBER.yaml")
    command.add_argument("--again", metavar="ORDER", help="keep frame, fit and lenses of an earlier order")
    command.add_argument("--to", metavar="FILE", help="another file (or folder, for a table); - only shows it")
    command.set_defaults(run=run_draft)


def _add_links(command: argparse.ArgumentParser) -> None:
    add_orders(command)
    command.add_argument("--out", type=Path, default=OUT, metavar="FOLDER", help="where they were built")
    form = command.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print JSON: order, link, day to call and message")
    form.add_argument("--csv", action="store_true", help="print the same as CSV, for a mail merge")
    command.set_defaults(run=run_links)
