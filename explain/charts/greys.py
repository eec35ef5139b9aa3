"""Greys: a picture of 16 greys as a PNG file (ISO/IEC 15948), written with the standard library."""

from __future__ import annotations

import base64
import struct
import zlib
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
import numpy.typing as npt

Light = npt.NDArray[np.float64]

_STEPS = 15
_LIKE_ABOVE = 2
"""The filter type Up: letters stand upright, so most of a row is as the row above."""


def screen_value(light: float) -> float:
    """Value of 0 to 255 that makes a screen give light of 0 (black) to 1 (paper): the curve of IEC 61966-2-1."""
    lit = min(max(light, 0.0), 1.0)
    return 255 * (12.92 * lit if lit <= 0.0031308 else 1.055 * lit ** (1 / 2.4) - 0.055)


def light_of(value: float) -> float:
    """Light of 0 to 1 that a screen gives for a value of 0 to 255: the same curve, read the other way."""
    share = value / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def png_bytes(light: Light, sheet: tuple[int, int] | None = None, corner: tuple[int, int] = (0, 0)) -> bytes:
    """Write light of 0 to 1 as a PNG of 4 bits a pixel: 16 greys, evenly on a screen from the darkest to the lightest.

    Each screen value comes out within a thirtieth of that range (and the half that rounding to a whole number takes).
    sheet: rows and columns of the whole picture where the light is only part of it, with its upper left pixel at the
    row and column `corner`; all round it the picture is as light as its lightest pixel.
    """
    darkest, lightest = screen_value(float(light.min())), screen_value(float(light.max()))
    span = max(lightest - darkest, 1.0)
    greys = [darkest + step / _STEPS * span for step in range(_STEPS + 1)]
    high, wide = sheet or light.shape[:2]
    levels = np.full((high, wide + wide % 2), _STEPS, dtype=np.uint8)
    part = levels[corner[0] : corner[0] + light.shape[0], corner[1] : corner[1] + light.shape[1]]
    part[:] = _passed(light, [light_of((darker + lighter) / 2) for darker, lighter in pairwise(greys)])
    palette = b"".join(bytes((min(round(grey), 255),)) * 3 for grey in greys)
    chunks = (
        _chunk(b"IHDR", struct.pack(">IIBBBBB", wide, high, 4, 3, 0, 0, 0)),
        _chunk(b"PLTE", palette),
        _chunk(b"IDAT", _packed(levels)),
        _chunk(b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def data_address(png: bytes) -> str:
    """A PNG as an address that holds the picture itself."""
    return "data:image/png;base64," + base64.b64encode(png).decode("ascii")


def _passed(light: Light, steps: Iterable[float]) -> npt.NDArray[np.uint8]:
    """How many of some steps of light each pixel is above; one table of truths serves all, as bytes of 0 and 1."""
    count, above = np.zeros(light.shape, dtype=np.uint8), np.empty(light.shape, dtype=np.bool_)
    for step in steps:
        np.greater(light, step, out=above)
        count += above.view(np.uint8)
    return count


def _packed(levels: npt.NDArray[np.uint8]) -> bytes:
    """Two pixels a byte; each row as what it differs by from the row above, which is what the 2 before it says."""
    both = levels.view("<u2")  # the left pixel in the lower byte, the right one in the upper
    pairs = (both << 4 | both >> 8).astype(np.uint8)
    rows = np.full((pairs.shape[0], 1 + pairs.shape[1]), _LIKE_ABOVE, dtype=np.uint8)
    rows[0, 1:] = pairs[0]
    np.subtract(pairs[1:], pairs[:-1], out=rows[1:, 1:])
    packing = zlib.compressobj(memLevel=5, strategy=zlib.Z_RLE)  # a tenth of the time of level 8, for 5 % more
    return packing.compress(rows.tobytes()) + packing.flush()


def _chunk(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))
