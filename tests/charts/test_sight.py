"""The sight chart: the blur ellipse, the picture file, and the letters at their angular size."""

import base64
import io
import math
import re
import struct
import zlib

import numpy as np
import pytest
from matplotlib.image import imread

from explain.charts import draw
from explain.charts.greys import light_of, png_bytes, screen_value
from explain.charts.kernel import Ellipse, blurred, field_of, roomy
from explain.charts.letters import LETTER_GAP, SHAPES, Placed, ink_picture
from explain.charts.sight import units_per_arcmin
from tests.charts.reading import shapes
from tests.charts.samples import CHART_ROWS, DRAWINGS, sight

SIGHTS = {name: drawing for name, drawing in DRAWINGS.items() if name.startswith("sight")}
AROUND_PIXELS = 8 + 3 * 12 + 13 + 48 + 12
"""Bytes of such a file without its pixels: its sign, four chunks with the head and 16 greys in them."""
every_sight = pytest.mark.parametrize("drawing", SIGHTS.values(), ids=SIGHTS.keys())


def spot(ellipse, side=161):
    """The blur of one inked pixel in the middle."""
    picture = np.zeros((side, side))
    picture[side // 2, side // 2] = 1.0
    return blurred_alone(picture, ellipse)


def blurred_alone(picture, ellipse):
    """A picture as it is blurred, without what runs off its sides."""
    field = field_of(picture, roomy(picture.shape, ellipse))
    top, left = field.ink_at
    return blurred(field, ellipse)[top : top + picture.shape[0], left : left + picture.shape[1]]


def measured(picture):
    """Full widths and direction of an ellipse with the same second moments: a uniform one has variance (width/4)^2."""
    rows, columns = np.mgrid[: picture.shape[0], : picture.shape[1]]
    x, y = columns - (picture * columns).sum(), (picture * rows).sum() - rows
    moments = [[(picture * a * b).sum() for a in (x, y)] for b in (x, y)]
    spread, axes = np.linalg.eigh(moments)
    direction = math.degrees(math.atan2(axes[1, 1], axes[0, 1])) % 180
    return 4 * math.sqrt(spread[1]), 4 * math.sqrt(spread[0]), direction


@pytest.mark.parametrize("direction", [0, 30, 75, 90, 135, 170])
@pytest.mark.parametrize(("long", "short"), [(8, 5), (30, 6), (20.5, 13.2), (90, 60)])
def test_blur_is_the_ellipse_asked_for(long, short, direction):
    found = measured(spot(Ellipse(long, short, direction)))
    assert found[:2] == pytest.approx((long, short), rel=0.05)
    assert abs((found[2] - direction + 90) % 180 - 90) < 2


@pytest.mark.parametrize("ellipse", [Ellipse(0, 0, 0), Ellipse(7, 2, 33), Ellipse(120, 80, 10)])
def test_blur_keeps_all_ink_and_makes_none_below_zero(ellipse):
    blot = spot(ellipse)
    assert blot.sum() == pytest.approx(1)
    assert blot.min() >= -1e-12


def test_blur_is_uniform_inside_and_nothing_outside():
    blot = spot(Ellipse(40, 24, 0))
    assert blot[80, 62:98] == pytest.approx(1 / (math.pi * 20 * 12), rel=0.02)
    assert blot[80, 102:] == pytest.approx(0, abs=1e-12)


def test_no_blur_leaves_the_picture_as_it_is():
    picture = np.random.default_rng(1).random((20, 30))
    assert blurred_alone(picture, Ellipse(0, 0, 0)) == pytest.approx(picture, abs=0.13)
    assert blurred_alone(np.ones((9, 9)), Ellipse(0, 0, 0)) == pytest.approx(1)


def test_mean_grey_is_kept_where_nothing_runs_off_the_sheet():
    picture = np.zeros((120, 120))
    picture[40:80, 50:70] = 1.0
    assert blurred_alone(picture, Ellipse(50, 30, 20)).mean() == pytest.approx(picture.mean())


def by_hand(png):
    """Rows of values of a 4-bit palette PNG whose rows are stored as what they differ by from the row above."""
    assert png.startswith(b"\x89PNG\r\n\x1a\n")
    chunks, at = {}, 8
    while at < len(png):
        (length,) = struct.unpack(">I", png[at : at + 4])
        name, body = png[at + 4 : at + 8], png[at + 8 : at + 8 + length]
        assert struct.unpack(">I", png[at + 8 + length : at + 12 + length])[0] == zlib.crc32(name + body)
        chunks[name], at = body, at + 12 + length
    wide, high = struct.unpack(">II", chunks[b"IHDR"][:8])
    rows = np.frombuffer(zlib.decompress(chunks[b"IDAT"]), np.uint8).reshape(high, -1)
    assert (rows[:, 0] == 2).all()
    pairs = np.cumsum(rows[:, 1:], axis=0, dtype=np.uint8)
    levels = np.stack([pairs >> 4, pairs & 15], axis=2).reshape(high, -1)[:, :wide]
    return np.frombuffer(chunks[b"PLTE"], np.uint8)[::3][levels]


@pytest.mark.parametrize("width", [1, 6, 7])
def test_picture_file_holds_the_values(width):
    values = np.linspace(30, 250, 5 * width).reshape(5, width)
    png = png_bytes(lit(values))
    assert by_hand(png) == pytest.approx(values, abs=(values.max() - values.min()) / 30 + 0.6)
    assert imread(io.BytesIO(png), format="png")[..., 0] * 255 == pytest.approx(by_hand(png), abs=0.01)


def test_pictures_of_round_blur_are_hardly_larger_than_the_slowest_packing_of_plain_rows_makes_them():
    pictures = [base64.b64decode(one) for one in re.findall(r"base64,([^\"]+)", draw(DRAWINGS["sight"], "a"))]
    slowest = sum(AROUND_PIXELS + len(packed_as_it_is(by_hand(png))) for png in pictures)

    assert sum(map(len, pictures)) < 1.02 * slowest


def packed_as_it_is(values):
    """The pixels of a picture, two a byte, each row as it is, packed as small as can be."""
    levels = np.unique(values, return_inverse=True)[1].reshape(values.shape).astype(np.uint8)
    even = np.pad(levels, ((0, 0), (0, levels.shape[1] % 2)))
    return zlib.compress(np.pad((even[:, 0::2] << 4) | even[:, 1::2], ((0, 0), (1, 0))).tobytes(), 9)


def test_one_grey_everywhere_is_written():
    assert by_hand(png_bytes(lit(np.full((3, 3), 251.2)))) == pytest.approx(251.2, abs=0.5)


def test_round_a_part_the_picture_is_as_light_as_its_lightest_pixel():
    part = lit(np.array([[10.0, 240.0, 90.0], [200.0, 30.0, 120.0]]))

    whole = by_hand(png_bytes(part, (4, 7), (1, 3)))

    assert (whole[1:3, 3:6] == by_hand(png_bytes(part))).all()
    whole[1:3, 3:6] = 240
    assert (whole == 240).all()


def test_screen_values_follow_the_standard():
    lights = [0.0, 0.0031308, 0.2140, 0.5, 1.0]
    values = [screen_value(light) for light in lights]
    assert values == pytest.approx([0, 10.31, 127.5, 187.5, 255], abs=0.1)
    assert [light_of(value) for value in values] == pytest.approx(lights, abs=1e-7)


def lit(values):
    """Light of a whole picture of screen values."""
    return np.vectorize(light_of)(values)


@every_sight
def test_pictures_are_small_and_can_be_read(drawing):
    found = re.findall(r'href="data:image/png;base64,([^"]+)"', draw(drawing, "a"))
    assert len(found) == len(drawing.pictures)
    for text in found:
        png = base64.b64decode(text)
        assert len(png) <= 15_000
        assert imread(io.BytesIO(png), format="png").ndim == 3


def test_letters_have_their_angular_size_in_the_sharp_picture():
    drawing = DRAWINGS["sight"]
    scale = units_per_arcmin(drawing)
    rings = shapes(draw(drawing, "a"), "letters")[0].pieces
    letters, at = [], 0
    for letter in "".join(text for text, _ in CHART_ROWS):
        letters.append(rings[at])
        at += len(SHAPES[letter])
    expected = [height for text, height in CHART_ROWS for _ in text]
    tall = [(max(y for _, y in ring) - min(y for _, y in ring)) / scale for ring in letters]
    assert tall == pytest.approx(expected, abs=0.2)


def test_both_pictures_have_one_scale_set_by_the_tallest_row():
    drawing = sight((1.0, 1.0, 0.0), rows=(("E", 100.0), ("F", 10.0)))
    assert units_per_arcmin(drawing) == pytest.approx(0.48)


def test_a_wide_row_fits_into_the_picture():
    drawing = sight((1.0, 1.0, 0.0), rows=(("EFEFEFEFEF", 50.0),))
    assert units_per_arcmin(drawing) * 50 * (10 + 9 * LETTER_GAP) <= 350


def test_weak_blur_leaves_large_letters_and_strong_blur_leaves_haze():
    darkest = []
    for width in (1.0, 15.0, 100.0, 600.0):
        text = re.search(r'base64,([^"]+)"', draw(sight((width, width, 0.0)), "a")).group(1)
        darkest.append(int(by_hand(base64.b64decode(text)).min()))
    assert darkest == sorted(darkest)
    assert darkest[0] < 10
    assert darkest[-1] > 240


@pytest.mark.parametrize("letter", sorted(SHAPES))
def test_each_letter_fills_its_square_and_differs_from_all_others(letter):
    pictures = {name: ink_picture([Placed(rings, 0.0, 0.0, 50.0)], 50, 50) for name, rings in SHAPES.items()}
    own = pictures.pop(letter)
    assert own.any(axis=1).all()
    assert own.any(axis=0)[[1, -2]].all()
    assert min(np.abs(own - other).mean() for other in pictures.values()) > 0.05


def test_ink_is_the_area_of_the_letter():
    assert ink_picture([Placed(SHAPES["L"], 3.3, 2.7, 10.0)], 20, 20).sum() == pytest.approx(9 * 4, rel=0.02)
