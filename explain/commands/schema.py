"""Schema: let an editor complete and underline orders."""

from __future__ import annotations

import argparse
import sys

from explain.commands.telling import USAGE
from explain.draft.schema import write_schemas


def run(args: argparse.Namespace) -> int:
    """Write the schemas of order and shop files."""
    try:
        paths = write_schemas(args.out)
    except OSError as error:
        print(f"{args.out.as_posix()}: the schemas cannot be written there ({error.strerror}).", file=sys.stderr)
        print("Name a folder that is there:   explain schema --out FOLDER", file=sys.stderr)
        return USAGE
    print(f"{' and '.join(path.as_posix() for path in paths)} are written. Name one on the first line of a file:")
    print(f"# yaml-language-server: $schema={paths[0].name}")
    return 0
