"""The command line: a thin door to the site layer."""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from explain.commands import begin, completion, report, retire, watch
from explain.commands.clock import today
from explain.commands.retire import say_due, standing_text

if TYPE_CHECKING:
    from explain.site.build import AnswersDone, Result

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
    build = commands.add_parser(
        "build",
        help="write the pages",
        description="Read each order and write its page. Example: explain build orders/QH-2101.yaml",
    )
    _add_orders(build)
    build.add_argument("--out", type=Path, default=OUT, metavar="FOLDER", help="where to write (default: site_out)")
    report.add_option(build)
    build.set_defaults(run=run_build)
    check = commands.add_parser(
        "check",
        help="read and doubt only, write nothing",
        description="Read each order and say what is wrong or looks odd. For up to "
        f"{FEW} orders not checked yet, compare the materials as well. Example: explain check orders/QH-2101.yaml",
    )
    _add_orders(check)
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


def run_build(args: argparse.Namespace) -> int:
    """Write the pages of the orders named, or of every order in orders/."""
    from explain.site.address import SecretError
    from explain.site.build import build, order_paths, overlooked
    from explain.site.publish import FolderError

    paths = order_paths(args.orders)
    _say_overlooked(overlooked(args.orders))
    if not paths:
        return _nothing_to_do()
    started = time.perf_counter()
    try:
        answers: list[AnswersDone] = []
        pages = build(paths, args.out, all_answers=not args.orders, tell=answers.append, today=today())
        results = _reported(pages, len(paths), "built")
    except (SecretError, FolderError) as error:
        print(error, file=sys.stderr)
        return USAGE
    except BrokenPipeError:
        raise
    except OSError as error:
        if error.errno is None:  # not the disk's: a bug of ours keeps its traceback
            raise
        print(_cannot_write(error, args.out), file=sys.stderr)
        return USAGE
    written = sum(result.page is not None for result in results)
    faulty = any(_print_answers(done) for done in answers)
    print(f"\n{_count(written, 'page')} written in {time.perf_counter() - started:.1f} s.", end=" ")
    print(f"Look in {args.out / 'upload'}: that folder may go to your web host.")
    print(f"Your desk is {args.out / 'private' / 'index.html'}: every order, with what to send and when to call.")
    print(f"Never upload {args.out / 'private'}. Back up address.secret, which lies beside your orders.")
    written_down = report.write(args.report, "build", results, answers)
    return _closing(results) or (0 if written_down and not faulty else USAGE)


def run_check(args: argparse.Namespace) -> int:
    """Read and doubt the orders named, or every order in orders/; compare materials where the lenses are not made."""
    from explain.site.build import advise, check, check_answers, order_paths, overlooked

    paths = order_paths(args.orders)
    _say_overlooked(overlooked(args.orders))
    if not paths:
        return _nothing_to_do()
    if args.json:
        return _as_json(advise(paths), args.report)
    looked_at = (advise if args.compare or len(paths) <= FEW else check)(paths, OUT / "private")
    results = _reported(looked_at, len(paths), "looks right")
    answers = None if args.orders else check_answers(paths)
    faulty = _print_answers(answers) if answers else False
    print(f"\n{_count(len(results), 'order')} read, {_count(sum(len(r.doubts) for r in results), 'warning')}.")
    say_due(results, OUT / "private", today())
    written_down = report.write(args.report, "check", results, [answers] if answers else [])
    return _closing(results) or (0 if written_down and not faulty else USAGE)


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
            to_type = _count(len(draft.open_paths), "line")
            print(f"\n{draft.path} is written; {to_type} in it to type. Then: explain check {draft.path}")
    return 0


def run_links(args: argparse.Namespace) -> int:
    """Print what to send for the orders named, or for every order in orders/ whose page is built."""
    from explain.site.address import SecretError
    from explain.site.build import order_paths
    from explain.site.desk.links import links_csv, links_json, links_of, links_table

    paths = order_paths(args.orders)
    if not paths:
        return _nothing_to_do()
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
    _add_orders(command)
    command.add_argument("--out", type=Path, default=OUT, metavar="FOLDER", help="where they were built")
    form = command.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print JSON: order, link, day to call and message")
    form.add_argument("--csv", action="store_true", help="print the same as CSV, for a mail merge")
    command.set_defaults(run=run_links)


def _add_orders(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "orders", nargs="*", type=Path, metavar="ORDER", help="order files (default: every one in orders/)"
    )


def _say_overlooked(paths: Sequence[Path]) -> None:
    for path in paths:
        print(
            f"{path}: warning: this file was not read\n"
            f"Orders in a folder end in .yaml, in small letters; this one ends in {path.suffix}.\n"
            f"Rename it to {path.with_suffix('.yaml').name}, or take it out of the folder.\n",
            file=sys.stderr,
        )


def _reported(results: Iterable[Result], total: int, word: str) -> list[Result]:
    """Print a line for each order as it is done; with many, show how far we are instead."""
    done = []
    for count, result in enumerate(results, start=1):
        done.append(result)
        if total <= MANY:
            _print_one(result, word)
        elif sys.stderr.isatty():
            filled = 30 * count // total
            print(f"\r[{'#' * filled}{'.' * (30 - filled)}] {count} of {total}", end="", file=sys.stderr, flush=True)
    if total > MANY and sys.stderr.isatty():
        print(file=sys.stderr)
    if total > MANY:
        for result in done:
            if result.advice or not result.standing.is_page:
                _print_one(replace(result, doubts=()), word)
        report.say_by_kind(done)
    return done


def _print_one(result: Result, word: str) -> None:
    name = result.order.number if result.order else result.path.name
    if result.faults:
        print(f"{name:12} has {_count(len(result.faults), 'fault')}, nothing written")
    elif not result.standing.is_page:
        print(f"{name:12} {standing_text(result.standing)}")
    else:
        unpriced = ", no price yet" if result.order and not result.order.bill.lines else ""
        print(f"{name:12} {word + unpriced:12} {result.page or ''}".rstrip())
    for finding in (*result.faults, *result.doubts):
        print(f"\n{finding}\n", file=sys.stderr)
    if result.advice:
        from explain.story.advice import advice_text

        print(f"\n{advice_text(result.advice)}")


def _print_answers(done: AnswersDone) -> bool:
    """Say in one line what became of the answers, then what is wrong or odd in them; True where one has faults."""
    faulty = len(done.read.faulty)
    whole = len(done.read.answers) if done.written is None else done.written
    print(f"\n{_count(whole, 'answer')} {'read' if done.written is None else 'written'}", end="")
    print(f", {faulty} with faults: see above." if faulty else ".")
    for finding in (*done.read.faults, *done.read.doubts):
        print(f"\n{finding}\n", file=sys.stderr)
    return bool(done.read.faults)


def _closing(results: Sequence[Result]) -> int:
    faulty = sum(bool(result.faults) for result in results)
    if not faulty:
        return 0
    print(f"{_count(faulty, 'order')} with faults: see above. Pages published earlier stay as they were.")
    return USAGE


def _cannot_write(error: OSError, out: Path) -> str:
    where = error.filename or out
    return (
        f"{where}: this cannot be written ({error.strerror or error}).\n"
        f"The pages go to {out}, and address.secret lies beside your orders.\n"
        "Free some room there or allow writing, or name another folder:   explain build --out FOLDER"
    )


def _nothing_to_do() -> int:
    print("There is no order here. Name an order file, or run this in the folder that holds orders/.", file=sys.stderr)
    return USAGE


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
