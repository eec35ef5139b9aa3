"""Spacing: boxes of labels, and moving them apart along a line."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct


class Box(Struct, frozen=True):
    """A level rectangle in units of the drawing, y downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box, gap: float = 0.0) -> bool:
        """Tell whether two boxes come nearer than `gap`."""
        return (
            self.left < other.right + gap
            and other.left < self.right + gap
            and self.top < other.bottom + gap
            and other.top < self.bottom + gap
        )


def spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float, gap: float) -> list[float]:
    """Middles as near as possible to `wanted` (in rising order) with `gap` between neighbours, from low to high.

    Each is pushed along just far enough; when all together are longer than the room they overrun `high`.

    >>> spread([10, 12], [8, 8], 0, 100, 2)
    [10, 20.0]
    """
    middles = list(wanted)
    edge = low
    for i, size in enumerate(sizes):
        middles[i] = max(middles[i], edge + size / 2)
        edge = middles[i] + size / 2 + gap
    edge = high
    for i in reversed(range(len(sizes))):
        if middles[i] + sizes[i] / 2 <= edge:
            break
        middles[i] = edge - sizes[i] / 2
        edge = middles[i] - sizes[i] / 2 - gap
    return middles
