"""Whole orders and shops: coherent ones with what they should be read to, and loose ones with every key there is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from hypothesis import strategies as st

from explain.optics.power import SphereCylinder
from explain.order.keys import ADD_ONS, DESIGNS, MATERIALS, ORDER_KEYS, OUTLINES, SHOP_KEYS, KeyTable
from tests.fuzz.forms import WILD, amount, likely, near, pair_of_mm, power_line
from tests.fuzz.written import yaml_text

WITH_ADD = ("progressive", "bifocal", "reading")
WITH_HEIGHT = ("progressive", "bifocal")
NAMED_BY_THE_SHOP = {"taxes": "sales-tax", "csv.columns": "Sph R"}


@dataclass(frozen=True)
class Meant:
    """What the optician meant, however it is typed."""

    right: SphereCylinder
    left: SphereCylinder
    pd_mm: tuple[float, float]
    add_dpt: float | None
    total_cents: int


@dataclass(frozen=True)
class TypedOrder:
    """The text of an order file, and what was meant by it."""

    text: str
    meant: Meant


quarters = st.one_of(st.integers(-12, 12), st.integers(-32, 24), st.integers(-80, 60)).map(lambda steps: steps / 4)
cylinders = st.one_of(st.just(0.0), st.integers(-12, 12).map(lambda steps: steps / 4))
halves = st.integers(54, 70).map(lambda steps: steps / 2)


@st.composite
def typed_orders(draw: st.DrawFn) -> TypedOrder:
    """A coherent order: most can be made, and each says one thing only."""
    design = draw(st.sampled_from(DESIGNS))
    sides = ("right", "left")
    power = {side: (0.0, 0.0, 180) if design == "plano" else _power(draw) for side in sides}
    lines = {side: draw(power_line(*power[side])) for side in sides}
    pd = (draw(halves), draw(halves))
    add = draw(st.integers(3, 14)) / 4 if design in WITH_ADD else None
    depth = draw(st.integers(28, 46))
    prescription: dict[str, Any] = {**lines, "pd": draw(pair_of_mm(*pd))}
    if add:
        prescription["add"] = draw(st.sampled_from((f"{add:.2f}", f"+{add:.2f}", f"{add:g}")))
    if design in WITH_HEIGHT:
        prescription["heights"] = f"{depth - draw(st.integers(12, 16))}"
    if design != "plano" and draw(st.integers(0, 3)) == 0:
        side = draw(st.sampled_from(sides))
        if isinstance(lines[side], str):
            prism = f"{draw(st.integers(1, 12)) / 4:g} {draw(st.sampled_from(('up', 'down', 'in', 'out')))}"
            prescription[side] = f"{lines[side]} prism {prism}"
    bill, cents = _bill(draw)
    order: dict[str, Any] = {
        "order": "F-0001",
        "date": "2026-10-02",
        "for": draw(st.sampled_from(("Odile", "Zoë", "Jean-Luc", "D'Arcy", "李", "No"))),
        "prescription": prescription,
        "frame": {
            "name": "Rowan",
            "size": f"{draw(st.integers(42, 60))}-{draw(st.integers(14, 22))}-140",
            "depth": draw(st.sampled_from((f"{depth}", f"{depth} mm"))),
            "outline": draw(st.sampled_from(OUTLINES)),
        },
        "lenses": _lenses(draw, design),
        **bill,
    }
    for name in ("use", "wearer", "language", "sent", "previous"):
        if draw(st.integers(0, 4)) == 0:
            order[name] = "none" if name == "previous" else draw(likely(ORDER_KEYS[name]))
    meant = Meant(*(SphereCylinder(*power[side][:2], float(power[side][2])) for side in sides), pd, add, cents)
    return TypedOrder(draw(yaml_text(_in_any_order(draw, order))), meant)


def _power(draw: st.DrawFn) -> tuple[float, float, int]:
    return draw(quarters), draw(cylinders), draw(st.integers(1, 180))


def _lenses(draw: st.DrawFn, design: str) -> dict[str, Any]:
    add_ons = draw(st.lists(st.sampled_from(ADD_ONS), unique=True, max_size=3))
    lenses: dict[str, Any] = {"design": design, "material": draw(st.sampled_from(MATERIALS)), "add-ons": add_ons}
    if {"sun-tint", "polarised"} & set(add_ons):
        lenses["tint"] = {"colour": "grey", "category": draw(st.sampled_from("0123"))}
    for name in ("base-curve", "vertex", "blank"):
        if draw(st.integers(0, 7)) == 0:
            lenses[name] = draw(likely(ORDER_KEYS[f"lenses.{name}"]))
    return lenses


def _bill(draw: st.DrawFn) -> tuple[dict[str, Any], int]:
    amounts = draw(st.lists(st.integers(0, 60_000), min_size=1, max_size=4))
    lines = [{"item": f"Line {at}", "amount": draw(amount(cents))} for at, cents in enumerate(amounts)]
    total = sum(amounts)
    bill: dict[str, Any] = {"price": lines}
    if draw(st.booleans()):
        bill["total"] = draw(amount(total))
    if draw(st.booleans()):
        bill["paid"] = draw(amount(draw(st.integers(0, total))))
    return bill, total


def _in_any_order(draw: st.DrawFn, group: dict[str, Any]) -> dict[str, Any]:
    return {name: group[name] for name in draw(st.permutations(list(group)))} if draw(st.booleans()) else group


@st.composite
def loose_files(draw: st.DrawFn, table: KeyTable) -> str:
    """A file with any keys of its table: each allowed, nearly allowed or wild, here and there in the wrong place."""
    content = _loose_group(draw, table, "")
    if draw(st.integers(0, 9)) == 0:
        content[draw(st.sampled_from([key.name for key in table.keys]))] = draw(WILD)
    return draw(yaml_text(content, careful=draw(st.integers(0, 3)) > 0))


def _loose_group(draw: st.DrawFn, table: KeyTable, group: str) -> dict[str, Any]:
    content: dict[str, Any] = {}
    for key in table.under(group):
        if not key.required and draw(st.integers(0, 2)) == 0:
            continue
        choice = draw(st.integers(0, 19))
        parts = _parts(table, key.path)
        if choice == 0:
            content[key.name] = draw(WILD)
        elif choice <= 2:
            content[key.name] = draw(near(key))
        elif parts and draw(st.booleans()):
            inner = _loose_group(draw, table, parts)
            content[key.name] = _as_listed(draw, key.path, parts, inner)
        else:
            content[key.name] = draw(likely(key))
    return content


def _parts(table: KeyTable, path: str) -> str:
    """The group of names inside a key, where it has any."""
    for group in (path, f"{path}[]", f"{path}.*"):
        if any(key.group == group for key in table.keys):
            return group
    return ""


def _as_listed(draw: st.DrawFn, path: str, parts: str, inner: dict[str, Any]) -> Any:
    if parts.endswith("[]"):
        return [inner] * draw(st.integers(1, 2))
    if parts.endswith(".*") or path in NAMED_BY_THE_SHOP:
        return {NAMED_BY_THE_SHOP.get(path, "a-name"): inner or "prescription.right.sphere"}
    return inner


loose_orders = loose_files(ORDER_KEYS)
loose_shops = loose_files(SHOP_KEYS)
