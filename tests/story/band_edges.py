"""Orders just below, at and just above each edge of the tolerance tables, with what the sources allow there.

Everything expected comes from standards.yaml, which is written down from the sources and not from explain/data.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

import yaml

TABLES: dict[str, Any] = yaml.safe_load((Path(__file__).parent / "standards.yaml").read_text(encoding="utf-8"))
STEP_DPT = 0.01
BEYOND_THE_LAST_DPT = 1.0
JUST = 0.0001
"""Far below what any lensmeter shows, far above what binary fractions do."""
DESIGNS = {"single vision": ("single-vision",), "progressive": ("progressive",), "bifocal": ("bifocal",)}
ANY = ("single-vision", "bifocal", "progressive")
WITH_ADD = ("progressive", "bifocal")


@dataclass(frozen=True, slots=True)
class Case:
    """One order and what was measured, in two ways: at the limit, and just beyond it.

    allowed: the limit the sources give, None for no limit. confidence: of a limit that was recalled, else empty.
    """

    name: str
    family: str
    quantity: str
    eye: str
    order: dict[str, Any]
    at_limit: tuple[dict[str, Any], ...]
    beyond: tuple[dict[str, Any], ...]
    allowed: float | None
    confidence: str = ""

    @property
    def blocks(self) -> bool:
        """True where a value outside must keep the pair from being published."""
        return self.confidence in ("", "high")


def all_cases() -> list[Case]:
    """Every case of both families."""
    return [case for family in ("us", "iso") for case in _of_family(family)]


def _of_family(family: str) -> Iterator[Case]:
    writers = {"sphere": _sphere, "cylinder": _cylinder, "axis": _axis, "add": _add, "prism": _lens_prism}
    for row in TABLES[family]:
        quantity = row["quantity"]
        if quantity in writers:
            yield from writers[quantity](family, row)
        elif "bands" in row:
            yield from _pair_prism(family, row)
        else:
            yield from _place(family, row)
    if family == "iso":
        yield from _iso_cylinders()
        yield from _iso_prisms()


def round_edges(bands: list[list[Any]]) -> Iterator[tuple[float, Any]]:
    """Values just below, at and just above each edge, and one in the last band, each with its band's limit."""
    last = 0.0
    for (edge, limit), (_, following) in pairwise(bands):
        yield from ((round(edge - STEP_DPT, 3), limit), (edge, limit), (round(edge + STEP_DPT, 3), following))
        last = edge
    yield last + BEYOND_THE_LAST_DPT, bands[-1][1]


def limit_of(printed: Any, number: float) -> float:
    """A printed limit as a number: "2 %" is of the number, "1.0 mm" the prism of that shift at that power."""
    if isinstance(printed, str) and printed.endswith("%"):
        return float(printed.removesuffix("%")) * number / 100
    if isinstance(printed, str) and printed.endswith("mm"):
        return float(printed.removesuffix("mm")) * number / 10
    return float(printed)


def designs_of(lens: str) -> tuple[str, ...]:
    """The designs a row is for: the single vision rows hold for lined bifocals too."""
    if lens == "any":
        return ANY
    return ("single-vision", "bifocal") if lens == "single vision" else DESIGNS[lens]


def _basis(design: str, **prescription: Any) -> dict[str, Any]:
    near = {"add": "2.00", "heights": "20 / 20"} if design in WITH_ADD else {}
    material = "high-index-1.67"
    return {"lenses": {"design": design, "material": material}, "prescription": near | prescription}


def _sphere(family: str, row: dict[str, Any]) -> Iterator[Case]:
    for design in designs_of(row["lens"]):
        for power, printed in round_edges(row["bands"]):
            for sign in (-1, 1):
                allowed, name = limit_of(printed, power), f"sphere {sign * power:+.2f} {design}"
                order = _basis(design, right=f"{sign * power:+.3f} DS")
                at, beyond = _both_ways(sign * power, allowed, "{:+.6f} DS")
                yield _case(name, family, row, "right", order, at, beyond, allowed)


