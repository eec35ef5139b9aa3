"""Check: read and doubt the orders, and write nothing."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from pathlib import Path

from explain.commands import report
from explain.commands.clock import today
from explain.commands.door import print_data
from explain.commands.options import FEW
from explain.commands.retire import say_due
from explain.commands.telling import USAGE, closing, count, nothing_to_do, print_answers, reported, say_overlooked
from explain.site.checking import advise, check, check_answers
from explain.site.publish import FolderError
from explain.site.results import Result
from explain.site.shops import order_paths, overlooked


def run(args: argparse.Namespace) -> int:
    """Read and doubt the orders named, or every order in orders/; compare materials where the lenses are not made."""
    paths = order_paths(args.orders)
    say_overlooked(overlooked(args.orders))
    if not paths:
        return nothing_to_do()
    if args.json:
        return _as_json(advise(paths), args.report)
    looked_at = (advise if args.compare or len(paths) <= FEW else check)(paths, args.out / "private")
    try:
        results = reported(looked_at, len(paths), "looks right")
    except FolderError as error:
        print(error, file=sys.stderr)
        return USAGE
    answers = None if args.orders else check_answers(paths)
    faulty = print_answers(answers) if answers else False
    print(f"\n{count(len(results), 'order')} read, {count(sum(len(r.doubts) for r in results), 'warning')}.")
    say_due(results, args.out / "private", today())
    written_down = report.write(args.report, "check", results, [answers] if answers else [])
    return closing(results) or (0 if written_down and not faulty else USAGE)


def _as_json(results: Iterable[Result], to: Path | None) -> int:
    from explain.site.check_json import check_json

    done = list(results)
    print_data(check_json(done) + "\n", is_json=True)
    return 0 if report.write(to, "check", done, ()) and not any(result.faults for result in done) else USAGE
