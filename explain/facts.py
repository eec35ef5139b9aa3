"""Facts: the figures someone might correct, read from explain/data once and typed."""

from __future__ import annotations

import pickle
from functools import cache
from pathlib import Path
from typing import Any

import yaml
from msgspec import Struct

from explain.pycache import keep, kept

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_DATA = Path(__file__).with_name("data")


@cache
def data_file(name: str) -> Any:
    """Content of explain/data/NAME.yaml. Treat it as read-only: it is read once a process."""
    path = _DATA / f"{name}.yaml"
    text = path.read_bytes()
    made_from = yaml.__version__.encode() + text
    packed = kept(path, made_from)
    if packed is not None:
        return pickle.loads(packed)  # noqa: S301  just as we wrote it, by its digest
    content = yaml.load(text, Loader=_Loader)  # noqa: S506  a safe loader either way
    keep(path, made_from, pickle.dumps(content))
    return content


class Material(Struct, frozen=True):
    """A lens material. index_at_587_6_nm: how strongly it bends light; abbe_number: how little it spreads colours.

    name: its one name on the page, the same as in its words (data/options.yaml).
    """

    key: str
    name: str
    index_at_587_6_nm: float
    abbe_number: float
    density_g_per_cm3: float
    minimum_centre_mm: float
    minimum_edge_mm: float


@cache
def material(key: str) -> Material:
    """Facts about one material of data/materials.yaml. Raises KeyError for an unknown key."""
    entry = data_file("materials")["materials"][key]
    return Material(
        key=key,
        name=option(key).name,
        index_at_587_6_nm=float(entry["index_at_587_6_nm"]["use"]),
        abbe_number=float(entry["abbe_number"]["use"]),
        density_g_per_cm3=float(entry["density_g_per_cm3"]["use"]),
        minimum_centre_mm=float(entry["minimum_centre_mm"]["use"]),
        minimum_edge_mm=float(entry["minimum_edge_mm"]["use"]),
    )


class Option(Struct, frozen=True):
    """The words for one choice, in the five-part form, from data/options.yaml."""

    key: str
    name: str
    what: str
    reasons_for: tuple[str, ...]
    reasons_against: tuple[str, ...]
    not_worth: str
    evidence: str


@cache
def option(key: str) -> Option:
    """Words about one design, material or add-on. Raises KeyError for an unknown key."""
    groups = data_file("options")
    entry = next(groups[group][key] for group in ("designs", "materials", "add-ons") if key in groups[group])
    return Option(
        key=key,
        name=entry["name"],
        what=entry["what"],
        reasons_for=tuple(entry["for"]),
        reasons_against=tuple(entry["against"]),
        not_worth=entry["not_worth"],
        evidence=entry.get("evidence") or "",
    )


def may_drive_by_day(category: int) -> bool:
    """Tell whether a tint of this category is made for driving by day: 0 to 3 are, 4 is not (data/tints.yaml)."""
    return 0 <= category <= int(data_file("tints")["driving"]["darkest_category"])


def least_at_night_of_100() -> float:
    """Light that a lens must let through for driving at dusk and at night, of every 100 parts (data/tints.yaml)."""
    return float(data_file("tints")["driving"]["least_at_night_of_100"])