def _both_ways(value: float, allowed: float, form: str, key: str = "right") -> tuple[tuple[dict[str, str], ...], ...]:
    """What was measured at the limit and just beyond it, above and below the ordered value."""
    at = tuple({key: form.format(value + way * allowed)} for way in (-1, 1))
    beyond = tuple({key: form.format(value + way * (allowed + JUST))} for way in (-1, 1))
    return at, beyond


def _cylinder(family: str, row: dict[str, Any]) -> Iterator[Case]:
    for design in designs_of(row["lens"]):
        for cylinder, printed in round_edges(row["bands"]):
            yield _one_cylinder(family, row, design, cylinder, cylinder, limit_of(printed, cylinder))


def _one_cylinder(family: str, row: dict[str, Any], design: str, power: float, cylinder: float, allowed: float) -> Case:
    """A minus cylinder whose stronger meridian has the power: sphere cylinder - power, other meridian -power."""
    sphere = cylinder - power
    order = _basis(design, right=f"{sphere:+.3f} -{cylinder:.3f} x 90")
    at, beyond = _both_ways(-cylinder, allowed, f"{sphere:+.3f} {{:+.6f}} x 90")
    name = f"cylinder {cylinder:.2f} power {power:.2f} {design}"
    return _case(name, family, row, "right", order, at, beyond, allowed)


def _axis(family: str, row: dict[str, Any]) -> Iterator[Case]:
    nothing_below = row.get("none_below")
    edges = list(round_edges(row["bands"]))
    if nothing_below:
        edges += [(nothing_below - STEP_DPT, None), (nothing_below, row["bands"][0][1])]
    for design in designs_of(row["lens"]):
        for cylinder, allowed in edges:
            for axis in (90, 2, 179):  # near 180 the turn runs across the end of the scale
                order = _basis(design, right=f"-1.00 -{cylinder:.2f} x {axis}")
                turn = 90 if allowed is None else allowed
                at = _turned(cylinder, axis, turn)
                beyond = () if allowed is None else _turned(cylinder, axis, turn + 0.5)
                yield _case(
                    f"axis {axis} cylinder {cylinder:.2f} {design}", family, row, "right", order, at, beyond, allowed
                )


def _turned(cylinder: float, axis: float, turn: float) -> tuple[dict[str, str], ...]:
    return tuple({"right": f"-1.00 -{cylinder:.2f} x {(axis + way * turn) % 180 or 180:g}"} for way in (-1, 1))


def _add(family: str, row: dict[str, Any]) -> Iterator[Case]:
    for design in WITH_ADD:
        for add, allowed in round_edges(row["bands"]):
            order = _basis(design, add=f"{add:.2f}", right="-1.00 DS")
            at, beyond = _both_ways(add, allowed, "{:.6f}", "add")
            yield _case(f"add {add:.2f} {design}", family, row, "right", order, at, beyond, allowed)


def _lens_prism(family: str, row: dict[str, Any]) -> Iterator[Case]:
    """Prism of one lens: the larger of an amount and of what a shift makes, met on both sides of where they meet."""
    meet = row["meet_at"]
    for power in (meet - 1, meet - STEP_DPT, meet, meet + STEP_DPT, meet + 3):
        allowed = max(limit_of(printed, power) for printed in row["larger_of"])
        order = _basis("single-vision", right=f"-{power:.3f} DS prism 2.00 up")
        at, beyond = _both_ways(2.0, allowed, f"-{power:.3f} DS prism {{:.6f}} up")
        yield _case(f"prism power {power:.2f}", family, row, "right", order, at, beyond, allowed)


