"""Spread: a typical range of a quantity, where no single figure would be honest."""

from __future__ import annotations

from msgspec import Struct


class Spread(Struct, frozen=True):
    """A range from low to high, both above 0. The unit stands in the name of whatever holds it."""

    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse a range that falls or that reaches 0."""
        if not 0 < self.low <= self.high:
            raise ValueError(f"a range must be above 0 and rise; this one runs from {self.low} to {self.high}")
