"""Build: orders in, pages out, one order at a time. A faulty order leaves its published page alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from explain.language import SOURCE, page_locale, speaking
from explain.optics.outline import holds_point
from explain.optics.surfaces import DoesNotReachError
from explain.order import ReadOrder, read_order, read_plan, read_shop
from explain.order.faults import Doubt, Fault, OrderError
from explain.order.model import Order, Shop
from explain.site.address import SECRET_NAME, SecretError, lost_secret_text, page_address, read_or_make_secret
from explain.site.faq import Answers, are_written, read_answers, worked_out, write_answers
from explain.site.findings import (
    THICK_MM,
    THICKEST_MM,
    cannot_write,
    centre_outside,
    does_not_reach,
    far_off,
    not_checked,
    same_number,
    too_thick,
)
from explain.site.forewarnings import forewarnings
from explain.site.measured import accepted_for_nothing, looks_copied, outside_limit
from explain.site.numbers import numbers_text
from explain.site.own import GOES_WRONG_IN_PARTS, Own, part_fails, read_own
from explain.site.owners import has_pages_from, other_owner, record_owner, shared_numbers
from explain.site.publish import prepare, write_whole
from explain.site.remakes import Remakes, refuse_odd_remake
from explain.site.retired import retirement_of
from explain.site.standing import STANDING, Standing, instead_of_page, lead_older_on
from explain.story.advice import Advice, advice_on
from explain.story.more import more_answers
from explain.story.page import locale_of_page
from explain.story.page import tell as tell_page
from explain.story.pair import Pair, eyes_of, work_out
from explain.story.reminders import reminders
from explain.story.verify import outside

SHOP_NAME = "shop.yaml"
Found = tuple[tuple[Fault, ...], tuple[Doubt, ...]]
NOWHERE = Path()


@dataclass(frozen=True, slots=True)
class Result:
    """What became of one order. page: None when it was only checked, or has faults. advice: for one not yet made.

    standing: what stands at its address in place of its page, or will.
    """

    path: Path
    order: Order | None
    faults: tuple[Fault, ...]
    doubts: tuple[Doubt, ...]
    page: Path | None = None
    advice: Advice | None = None
    standing: Standing = STANDING


@dataclass(frozen=True, slots=True)
class AnswersDone:
    """What became of the answers for everyone. written: how many pages there are now; None: they were only checked."""

    read: Answers
    written: int | None = None


def _to_nobody(_: AnswersDone) -> None:
    """Nobody asked what became of the answers."""


def order_paths(given: Sequence[Path]) -> list[Path]:
    """The orders to read: those given, else every one in orders/. A shop file among them is no order."""
    paths = given or sorted(path for path in Path("orders").glob("*.yaml") if not path.name.startswith("."))
    once = {path.resolve(): path for path in reversed(paths)}
    return [path for path in paths if path.name != SHOP_NAME and once[path.resolve()] is path]


def overlooked(given: Sequence[Path]) -> list[Path]:
    """Files in orders/ that look like orders and are not read, for their ending; none where orders were named."""
    if given or not Path("orders").is_dir():
        return []
    return sorted(
        path
        for path in Path("orders").iterdir()
        if path.suffix.lower() in (".yml", ".yaml") and path.suffix != ".yaml" and not path.name.startswith(".")
    )


def check(paths: Sequence[Path], private: Path = NOWHERE) -> Iterator[Result]:
    """Read and doubt each order; write nothing. One that was not checked yet may lack its price.

    private: where builds record which pages are put away.
    """
    for result, _ in _looked_at(paths, private):
        yield result


def advise(paths: Sequence[Path], private: Path = NOWHERE) -> Iterator[Result]:
    """Check each order, and compare the materials for each whose lenses are not made yet."""
    for result, pair in _looked_at(paths, private):
        yield result if pair is None or pair.order.checked else replace(result, advice=advice_on(pair))


def _looked_at(paths: Sequence[Path], private: Path) -> Iterator[tuple[Result, Pair | None]]:
    shops = _Shops()
    shared = _shared_numbers(paths, shops)
    for path in paths:
        result, pair = _alone(*_checked(path, shops, read_plan), shared)
        if pair is not None:
            result = replace(result, standing=Standing(retirement_of(pair.order, pair.shop, private)))
        yield result, pair


def check_answers(paths: Sequence[Path]) -> AnswersDone | None:
    """Read and doubt the answers of the shop; None where its own files have faults, which its orders then name."""
    found = _answers(paths, _Shops())
    if found is None:
        return None
    read, shop, _own = found
    with speaking(page_locale(shop.locale, SOURCE)):
        return AnswersDone(worked_out(read, shop))


def build(
    paths: Sequence[Path],
    out: Path,
    *,
    all_answers: bool = False,
    tell: Callable[[AnswersDone], None] = _to_nobody,
    today: date | None = None,
) -> Iterator[Result]:
    """Read each order and write its page and its numbers; give what became of each, as it is done.

    Orders that share a number are all refused: their page stays as it was, whoever it belongs to. The answers for
    everyone are written first, so that links lead somewhere: when all_answers, or when a page of them is missing.
    today: pages whose time is over by then are put away; None: only those that were recorded as put away.
    """
    prepare(out)
    _need_secrets(paths, out)
    shops = _Shops()
    answers = _with_answers(paths, shops, out, anew=all_answers, tell=tell)
    shared = _shared_numbers(paths, shops)
    found: dict[Path, Found] = {}
    for path in paths:
        result, pair = _alone(*_checked(path, shops, read_order), shared)
        if pair is not None:
            owner = other_owner(out / "private", pair.order.number, path, shops.beside(path))
            linked = answers if path.parent == paths[0].parent else Answers()
            if owner:
                result = _with_fault(result, same_number(pair, owner))
            else:
                result = _written(pair, result, out, linked, shops, today)
        found[path] = (result.faults, result.doubts)
        yield result
    _write_desk(paths, out, found)


def _write_desk(paths: Sequence[Path], out: Path, found: Mapping[Path, Found]) -> None:
    from explain.site.desk.index_page import write_desk

    write_desk([path for path in paths if path.is_file()], out, found)


def _answers(paths: Sequence[Path], shops: _Shops) -> tuple[Answers, Shop, Own] | None:
    """Answers of the shop that the first order belongs to; None where its shop file or its own files have faults."""
    try:
        shop, own = shops.beside(paths[0]), shops.own_beside(paths[0])
    except (OrderError, IndexError):
        return None
    return read_answers(own), shop, own


def _with_answers(
    paths: Sequence[Path], shops: _Shops, out: Path, *, anew: bool, tell: Callable[[AnswersDone], None]
) -> Answers:
    """Write the answers where that is due; give those that a page may link to."""
    found = _answers(paths, shops)
    if found is None:
        return Answers()
    read, shop, own = found
    if not anew and are_written(read, out):
        return read
    try:
        with speaking(page_locale(shop.locale, SOURCE)):
            read = worked_out(read, shop)
            written = write_answers(read, shop, own, out)
        tell(AnswersDone(read, written))
    except GOES_WRONG_IN_PARTS as error:
        if not own.has_parts:
            raise
        tell(AnswersDone(replace(read, faults=(*read.faults, part_fails(paths[0].parent, error))), 0))
    return read


def _need_secrets(paths: Sequence[Path], out: Path) -> None:
    """Raise SecretError where pages were built before and the secret of their links is gone."""
    for folder in sorted({path.parent for path in paths}):
        if not (folder / SECRET_NAME).exists() and has_pages_from(out / "private", folder):
            raise SecretError(lost_secret_text(folder))


def _shared_numbers(paths: Sequence[Path], shops: _Shops) -> dict[str, tuple[Path, ...]]:
    readable = []
    for path in paths:
        try:
            _need_order_file(path)
            readable.append((path, shops.beside(path)))
        except OrderError:
            continue
    return shared_numbers(readable)


def _alone(result: Result, pair: Pair | None, shared: dict[str, tuple[Path, ...]]) -> tuple[Result, Pair | None]:
    """Refuse an order whose number another of the files uses as well."""
    if pair is None or pair.order.number.casefold() not in shared:
        return result, pair
    others = [path for path in shared[pair.order.number.casefold()] if path != result.path]
    return _with_fault(result, same_number(pair, others[0])), None


def _with_fault(result: Result, fault: Fault) -> Result:
    return replace(result, faults=(*result.faults, fault))


class _Shops:
    """Reads each shop file once, however many orders lie beside it."""

    def __init__(self) -> None:
        self._known: dict[Path, Shop] = {}
        self._own: dict[Path, Own] = {}
        self._remakes: dict[Path, Remakes] = {}

    def beside(self, order_path: Path) -> Shop:
        folder = order_path.parent
        if folder not in self._known:
            _need_shop_file(folder / SHOP_NAME)
            self._known[folder] = read_shop(folder / SHOP_NAME)
        return self._known[folder]

    def remakes_beside(self, order_path: Path) -> Remakes:
        """Which of the orders in the folder replace each other."""
        folder = order_path.parent
        if folder not in self._remakes:
            self._remakes[folder] = Remakes(folder)
        return self._remakes[folder]

    def own_beside(self, order_path: Path) -> Own:
        """The shop's own words, parts and answers. Raises OrderError with every fault of them."""
        folder = order_path.parent
        if folder not in self._own:
            self._own[folder] = read_own(folder)
        return self._own[folder]


