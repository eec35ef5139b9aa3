"""Draft: start an order file from what has arrived."""

from __future__ import annotations

import argparse
import sys
from datetime import UTC, datetime

from explain.commands.telling import USAGE, count
from explain.draft.sources import source_of
from explain.draft.start import Wish, drafts_from
from explain.draft.taken import DraftError
from explain.draft.understood import report as understood
from explain.draft.writing import write_all


def run(args: argparse.Namespace) -> int:
    """Start an order file, never over another one, and say what was understood before it is written."""
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
