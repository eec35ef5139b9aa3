"""Letters: a small alphabet of our own for sight pictures, on a grid of 5 by 5 with strokes 1 wide.

Each letter is a list of rings of corners, x to the right and y down; a ring inside another is a hole.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import numpy.typing as npt
from msgspec import Struct

Ring = tuple[tuple[float, float], ...]
Ink = npt.NDArray[np.float64]
Counts = npt.NDArray[np.intp]

GRID = 5.0
LETTER_GAP, ROW_GAP = 0.6, 0.6
"""Air between letters and between rows, in heights of a letter (of the taller row)."""

_SAMPLES = 4


def _bar(left: float, top: float, right: float, bottom: float) -> Ring:
    return ((left, top), (right, top), (right, bottom), (left, bottom))


_RING = ((1.5, 0), (3.5, 0), (5, 1.5), (5, 3.5), (3.5, 5), (1.5, 5), (0, 3.5), (0, 1.5))
_HOLE = ((1.9, 1), (3.1, 1), (4, 1.9), (4, 3.1), (3.1, 4), (1.9, 4), (1, 3.1), (1, 1.9))

SHAPES: dict[str, tuple[Ring, ...]] = {
    "C": (
        (
            (1.5, 0),
            (3.5, 0),
            (5, 1.5),
            (5, 1.7),
            (4, 1.9),
            (3.1, 1),
            (1.9, 1),
            (1, 1.9),
            (1, 3.1),
            (1.9, 4),
            (3.1, 4),
            (4, 3.1),
            (5, 3.3),
            (5, 3.5),
            (3.5, 5),
            (1.5, 5),
            (0, 3.5),
            (0, 1.5),
        ),
    ),
    "D": (
        ((0, 0), (3.3, 0), (5, 1.7), (5, 3.3), (3.3, 5), (0, 5)),
        ((1, 1), (2.9, 1), (4, 2.1), (4, 2.9), (2.9, 4), (1, 4)),
    ),
    "E": (((0, 0), (5, 0), (5, 1), (1, 1), (1, 2), (4.4, 2), (4.4, 3), (1, 3), (1, 4), (5, 4), (5, 5), (0, 5)),),
    "F": (((0, 0), (5, 0), (5, 1), (1, 1), (1, 2), (4.2, 2), (4.2, 3), (1, 3), (1, 5), (0, 5)),),
    "H": (((0, 0), (1, 0), (1, 2), (4, 2), (4, 0), (5, 0), (5, 5), (4, 5), (4, 3), (1, 3), (1, 5), (0, 5)),),
    "L": (((0, 0), (1, 0), (1, 4), (5, 4), (5, 5), (0, 5)),),
    "N": (((0, 0), (1.2, 0), (4, 3.4), (4, 0), (5, 0), (5, 5), (3.8, 5), (1, 1.6), (1, 5), (0, 5)),),
    "O": (_RING, _HOLE),
    "P": (
        ((0, 0), (3.7, 0), (5, 1.2), (5, 2.0), (3.7, 3.2), (1, 3.2), (1, 5), (0, 5)),
        ((1, 1), (3.4, 1), (4, 1.5), (4, 1.7), (3.4, 2.2), (1, 2.2)),
    ),
    "T": (((0, 0), (5, 0), (5, 1), (3, 1), (3, 5), (2, 5), (2, 1), (0, 1)),),
    "U": (
        (
            (0, 0),
            (1, 0),
            (1, 3.1),
            (1.9, 4),
            (3.1, 4),
            (4, 3.1),
            (4, 0),
            (5, 0),
            (5, 3.5),
            (3.5, 5),
            (1.5, 5),
            (0, 3.5),
        ),
    ),
    "V": (((0, 0), (1.1, 0), (2.5, 3.7), (3.9, 0), (5, 0), (3.05, 5), (1.95, 5)),),
    "Z": (((0, 0), (5, 0), (5, 1), (1.5, 4), (5, 4), (5, 5), (0, 5), (0, 4), (3.5, 1), (0, 1)),),
}


class Placed(Struct, frozen=True):
    """One letter: its shape, upper left corner and height, in any one unit."""

    rings: tuple[Ring, ...]
    left: float
    top: float
    height: float


def rows_size(rows: tuple[tuple[str, float], ...]) -> tuple[float, float]:
    """Width and height that rows of letters take [in the unit of their heights], without margin."""
    wide = max(height * (len(letters) + LETTER_GAP * (len(letters) - 1)) for letters, height in rows)
    high = sum(height for _, height in rows)
    return wide, high + sum(ROW_GAP * max(a[1], b[1]) for a, b in pairwise(rows))


def placed_rows(rows: tuple[tuple[str, float], ...], middle: float, top: float, scale: float) -> list[Placed]:
    """Place rows of letters below each other, each about `middle`. Raises KeyError for a letter that is not ours."""
    placed = []
    for index, (letters, height) in enumerate(rows):
        size = height * scale
        step = size * (1 + LETTER_GAP)
        left = middle - (step * len(letters) - size * LETTER_GAP) / 2
        placed += [Placed(SHAPES[letter], left + step * i, top, size) for i, letter in enumerate(letters)]
        if index + 1 < len(rows):
            top += size + ROW_GAP * scale * max(height, rows[index + 1][1])
    return placed


def ring_points(letter: Placed) -> list[list[tuple[float, float]]]:
    """Corners of a letter where it is placed."""
    per = letter.height / GRID
    return [[(letter.left + x * per, letter.top + y * per) for x, y in ring] for ring in letter.rings]


def ink_picture(letters: list[Placed], width: int, height: int) -> Ink:
    """Share of each pixel that is covered with ink, 0 to 1, from 4 by 4 samples a pixel.

    Letters are placed in pixels, apart from each other, and must lie inside.
    """
    ink, (top, left) = ink_part(letters)
    picture = np.zeros((height, width))
    picture[top : top + ink.shape[0], left : left + ink.shape[1]] = ink[:, : width - left]
    return picture


def ink_part(letters: list[Placed]) -> tuple[Ink, tuple[int, int]]:
    """The same of the part alone in which letters lie, and row and column of its upper left pixel."""
    rows, crossings = _crossings([ring for letter in letters for ring in ring_points(letter)])
    begins = np.where(np.arange(rows.size) % 2 == 0, 1, -1)  # from left to right ink begins and ends in turn
    pixels, passed = np.divmod(crossings, _SAMPLES)
    rows //= _SAMPLES
    top, left = int(rows.min()), int(pixels.min())
    high, wide = int(rows.max()) - top + 1, int(pixels.max()) - left + 2
    at = (rows - top) * wide + (pixels - left)
    steps = np.bincount(np.append(at, at + 1), np.append(begins * (_SAMPLES - passed), begins * passed), high * wide)
    ink: Ink = steps.reshape(high, wide).cumsum(axis=1)[:, :-1] / _SAMPLES**2
    return ink, (top, left)


def _crossings(rings: list[list[tuple[float, float]]]) -> tuple[Counts, Counts]:
    """Where the sides of rings cross the rows of samples: the row, and the first sample that is right of the crossing.

    Both count samples from the upper left corner of the sheet; in order of rows, and along a row from left to right.
    """
    sides = np.array([a + b for ring in rings for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)])
    low, high = (_first_sample(one(sides[:, 1], sides[:, 3])) for one in (np.minimum, np.maximum))
    met = high - low
    rows = np.arange(met.sum()) + np.repeat(low - (np.cumsum(met) - met), met)
    ax, ay, bx, by = np.repeat(sides, met, axis=0).T
    places = _first_sample(ax + ((rows + 0.5) / _SAMPLES - ay) * (bx - ax) / (by - ay))
    across = places.max() + 1
    return np.divmod(np.sort(rows * across + places), across)


def _first_sample(places: Ink) -> Counts:
    """The first sample that is not left of (above) each place [pixels]."""
    return np.ceil(places * _SAMPLES - 0.5).astype(np.intp)
