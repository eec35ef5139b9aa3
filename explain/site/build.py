"""Build: orders in, pages out, one order at a time. A faulty order leaves its published page alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from explain.optics.outline import holds_point
from explain.optics.power import SphereCylinder, spherical_equivalent_dpt
from explain.optics.surfaces import DoesNotReachError
from explain.order import read_order, read_shop
from explain.order.faults import Doubt, Fault, Finding, OrderError
from explain.order.model import Order, Shop
from explain.site.address import SECRET_NAME, SecretError, lost_secret_text, page_address, read_or_make_secret
from explain.site.numbers import numbers_text
from explain.site.owners import has_pages_from, other_owner, record_owner, shared_numbers
from explain.site.publish import prepare, write_whole
from explain.story.checked import NAMES, comparison_row
from explain.story.page import tell
from explain.story.pair import Eye, Pair, eyes_of, work_out
from explain.story.verify import Comparison, comparisons, outside

SHOP_NAME = "shop.yaml"
FAR_OFF_MM = 2.0
BALANCE_APART_DPT = 1.00
"""From this difference on a balance lens no longer looks like its twin (our own judgement)."""
Kind = TypeVar("Kind", bound=Finding)
THICK_MM, THICKEST_MM = 12.0, 25.0
"""Thicker than the first a lens is hardly made over the whole frame; beyond the second never (common practice)."""


@dataclass(frozen=True, slots=True)
class Result:
    """What became of one order. page is None when it was only checked, or has faults."""

    path: Path
    order: Order | None
    faults: tuple[Fault, ...]
    doubts: tuple[Doubt, ...]
    page: Path | None = None


def order_paths(given: Sequence[Path]) -> list[Path]:
    """The orders to read: those given, else every one in orders/. A shop file among them is no order."""
    paths = given or sorted(Path("orders").glob("*.yaml"))
    once = {path.resolve(): path for path in reversed(paths)}
    return [path for path in paths if path.name != SHOP_NAME and once[path.resolve()] is path]


def check(paths: Sequence[Path]) -> Iterator[Result]:
    """Read and doubt each order; write nothing."""
    shops = _Shops()
    shared = _shared_numbers(paths, shops)
    for path in paths:
        yield _alone(*_checked(path, shops), shared)[0]


def build(paths: Sequence[Path], out: Path) -> Iterator[Result]:
    """Read each order and write its page and its numbers; give what became of each, as it is done.

    Orders that share a number are all refused: their page stays as it was, whoever it belongs to.
    """
    prepare(out)
    _need_secrets(paths, out)
    shops = _Shops()
    shared = _shared_numbers(paths, shops)
    for path in paths:
        result, pair = _alone(*_checked(path, shops), shared)
        if pair is not None:
            owner = other_owner(out / "private", pair.order.number, path, shops.beside(path))
            result = _with_fault(result, _same_number(pair, owner)) if owner else _write(pair, result, out)
        yield result


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
    return _with_fault(result, _same_number(pair, others[0])), None


def _with_fault(result: Result, fault: Fault) -> Result:
    return replace(result, faults=(*result.faults, fault))


class _Shops:
    """Reads each shop file once, however many orders lie beside it."""

    def __init__(self) -> None:
        self._known: dict[Path, Shop] = {}

    def beside(self, order_path: Path) -> Shop:
        folder = order_path.parent
        if folder not in self._known:
            _need_shop_file(folder / SHOP_NAME)
            self._known[folder] = read_shop(folder / SHOP_NAME)
        return self._known[folder]


def _checked(path: Path, shops: _Shops) -> tuple[Result, Pair | None]:
    try:
        _need_order_file(path)
        read = read_order(path, shops.beside(path))
    except OrderError as error:
        return Result(path, None, error.faults, ()), None
    try:
        missed = [eye for eye in eyes_of(read.order) if not holds_point(eye.outline, eye.reference_point)]
        if missed:
            return Result(path, read.order, (_centre_outside(read.order, missed[0]),), read.doubts), None
        pair = work_out(read.order, shops.beside(path))
    except DoesNotReachError as error:
        return Result(path, read.order, (_does_not_reach(read.order, error),), read.doubts), None
    differing = () if read.order.accepted else outside(pair)
    faults = tuple(_outside(pair, one, Fault) for one in differing if one.firm)
    if pair.chosen.thickest_mm > THICKEST_MM:
        faults = (*faults, _too_thick(pair, Fault))
    doubts = (
        *read.doubts,
        *_not_checked(pair),
        *_far_off(pair),
        *(_outside(pair, one, Doubt) for one in differing if not one.firm),
    )
    if THICK_MM < pair.chosen.thickest_mm <= THICKEST_MM:
        doubts = (*doubts, _too_thick(pair, Doubt))
    return Result(path, read.order, faults, doubts), None if faults else pair


def _write(pair: Pair, result: Result, out: Path) -> Result:
    from explain.site.render import render  # the chart library is slow to import; a check does without it

    secret = read_or_make_secret(result.path.parent)
    page = out / "upload" / page_address(secret, pair.order.number) / "index.html"
    html = render(tell(pair))
    write_whole(out / "private" / pair.order.number / "numbers.json", numbers_text(pair))
    record_owner(out / "private", pair.order.number, result.path)
    write_whole(page, html)
    return Result(result.path, result.order, result.faults, result.doubts, page)


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


def _centre_outside(order: Order, eye: Eye) -> Fault:
    across, up = eye.nose_sign * eye.reference_point[0], eye.reference_point[1]
    return Fault(
        file=str(order.path),
        line=0,
        key="prescription.pd",
        message=f"the {eye.side} eye does not look through the {eye.side} lens",
        excerpt="",
        allowed=f"Its centre would lie {across:.1f} mm towards the nose and {up:.1f} mm above the middle of the lens, "
        "outside its outline.",
        advice="Look at pd, heights, size and depth again, or choose another frame.",
    )


def _does_not_reach(order: Order, error: DoesNotReachError) -> Fault:
    return Fault(
        file=str(order.path),
        line=0,
        key="lenses.material",
        message=f"this lens cannot be made in {order.lenses.material} in this frame",
        excerpt="",
        allowed=f"Its curve has a radius of {error.radius_mm:.1f} mm and would have to reach "
        f"{error.distance_mm:.1f} mm out to the corner of the frame.",
        advice="Choose a material with a higher index, a smaller frame, or a flatter or steeper base-curve.",
    )


def _outside(pair: Pair, one: Comparison, kind: type[Kind]) -> Kind:
    what, ordered, measured, allowed, result = comparison_row(one)
    start = "not published: " if kind is Fault else ""
    return kind(
        file=str(pair.order.path),
        line=0,
        key="checked",
        message=f"{start}{what.lower()} is {result}",
        excerpt="",
        allowed=f"Ordered {ordered}, measured {measured}; the {NAMES[one.quantity]} may differ by {allowed}.",
        advice="Measure again, or remake the lens. If the customer keeps the pair, say so in the order, for example:\n"
        "accepted: {by: NAME, why: the reason in words the customer may read}",
    )


def _far_off(pair: Pair) -> Iterator[Doubt]:
    """Doubts about places that no limit covers and that are far from the order, and lenses nobody measured."""
    checked = pair.order.checked
    for one in comparisons(pair):
        if one.allowed is None and one.off_by > FAR_OFF_MM:
            what, ordered, measured, *_ = comparison_row(one)
            yield _about_check(
                pair,
                f"{what.lower()} is {one.off_by:.1f} mm from the order",
                f"Ordered {ordered}, measured {measured}. No limit of its own is set, but this is a lot.",
                "Measure again; if it is right, leave it.",
            )
    for eye in pair.eyes:
        if checked is not None and getattr(checked, eye.side) is None:
            yield _about_check(
                pair,
                f"the check has no power for the {eye.side} lens",
                "The page says that this lens was not measured.",
                f"Add what the lensmeter showed, for example:   {eye.side}: -2.00 -0.75 x 170",
            )


def _not_checked(pair: Pair) -> Iterator[Doubt]:
    """Doubts about what the check left out: ordered prism that nobody measured, a balance lens unlike its twin."""
    checked = pair.order.checked
    if checked is None:
        return
    for eye in pair.eyes:
        if eye.ordered.prisms and not getattr(checked, f"{eye.side}_prisms"):
            yield _about_check(
                pair,
                f"the {eye.side} lens was ordered with prism, but no prism was recorded in the check",
                "Missing prism means double sight, so it is worth a second look.",
                f"Add what the lensmeter showed, for example:   {eye.side}: -2.00 -0.75 x 170 prism 1.5 down",
            )
        measured: SphereCylinder | None = getattr(checked, eye.side)
        if eye.ordered.is_balance and measured is not None:
            apart = abs(spherical_equivalent_dpt(measured) - spherical_equivalent_dpt(eye.made))
            if apart > BALANCE_APART_DPT:
                yield _about_check(
                    pair,
                    f"the balance lens on the {eye.side} is {apart:.2f} dioptres from the average of the other lens",
                    "A balance lens copies the other one in looks and weight.",
                    "Look at the pair again; if this was meant, leave it.",
                )


def _about_check(pair: Pair, message: str, allowed: str, advice: str) -> Doubt:
    return Doubt(
        file=str(pair.order.path),
        line=0,
        key="checked",
        message=message,
        excerpt="",
        allowed=allowed,
        advice=advice,
    )


def _too_thick(pair: Pair, kind: type[Kind]) -> Kind:
    thickest = pair.chosen.thickest_mm
    return kind(
        file=str(pair.order.path),
        line=0,
        key="lenses.material",
        message=f"the {pair.thicker_eye.side} lens comes out {thickest:.1f} mm thick",
        excerpt="",
        allowed=f"Lenses over {THICK_MM:.0f} mm are hardly ever made to fill the whole frame.",
        advice="Look at the prescription and the frame size again, or choose a higher index or a smaller frame.",
    )


def _same_number(pair: Pair, first: Path) -> Fault:
    return Fault(
        file=str(pair.order.path),
        line=0,
        key="order",
        message=f"order number {pair.order.number} is used by {first} as well",
        excerpt="",
        allowed="A page is filed under its number, so one customer's link would show another's page.",
        advice="Give the newer of the two orders a number of its own. Until then neither is published.",
    )
