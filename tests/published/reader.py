"""Worked examples of others, read from the files beside this one: one file a quantity."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from explain.optics.power import SphereCylinder

FOLDER = Path(__file__).parent


def section(quantity: str, name: str) -> list[dict[str, Any]]:
    """Entries of one section (examples, tables, misprints, ours) of a quantity's file."""
    text = (FOLDER / f"{quantity}.yaml").read_text(encoding="utf-8")
    return yaml.safe_load(text)[name]


def examples(quantity: str) -> list[Any]:
    """Printed examples of a quantity, each named by its id."""
    return _named(section(quantity, "examples"))


def misprints(quantity: str) -> list[Any]:
    """Printed answers that are wrong, with the right one."""
    return _named(section(quantity, "misprints"))


def ours(quantity: str) -> list[Any]:
    """Answers worked out by a separate program, where nothing printed was found."""
    return _named(section(quantity, "ours"))


def lens(given: dict[str, float]) -> SphereCylinder:
    """Power written as sphere_dpt, cylinder_dpt and axis_deg, or as power_dpt alone."""
    sphere = given["sphere_dpt"] if "sphere_dpt" in given else given["power_dpt"]
    return SphereCylinder(sphere, given.get("cylinder_dpt", 0.0), given.get("axis_deg", 180.0))


def _named(entries: list[dict[str, Any]]) -> list[Any]:
    return [pytest.param(entry, id=entry["id"]) for entry in entries]