def _pair_prism(family: str, row: dict[str, Any]) -> Iterator[Case]:
    """Unwanted prism of the pair, by the shift of one lens that makes it."""
    sideways = row["quantity"] == "prism sideways"
    key, value = ("pd", 31) if sideways else ("heights", 20)
    designs = ("single-vision",) if row["lens"] == "single vision" else ("progressive",)
    for design in designs:
        for power, printed in round_edges(row["bands"]):
            if printed == "each lens":
                continue
            allowed = limit_of(printed, power)
            order = _basis(design, right=f"-{power:.3f} DS", left=f"-{power:.3f} DS", heights="20 / 20")
            shifts = [10 * amount / power for amount in (allowed, allowed + JUST)]
            at, beyond = ({key: f"{value + shift:.7f} / {value}"} for shift in (shifts[0] - 1e-6, shifts[1]))
            yield _case(
                f"{row['quantity']} power {power:.2f} {design}", family, row, "both", order, (at,), (beyond,), allowed
            )


def _place(family: str, row: dict[str, Any]) -> Iterator[Case]:
    """A place in millimetres, which has one limit for all powers."""
    design, quantity, limit = row["lens"], row["quantity"], row["limit"]
    key, value = ("pd", 31) if quantity == "pd" else ("heights", 20)
    order = _basis(design, right="-1.00 DS", left="-1.00 DS")
    pairs = [[(limit + extra, 0), (-limit - extra, 0)] for extra in (0, JUST)]
    if quantity == "height difference":
        pairs = [[((limit + extra) / 2, -(limit + extra) / 2)] for extra in (0, JUST)]
    at, beyond = (tuple({key: f"{value + r:.6f} / {value + left:.6f}"} for r, left in pair) for pair in pairs)
    eye = "both" if quantity == "height difference" else "right"
    yield _case(f"{quantity} {design}", family, row, eye, order, at, beyond, limit)


def _iso_cylinders() -> Iterator[Case]:
    row = {"quantity": "cylinder", "recalled": "medium"}
    columns = TABLES["iso_cylinder"]["columns"]
    for lens in ("single vision", "progressive"):
        table = TABLES["iso_cylinder"][lens]
        by_power = [[edge, limits] for edge, *limits in table]
        for power, limits in round_edges(by_power):
            bands = [[edge, limit] for edge, limit in zip(columns, limits, strict=True)]
            for cylinder, allowed in round_edges(bands):
                if cylinder <= 2 * power:  # no lens has a cylinder beyond twice its stronger meridian
                    yield _one_cylinder("iso", row, designs_of(lens)[-1], power, cylinder, allowed)


def _iso_prisms() -> Iterator[Case]:
    """Prism ordered half in each lens, base in or up and down, measured on the lensmeter; weak and strong lenses."""
    for quantity in ("prism sideways", "prism up and down"):
        rows = TABLES["iso_prism"][quantity]
        for power in (1.0, 8.0):
            bands = [[edge, max(limit_of(amount, power), limit_of(shift, power))] for edge, amount, shift in rows]
            for prism, allowed in round_edges(bands):
                yield _iso_prism(quantity, power, prism, allowed)


def _iso_prism(quantity: str, power: float, prism: float, allowed: float) -> Case:
    bases = ("in", "in") if quantity == "prism sideways" else ("up", "down")
    right, left = (f"-{power:.2f} DS prism {prism / 2:.6f} {base}" for base in bases)
    order = _basis("single-vision", right=right, left=left)
    at, beyond = (
        {"right": f"-{power:.2f} DS prism {prism / 2 + more:.6f} {bases[0]}", "left": left}
        for more in (allowed, allowed + JUST)
    )
    row = {"quantity": quantity, "recalled": "medium"}
    return _case(f"{quantity} {prism:.2f} power {power:.2f}", "iso", row, "both", order, (at,), (beyond,), allowed)


def _case(
    name: str, family: str, row: dict[str, Any], eye: str, order: dict[str, Any], at: Any, beyond: Any, allowed: Any
) -> Case:
    return Case(f"{family} {name}", family, row["quantity"], eye, order, at, beyond, allowed, row.get("recalled", ""))
