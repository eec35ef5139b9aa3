"""Build: write the pages, and say what became of each order."""

from __future__ import annotations

import argparse
import gc
import os
import sys
import time

from explain.commands.clock import today

TYPE_CHECKING = False  # as typing has it, without its import: a build with nothing to do is over sooner
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path
    from typing import Any

    from explain.commands.telling import Left
    from explain.site.engine.sweep import Swept
    from explain.site.engine.workers import Crew
    from explain.site.results import AnswersDone, Result

USAGE = 2
ENOUGH_FOR_WORKERS = 24
"""From so many orders on, starting worker processes costs less than they save."""


def run(args: argparse.Namespace) -> int:
    """Write the pages of the orders named, or of every order in orders/; of those only, where something changed."""
    if not args.orders and args.report is None and not args.anew:
        from explain.site.engine.quick import glance

        head, swept = glance(str(args.out), today().isoformat())
        if head is not None:
            return _say_unchanged(head, args.out)
        return _build(args, swept)
    return _build(args)


def _say_unchanged(head: dict[str, Any], out: Path) -> int:
    """Say that nothing changed, and all that a build which had to look closer would warn of."""
    from explain.site.engine.quick import SECRET, is_open_to_others

    if head["overlooked"]:
        from explain.commands.telling import say_overlooked
        from explain.site.shops import overlooked

        say_overlooked(overlooked(()))
    pages = f"{head['pages']} page{'' if head['pages'] == 1 else 's'}"
    print(f"Nothing changed since the last build: {pages} in {(out / 'upload').as_posix()} left as they are.")
    _say_warned(head["warned"])
    if is_open_to_others(SECRET):
        _warn_of_exposed(())
    return 0


def _say_warned(orders: int) -> None:
    """Say how many orders have warnings, where those are not told now."""
    if orders:
        print(f"Orders with warnings: {orders}. Read them again:   explain check")


def _build(args: argparse.Namespace, swept: Swept | None = None) -> int:
    gc.disable()  # what is imported here stays, and is not to be searched for what may go
    from explain.commands.telling import MANY, Left, nothing_to_do, reported, say_overlooked
    from explain.site.address import SecretError
    from explain.site.build import build
    from explain.site.engine.workers import CrewError
    from explain.site.publish import FolderError
    from explain.site.shops import order_files, overlooked

    gc.freeze()
    gc.enable()
    paths = order_files(args.orders)
    say_overlooked(overlooked(args.orders))
    if not paths:
        return nothing_to_do()
    left = Left()
    started = time.perf_counter()
    answers: list[AnswersDone] = []
    try:
        pages = build(
            paths,
            args.out,
            all_answers=not args.orders,
            tell=answers.append,
            explain=_said if args.verbose else _kept_quiet,
            today=today(),
            crew=_crew(args.workers, args.cluster),
            anew=args.anew,
            left=left.take if len(paths) > MANY and args.report is None else None,
            swept=swept,
        )
        results = reported(pages, len(paths), "built", left)
    except (SecretError, FolderError, CrewError) as error:
        print(error, file=sys.stderr)
        return USAGE
    except BrokenPipeError:
        raise
    except OSError as error:
        if error.errno is None:  # not the disk's: a bug of ours keeps its traceback
            raise
        print(_cannot_write(error, args.out), file=sys.stderr)
        return USAGE
    return _close(args, results, left, answers, time.perf_counter() - started)


def _close(
    args: argparse.Namespace, results: Sequence[Result], left: Left, answers: Sequence[AnswersDone], seconds: float
) -> int:
    """Say what was done. left: orders that stay as they were, beside those among the results."""
    from explain.commands import report
    from explain.commands.telling import closing, count, print_answers

    written = sum(result.page is not None and not result.is_unchanged for result in results)
    stay = left.pages + sum(result.page is not None and result.is_unchanged for result in results)
    faulty = [print_answers(done) for done in answers]
    print(
        f"\n{count(written, 'page')} written in {seconds:.1f} s" + (f", {stay} left as they were." if stay else "."),
        end=" " if written or stay else "\n",
    )
    if written or stay:
        print(f"Look in {(args.out / 'upload').as_posix()}: that folder may go to your web host.")
        desk = (args.out / "private" / "index.html").as_posix()
        print(f"Your desk is {desk}: every order, with what to send and when to call.")
        private = (args.out / "private").as_posix()
        print(f"Never upload {private}. Back up address.secret, which lies beside your orders.")
    if left.warned or any(result.doubts and result.is_unchanged for result in results):
        _say_warned(left.warned + sum(bool(result.doubts) for result in results))
    _warn_of_exposed(args.orders)
    _say_link(results)
    written_down = report.write(args.report, "build", results, answers)
    return closing(results) or (0 if written_down and not any(faulty) else USAGE)


def _warn_of_exposed(orders: Sequence[Path]) -> None:
    from explain.site.address import exposed_text
    from explain.site.shops import folders_of

    for folder in folders_of(orders):
        if warning := exposed_text(folder):
            print(f"\n{warning}", file=sys.stderr)


def _say_link(results: Sequence[Result]) -> None:
    """Print the link of the page, ready to copy, where just one was written or named."""
    from explain.order import read_shop
    from explain.site.desk.link import page_link
    from explain.site.shops import SHOP_NAME

    there = [result for result in results if result.page]
    made = [result for result in there if not result.is_unchanged] or there
    for result in made if len(made) == 1 else ():
        shop = read_shop(result.path.parent / SHOP_NAME)
        if shop.sealed:  # its link holds the key, which is not for the logs that builds end up in
            print(f"\nTo see what to send to {result.first_name}:   explain links {result.number}")
        elif shop.web_address and result.page:
            print(f"\nTo send to {result.first_name}:   {page_link(shop, result.page.parent.name, result.number)}")


def _crew(workers: int | None, address: str | None) -> Callable[[int], Crew]:
    """Who makes so many orders: this process where they are few, else a process a core, or as many as asked for."""
    from explain.site.engine.workers import HERE

    def crew(orders: int) -> Crew:
        if address and orders:
            from explain.site.engine.cluster import cluster

            return cluster(address)
        wanted = workers or (cores() if orders >= ENOUGH_FOR_WORKERS else 1)
        if wanted == 1 or orders < 2:
            return HERE
        from explain.site.engine.processes import processes

        return processes(min(wanted, orders), _said)

    return crew


def cores() -> int:
    """Cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _said(reason: str) -> None:
    print(reason, file=sys.stderr)


def _kept_quiet(_: str) -> None:
    """Nobody asked why."""


def _cannot_write(error: OSError, out: Path) -> str:
    where = type(out)(error.filename or out).as_posix()
    return (
        f"{where}: this cannot be written ({error.strerror or error}).\n"
        f"The pages go to {out.as_posix()}, and address.secret lies beside your orders.\n"
        "Free some room there or allow writing, or name another folder:   explain build --out FOLDER"
    )