def _checked(path: Path, shops: _Shops, reader: Callable[[Path, Shop], ReadOrder]) -> tuple[Result, Pair | None]:
    try:
        _need_order_file(path)
        shops.own_beside(path)
        read = reader(path, shops.beside(path))
        refuse_odd_remake(read, shops.remakes_beside(path))
    except OrderError as error:
        return Result(path, None, error.faults, ()), None
    return judged(path, read, shops.beside(path))


def judged(path: Path, read: ReadOrder, shop: Shop) -> tuple[Result, Pair | None]:
    """Work an order out and find what only shows then. The pair is None where something stops its page."""
    try:
        missed = [eye for eye in eyes_of(read.order) if not holds_point(eye.outline, eye.reference_point)]
        if missed:
            return Result(path, read.order, (centre_outside(read.order, missed[0]),), read.doubts), None
        pair = work_out(read.order, shop)
    except DoesNotReachError as error:
        return Result(path, read.order, (does_not_reach(read.order, error),), read.doubts), None
    for key, remark in forewarnings(pair):
        read.doubt(key, remark)
    faults, doubts = tuple(_faults_of(pair)), (*read.doubts, *_doubts_of(pair))
    return Result(path, read.order, faults, doubts), None if faults else pair


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


def _written(pair: Pair, result: Result, out: Path, answers: Answers, shops: _Shops, today: date | None) -> Result:
    """Write one page; a page that cannot be written is a fault of its own and does not stop the others."""
    own, remakes = shops.own_beside(result.path), shops.remakes_beside(result.path)
    try:
        standing = instead_of_page(pair.order, pair.shop, remakes, out, today)
        result = replace(result, standing=standing)
        if standing.is_page:
            result = _write(pair, result, out, answers, own)
            lead_older_on(pair.order, pair.shop, remakes, out)
    except OSError as error:
        if error.errno is None:  # not the disk's: a bug of ours keeps its traceback
            raise
        return _with_fault(result, cannot_write(pair, error))
    except GOES_WRONG_IN_PARTS as error:
        if not own.has_parts:
            raise
        return _with_fault(result, part_fails(result.path.parent, error))
    return result


