"""Checking: orders read, worked out and judged, one by one, and nothing written."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from explain.language import SOURCE, page_locale, speaking
from explain.optics.outline import holds_point
from explain.optics.surfaces import DoesNotReachError
from explain.order import ReadOrder, read_plan
from explain.order.faults import Doubt, Fault, OrderError
from explain.order.model import Shop
from explain.site.findings import (
    THICK_MM,
    THICKEST_MM,
    centre_outside,
    does_not_reach,
    far_off,
    not_checked,
    same_number,
    too_thick,
)
from explain.site.forewarnings import forewarnings
from explain.site.measured import accepted_for_nothing, looks_copied, outside_limit
from explain.site.own import Own
from explain.site.owners import shared_numbers
from explain.site.remakes import refuse_odd_remake
from explain.site.results import AnswersDone, Result, result_of
from explain.site.retired import retirement_of
from explain.site.shops import Shops, need_order_file
from explain.site.standing import Standing
from explain.story.pair import Pair, eyes_of, work_out
from explain.story.verify import outside

if TYPE_CHECKING:
    from explain.site.faq import Answers

NOWHERE = Path()


def check(paths: Sequence[Path], private: Path = NOWHERE) -> Iterator[Result]:
    """Read and doubt each order; write nothing. One that was not checked yet may lack its price.

    private: where builds record which pages are put away.
    """
    for result, _ in _looked_at(paths, private):
        yield result


def advise(paths: Sequence[Path], private: Path = NOWHERE) -> Iterator[Result]:
    """Check each order, and compare the materials for each whose lenses are not made yet."""
    for result, pair in _looked_at(paths, private):
        yield result if pair is None or pair.order.checked else _advised(result, pair)


def _advised(result: Result, pair: Pair) -> Result:
    from explain.story.advice import advice_on  # noqa: PLC0415  only orders not made yet need it

    return replace(result, advice=advice_on(pair))


def _looked_at(paths: Sequence[Path], private: Path) -> Iterator[tuple[Result, Pair | None]]:
    shops = Shops()
    shared = numbers_shared_by(paths, shops)
    for path in paths:
        result, pair = alone(*checked(path, shops, read_plan), shared)
        if pair is not None:
            result = replace(result, standing=Standing(retirement_of(pair.order, pair.shop, private)))
        yield result, pair


def check_answers(paths: Sequence[Path]) -> AnswersDone | None:
    """Read and doubt the answers of the shop; None where its own files have faults, which its orders then name."""
    from explain.site.faq import worked_out  # noqa: PLC0415  a check of one order does without the answers

    found = answers_beside(paths, Shops())
    if found is None:
        return None
    read, shop, _own = found
    with speaking(page_locale(shop.locale, SOURCE)):
        return AnswersDone(worked_out(read, shop))


def answers_beside(paths: Sequence[Path], shops: Shops) -> tuple[Answers, Shop, Own] | None:
    """Answers of the shop that the first order belongs to; None where its shop file or its own files have faults."""
    from explain.site.faq import read_answers  # noqa: PLC0415  as above

    try:
        shop, own = shops.beside(paths[0]), shops.own_beside(paths[0])
    except (OrderError, IndexError):
        return None
    return read_answers(own), shop, own


def numbers_shared_by(paths: Sequence[Path], shops: Shops) -> dict[str, tuple[Path, ...]]:
    """Numbers that more than one of these files uses, with those files; files with faults have none."""
    readable = []
    for path in paths:
        try:
            need_order_file(path)
            readable.append((path, shops.beside(path)))
        except OrderError:
            continue
    return shared_numbers(readable)


def alone(result: Result, pair: Pair | None, shared: dict[str, tuple[Path, ...]]) -> tuple[Result, Pair | None]:
    """Refuse an order whose number another of the files uses as well."""
    if pair is None or pair.order.number.casefold() not in shared:
        return result, pair
    others = [path for path in shared[pair.order.number.casefold()] if path != result.path]
    return result.with_fault(same_number(result.path, result.number, others[0])), None


def checked(path: Path, shops: Shops, reader: Callable[[Path, Shop], ReadOrder]) -> tuple[Result, Pair | None]:
    """Read an order and judge it. The pair is None where something stops its page."""
    try:
        need_order_file(path)
        shops.own_beside(path)
        read = reader(path, shops.beside(path))
        refuse_odd_remake(read, shops.remakes_beside(path))
    except OrderError as error:
        return Result(path, error.faults), None
    return judged(path, read, shops.beside(path))


def judged(path: Path, read: ReadOrder, shop: Shop) -> tuple[Result, Pair | None]:
    """Work an order out and find what only shows then. The pair is None where something stops its page."""
    try:
        missed = [eye for eye in eyes_of(read.order) if not holds_point(eye.outline, eye.reference_point)]
        if missed:
            return result_of(path, read.order, (centre_outside(read.order, missed[0]),), read.doubts), None
        pair = work_out(read.order, shop)
    except DoesNotReachError as error:
        return result_of(path, read.order, (does_not_reach(read.order, error),), read.doubts), None
    for key, remark in forewarnings(pair):
        read.doubt(key, remark)
    faults, doubts = tuple(_faults_of(pair)), (*read.doubts, *_doubts_of(pair))
    return result_of(path, read.order, faults, doubts), None if faults else pair


def _faults_of(pair: Pair) -> Iterator[Fault]:
    differing = () if pair.order.accepted else outside(pair)
    yield from (outside_limit(pair, one, Fault) for one in differing if one.firm)
    if pair.chosen.thickest_mm > THICKEST_MM:
        yield too_thick(pair, Fault)


def _doubts_of(pair: Pair) -> Iterator[Doubt]:
    yield from not_checked(pair)
    yield from far_off(pair)
    yield from looks_copied(pair)
    yield from accepted_for_nothing(pair)
    differing = () if pair.order.accepted else outside(pair)
    yield from (outside_limit(pair, one, Doubt) for one in differing if not one.firm)
    if THICK_MM < pair.chosen.thickest_mm <= THICKEST_MM:
        yield too_thick(pair, Doubt)
