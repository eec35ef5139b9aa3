"""Draft: start an order file from what has arrived."""

from __future__ import annotations

import argparse
import sys
from datetime import UTC, datetime

from explain.commands.door import shell_word, typed_in
from explain.commands.telling import USAGE, count
from explain.draft.sources import source_of
from explain.draft.start import Wish, drafts_from
from explain.draft.taken import DraftError
from explain.draft.understood import report as understood
from explain.draft.writing import write_all


def run(args: argparse.Namespace) -> int:
    """Start an order file, never over another one, and say what was understood before it is written."""
    try:
        given = args.source or (typed_in() if args.again is None else None)
        source = source_of(given, sys.stdin.buffer) if given else None
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
            said = f"\n{draft.path.as_posix()} is written; {to_type} in it to type."
            print(f"{said} Then: explain check {shell_word(draft.path)}")
    return 0
