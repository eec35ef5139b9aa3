"""Kernel: blurs a picture with a uniform ellipse, the shadow of a round pupil in an eye that is out of focus."""

from __future__ import annotations

import math
from bisect import bisect_left
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from msgspec import Struct

Picture = npt.NDArray[np.float64]
Part = tuple[slice, slice]
"""Rows and columns of a picture."""

_FINE_ROWS = 48
_QUICK = sorted({2**a * 3**b * 5**c for a in range(14) for b in range(6) for c in range(4)})
"""Lengths that a Fourier transform is quick with: 157 takes ten times as long as 160."""


class Ellipse(Struct, frozen=True):
    """Full widths of a blur ellipse [pixels] and direction of the longer one [deg, counter-clockwise from level]."""

    long_px: float
    short_px: float
    direction_deg: float


class Field(Struct, frozen=True):
    """Waves of ink that lies in the middle of a field, with room for its blur, by Fourier's transform. Not written to.

    ink_at: row and column of the upper left pixel of the ink.
    """

    waves: npt.NDArray[np.complex128]
    size: tuple[int, int]
    ink_at: tuple[int, int]


def field_of(ink: Picture, size: tuple[int, int]) -> Field:
    """Ink in the middle of a field of that size (see `roomy`)."""
    top, left = (size[0] - ink.shape[0]) // 2, (size[1] - ink.shape[1]) // 2
    field = np.zeros(size)
    field[top : top + ink.shape[0], left : left + ink.shape[1]] = ink
    return Field(np.fft.rfft2(field), size, (top, left))


def roomy(shape: tuple[int, ...], ellipse: Ellipse) -> tuple[int, int]:
    """Rows and columns of a field in which ink of that shape stays apart from itself, blurred: of few lengths."""
    high, wide = (_quick(length + 2 * by + 2) for length, by in zip(shape, _reach(ellipse), strict=True))
    return high, wide


def blurred(field: Field, ellipse: Ellipse) -> Picture:
    """Blur with a uniform ellipse of weight 1; outside the ink all is 0.

    Widths under one pixel count as one, which leaves the ink as it is. By Fourier transforms, so that a large
    ellipse takes hardly longer than a small one; off by a few roundings (1e-15) at most.
    """
    waves = np.fft.ifft(field.waves * _spectrum(weights(ellipse), field.size), axis=0)
    return np.fft.irfft(waves, field.size[1])


def _spectrum(kernel: Picture, size: tuple[int, int]) -> Picture:
    """The kernel's Fourier transform over a field of that size, its middle pixel at the corner of the field.

    An ellipse is the same turned half round: the transform is real, and the rows from the middle one down hold it all.
    """
    down, across = kernel.shape[0] // 2, kernel.shape[1] // 2
    half = 2 * kernel[down:]
    half[0] = kernel[down]
    rows_cos, rows_sin = _waves(size[0], size[0], 0, down + 1)
    columns_cos, columns_sin = _waves(size[1], size[1] // 2 + 1, -across, across + 1)
    spectrum: Picture = rows_cos @ (half @ columns_cos.T)
    spectrum -= rows_sin @ (half @ columns_sin.T)
    return spectrum


@lru_cache(maxsize=64)
def _waves(length: int, count: int, first: int, end: int) -> tuple[Picture, Picture]:
    """Cosine and sine of the first `count` waves of a field of so many pixels, a row for each, from `first` to `end`.

    Kept, as fields have few lengths. Not to be written to.
    """
    turns = np.outer(np.arange(count), np.arange(first, end)) * (2 * math.pi / length)
    return np.cos(turns), np.sin(turns)


def inked_part(picture: Picture) -> Part:
    """The smallest part that holds all ink; the uppermost left pixel where there is none."""
    rows, columns = (np.flatnonzero(picture.any(axis=axis)) for axis in (1, 0))
    ends = [(int(one[0]), int(one[-1]) + 1) if one.size else (0, 1) for one in (rows, columns)]
    return slice(*ends[0]), slice(*ends[1])


def reached_part(inked: Part, ellipse: Ellipse, shape: tuple[int, ...]) -> Part:
    """The inked part of a picture of that shape once it is blurred, and a pixel more all round where it has one."""
    rows, columns = (
        slice(max(0, part.start - by - 1), min(size, part.stop + by + 1))
        for part, by, size in zip(inked, _reach(ellipse), shape, strict=True)
    )
    return rows, columns


def weights(ellipse: Ellipse) -> Picture:
    """Share of the ellipse in each pixel round its middle pixel; all together 1. Odd numbers of rows and of columns.

    Along a row, ink is spread evenly over its pixel. Lines end where others, turned half round, start.
    """
    down, across = _reach(ellipse)
    high, wide = 2 * down + 1, 2 * across + 2
    levels, starts, widths = row_spans(ellipse)
    places = starts + (across + 0.5)
    pixels = places.astype(np.intp)
    passed = places - pixels
    at = (np.rint(levels).astype(np.intp) + down) * wide + pixels
    begun = np.bincount(np.append(at, at + 1), np.append(1 - passed, passed), high * wide)
    steps = (begun - begun[::-1]).reshape(high, wide)
    shares: Picture = steps.cumsum(axis=1)[:, :-1] / widths.sum()
    return shares


def row_spans(ellipse: Ellipse) -> tuple[Picture, Picture, Picture]:
    """Level lines across the ellipse, 48 at least: how far down from the middle, from where, how wide [pixels]."""
    a, b, c, s = _axes(ellipse)
    half_height = math.hypot(a * s, b * c)
    parts = max(1, math.ceil(_FINE_ROWS / (2 * half_height)))
    reach = math.ceil(half_height + 0.5)
    levels = (np.arange((2 * reach + 1) * parts) + 0.5) / parts - 0.5 - reach
    levels = levels[np.abs(levels) < half_height]
    middles = levels * (c * s * (a * a - b * b) / half_height**2)
    halves = a * b / half_height * np.sqrt(1 - (levels / half_height) ** 2)
    return levels, middles - halves, 2 * halves


def _reach(ellipse: Ellipse) -> tuple[int, int]:
    """Pixels that the ellipse reaches beyond its middle pixel, down and across."""
    a, b, c, s = _axes(ellipse)
    return math.ceil(math.hypot(a * s, b * c) + 0.5), math.ceil(math.hypot(a * c, b * s) + 0.5)


def _axes(ellipse: Ellipse) -> tuple[float, float, float, float]:
    """Half axes, and the direction of the longer one as a step across and down."""
    turn = math.radians(ellipse.direction_deg)
    return max(ellipse.long_px, 1.0) / 2, max(ellipse.short_px, 1.0) / 2, math.cos(turn), -math.sin(turn)


def _quick(length: int) -> int:
    """The next length that a transform is quick with; the length itself where it is beyond all of them."""
    return _QUICK[bisect_left(_QUICK, length)] if length <= _QUICK[-1] else length
