"""Trace files of our own: any outline written as a tracer would, and the one of the demo order QH-2107."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from explain.optics.boxing import effective_diameter_mm
from explain.optics.outline import (
    Points,
    box_size_mm,
    mirrored_outline,
    perimeter_mm,
    radii_at_equal_angles_mm,
    radii_to_points,
    recentred,
    shape_outline,
)

DEMO = Path(__file__).parent.parent.parent / "orders" / "traces" / "QH-2107.txt"


def hundredths(values: Sequence[float]) -> list[int]:
    """Values as whole hundredths, as the standard writes them."""
    return [round(100 * value) for value in values]


def rows(label: str, values: Sequence[int], each: int = 10) -> list[str]:
    """A list over as many lines as needed."""
    lines = (values[start : start + each] for start in range(0, len(values), each))
    return [f"{label}={';'.join(map(str, line))}" for line in lines]


def outline_lines(side: str, outline: Points, count: int = 360, source: str = "F") -> list[str]:
    """One outline at equal angles: its TRCFMT line and its radii."""
    return [f"TRCFMT=1;{count};E;{side};{source}", *rows("R", hundredths(radii_at_equal_angles_mm(outline, count)))]


def as_sent(outline: Points, count: int = 360) -> Points:
    """The same outline after a tracer has rounded its radii to hundredths, about the middle of its box."""
    radii = hundredths(radii_at_equal_angles_mm(outline, count))
    return recentred(radii_to_points([radius / 100 for radius in radii]))


def sizes(right: Points, left: Points) -> dict[str, str]:
    """The size records that belong to two outlines."""
    both = (as_sent(right), as_sent(left))
    widths, depths = zip(*(box_size_mm(outline) for outline in both), strict=True)
    found = {
        "CIRC": [perimeter_mm(outline) for outline in both],
        "FED": [effective_diameter_mm(outline) for outline in both],
        "HBOX": widths,
        "VBOX": depths,
    }
    return {label: ";".join(f"{value:.2f}" for value in values) for label, values in found.items()}


def trace_text(right: Points, left: Points, records: Mapping[str, str], count: int = 360) -> str:
    """A whole file: records by the alphabet, with the outlines where TRCFMT belongs."""
    lines = {label: [f"{label}={text}"] for label, text in records.items()}
    lines["TRCFMT"] = [*outline_lines("R", right, count), *outline_lines("L", left, count)]
    return "\n".join(line for label in sorted(lines) for line in lines[label]) + "\n"


def demo_text() -> str:
    """The trace of QH-2107: an oval of ours, the left side a little wider and shallower, as real frames are."""
    right = shape_outline("oval", 49.0, 38.0)
    left = mirrored_outline(shape_outline("oval", 49.2, 37.9))
    order = {"JOB": '"QH-2107"', "REQ": "FIL", "DBL": "19.00", "SPH": "-1.00;-4.00", "CYL": "0.00;0.00"}
    fit = {"IPD": "31.00;31.00", "OCHT": "20.00;20.00", "LIND": "1.600;1.600", "ZTILT": "?;?"}
    return trace_text(right, left, order | fit | sizes(right, left))


if __name__ == "__main__":
    DEMO.parent.mkdir(exist_ok=True)
    DEMO.write_text(demo_text(), encoding="ascii")
