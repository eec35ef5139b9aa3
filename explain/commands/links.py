"""Links: print what to send to whom."""

from __future__ import annotations

import argparse
import sys

from explain.commands.door import print_data
from explain.commands.telling import USAGE, nothing_to_do
from explain.site.address import SecretError
from explain.site.desk.links import links_csv, links_json, links_of, links_table
from explain.site.publish import FolderError
from explain.site.shops import order_paths


def run(args: argparse.Namespace) -> int:
    """Print what to send for the orders named, or for every order in orders/ whose page is built."""
    paths = order_paths(args.orders)
    if not paths:
        return nothing_to_do()
    try:
        links = links_of(paths, args.out)
    except (SecretError, FolderError) as error:
        print(error, file=sys.stderr)
        return USAGE
    for remark in links.remarks:
        print(remark, file=sys.stderr)
    if args.json or args.csv:
        print_data(links_json(links) + "\n" if args.json else links_csv(links), is_json=args.json)
    elif links.rows:
        print(links_table(links))
    return USAGE if links.is_faulty else 0
