"""Retire: put a customer's page away, and say which are due."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from explain.commands.clock import today

if TYPE_CHECKING:
    from explain.site.results import Result
    from explain.site.retire import Published
    from explain.site.standing import Standing

LONGEST_WHY = 400


def run(args: argparse.Namespace) -> int:
    """Put one page away, or bring it back."""
    from explain.order.faults import OrderError, UnclearError
    from explain.site.address import SecretError
    from explain.site.publish import FolderError
    from explain.site.retire import RetireError, published

    try:
        page = published(args.order, args.out)
        print(_brought_back(page) if args.undo else _put_away(page, args.on, args.why))
    except UnclearError as error:
        remark = error.remark
        print(f"{remark.message}\n{remark.allowed}\n{remark.advice}", file=sys.stderr)
        return 2
    except (RetireError, OrderError, SecretError, FolderError) as error:
        print(error, file=sys.stderr)
        return 2
    return 0


def _put_away(page: Published, on: str | None, why: str) -> str:
    from explain.order.fields import read_date
    from explain.site.retire import retire
    from explain.site.retired import Retirement

    day = read_date(on, "--on 2026-10-02") if on else today()
    why = " ".join(why.split())[:LONGEST_WHY]
    if not retire(page, Retirement(day, why), today()):
        return f"{page.number} will be put away by the first build on or after {day}.\nUpload again after that build."
    return (
        f"{page.number} is put away: {(page.folder / 'index.html').as_posix()} is now a plain notice.\n"
        f"What stood there is kept in {page.kept.as_posix()}. Upload again, so that it disappears from your web host.\n"
        f"To bring it back:   explain retire {page.number} --undo"
    )


def _brought_back(page: Published) -> str:
    from explain.site.retire import bring_back, is_away
    from explain.site.retired import read_retirement

    was_away, recorded = is_away(page), read_retirement(page.private, page.number)
    is_back = bring_back(page, today())
    if recorded is not None and not was_away:
        return f"{page.number} stays as it is: it was not put away yet, and will not be on {recorded.on}."
    if is_back:
        return f"{page.number} is back as it was. The next build brings it up to date. Upload again."
    return f"{page.number} may be published again. Build it, then upload:   explain build"


def standing_text(standing: Standing) -> str:
    """Say what stands at an address in place of the page."""
    if standing.led_to:
        return f"leads to the page of {standing.led_to}"
    since, why = (standing.retirement.on, standing.retirement.why) if standing.retirement else ("", "")
    return f"put away on {since}" + (f": {why}" if why else "")


def say_due(results: Sequence[Result], private: Path, day: date) -> None:
    """Name the orders whose pages will be put away within a month."""
    from explain.site.retired import is_soon

    due = [
        (away.on, result.number, away.why)
        for result in results
        if result.number and (away := result.standing.retirement) and is_soon(away, private, result.number, day)
    ]
    for on, number, why in sorted(due):
        print(f"{number}: its page will be put away on {on}" + (f" ({why})." if why else "."))
    if due:
        print("To keep a page longer, lengthen retire-after in shop.yaml.")