def _write(pair: Pair, result: Result, out: Path, answers: Answers, own: Own) -> Result:
    from explain.site.calendar_file import write_calendar
    from explain.site.desk.papers import write_papers
    from explain.site.desk.rows import record_build
    from explain.site.render import render  # the chart library is slow to import; a check does without it

    secret = read_or_make_secret(result.path.parent)
    page = out / "upload" / page_address(secret, pair.order.number) / "index.html"
    private = out / "private" / pair.order.number
    with speaking(locale_of_page(pair)):
        html = render(tell_page(pair), more_answers(pair.order, answers.answers), own.texts)
        write_papers(private, pair, page.parent.name)
        write_calendar(page.parent, reminders(pair.order, pair.shop), pair.order.ordered_on)
    write_whole(private / "numbers.json", numbers_text(pair))
    record_owner(out / "private", pair.order.number, result.path)
    record_build(out / "private", pair.order.number, result.path, result.doubts)
    write_whole(page, html)
    return replace(result, page=page)


def _need_order_file(path: Path) -> None:
    """Raise OrderError for a folder, or a name that is no file, before its shop is looked for."""
    if path.is_dir():
        advice = f"Name the orders in it, for example:   explain check {path}/*.yaml"
        raise OrderError([_fault_of_file(path, "this is a folder, not an order", "An order is a file.", advice)])
    if not path.is_file():
        allowed = "An order is named with its folder and its ending, for example:   orders/QH-2101.yaml"
        raise OrderError([_fault_of_file(path, "there is no such file", allowed, "Check its name and its folder.")])


def _need_shop_file(path: Path) -> None:
    if not path.is_file():
        allowed = f"Every order is read with the {SHOP_NAME} of its own folder: who writes the page, phone, prices."
        advice = f"Put your {SHOP_NAME} there, or move the order to the folder that holds it."
        raise OrderError([_fault_of_file(path, "there is no shop file beside the order", allowed, advice)])


def _fault_of_file(path: Path, message: str, allowed: str, advice: str) -> Fault:
    return Fault(file=str(path), line=0, key="", message=message, excerpt="", allowed=allowed, advice=advice)
