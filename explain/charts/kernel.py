"""Kernel: blurs a picture with a uniform ellipse, the shadow of a round pupil in an eye that is out of focus."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
from msgspec import Struct

Picture = npt.NDArray[np.float64]

_FINE_ROWS = 48


class Ellipse(Struct, frozen=True):
    """Full widths of a blur ellipse [pixels] and direction of the longer one [deg, counter-clockwise from level]."""

    long_px: float
    short_px: float
    direction_deg: float


def blurred(picture: Picture, ellipse: Ellipse) -> Picture:
    """Blur with a uniform ellipse of weight 1; outside the picture all is 0.

    Widths under one pixel count as one, which leaves the picture as it is. Each row of the ellipse costs a few
    differences of a running sum, however long it is; rows without ink cost nothing.
    """
    weights = _end_weights(row_spans(ellipse))
    down = max(abs(row) for row, _ in weights)
    across = max(abs(column) for _, column in weights)
    high, wide = picture.shape
    running = np.cumsum(np.pad(picture, ((0, 0), (across, across))), axis=1)
    total = np.zeros((high + 2 * down, wide))
    for top, bottom in _inked_rows(picture):
        for (row, column), weight in weights.items():
            part = running[top:bottom, across + column : across + column + wide]
            total[down + top - row : down + bottom - row] += weight * part
    return total[down : down + high]


def _inked_rows(picture: Picture) -> list[tuple[int, int]]:
    """First row of each stretch of rows that hold ink, and the first one after it."""
    inked = np.pad(picture.any(axis=1), 1)
    ends = np.flatnonzero(inked[1:] != inked[:-1]).tolist()
    return list(zip(ends[::2], ends[1::2], strict=True))


def _end_weights(spans: list[tuple[int, float, float]]) -> dict[tuple[int, int], float]:
    """Weights of the running sum at places (rows down, columns right) that add up the ellipse, with weight 1.

    The running sum up to x is taken straight between two pixels: ink is spread evenly over its pixel.
    """
    area = sum(right - left for _, left, right in spans)
    weights: dict[tuple[int, int], float] = {}
    for row, left, right in spans:
        for x, sign in ((left, -1 / area), (right, 1 / area)):
            whole = math.floor(x - 0.5)
            share = x - 0.5 - whole
            for column, part in ((whole, 1 - share), (whole + 1, share)):
                weights[row, column] = weights.get((row, column), 0.0) + sign * part
    return weights


def row_spans(ellipse: Ellipse) -> list[tuple[int, float, float]]:
    """Rows of the ellipse: (rows down from the middle, from, to), ends in pixels from the middle of a pixel."""
    a, b = max(ellipse.long_px, 1.0) / 2, max(ellipse.short_px, 1.0) / 2
    c, s = math.cos(math.radians(ellipse.direction_deg)), -math.sin(math.radians(ellipse.direction_deg))
    half_height = math.hypot(a * s, b * c)
    parts = max(1, math.ceil(_FINE_ROWS / (2 * half_height)))
    reach = math.ceil(half_height + 0.5)
    levels = [(row, row + (part + 0.5) / parts - 0.5) for row in range(-reach, reach + 1) for part in range(parts)]
    return [(row, *_span_at(y, a, b, c, s, half_height)) for row, y in levels if abs(y) < half_height]


def _span_at(y: float, a: float, b: float, c: float, s: float, half_height: float) -> tuple[float, float]:
    """Where the level line at y cuts the ellipse with half axes a along (c, s) and b across it."""
    middle = y * c * s * (a * a - b * b) / half_height**2
    half = a * b / half_height * math.sqrt(1 - (y / half_height) ** 2)
    return middle - half, middle + half
