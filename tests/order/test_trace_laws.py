"""Laws of trace files: any outline comes back, and no file, however broken, gives anything but an OrderError."""

from __future__ import annotations

import json
import math
import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explain.optics.outline import (
    SHAPES,
    box_size_mm,
    mirrored_outline,
    polar_points,
    radii_at_equal_angles_mm,
    recentred,
    shape_outline,
)
from explain.order import OrderError, read_order, read_shop
from explain.order.trace import trace_in
from tests.order.trace_text import hundredths, outline_lines, rows, trace_text

HERE = Path(__file__).parent
REAL = [path.read_bytes() for path in sorted((HERE.parent / "data" / "traces").glob("*_*.txt"))]
shapes = st.builds(
    shape_outline, st.sampled_from(sorted(SHAPES)), st.floats(min_value=40, max_value=62), st.floats(25, 55)
)
PIECES = st.sampled_from([
    *(b"TRCFMT=1;360;E;R;F\n", b"TRCFMT=", b"R=", b"A=", b"HBOX=", b"CIRC=", b"SPH=", b"IPD=63", b"1;8;E;B;P"),
    *(b";", b"?", b"-", b"\n", b"\r", b"\x00", b"\x1c", b"\xff", b'"', b"="),
    *(b"9" * 30, b"1e9", b"nan", b"0", b"2500;" * 12),
])  # fmt: skip


def is_read_or_refused(data):
    """Any other error than OrderError fails the test by itself."""
    try:
        found = trace_in(data, "frame.txt").right
    except OrderError as error:
        found = error.faults

    assert found


@given(shapes, shapes, st.integers(min_value=90, max_value=1500))
def test_any_pair_of_outlines_comes_back_within_a_hundredth(right, other, count):
    left = mirrored_outline(other)

    read = trace_in(trace_text(right, left, {}, count).encode(), "frame.txt")

    for sent, found in ((right, read.right), (left, read.left)):
        radii = radii_at_equal_angles_mm(sent, count)
        exact = recentred(polar_points(radii, [360 * i / count for i in range(count)]))
        assert max(math.dist(a, b) for a, b in zip(exact, found, strict=True)) < 0.01


@given(shapes, st.lists(st.floats(min_value=-0.4, max_value=0.4), min_size=120, max_size=120))
def test_any_listed_angles_place_the_outline(outline, shifts):
    angles = [max(0.0, 3 * i + shift) for i, shift in enumerate(shifts)]
    corners = dict(zip(hundredths(angles), angles, strict=True))
    fine = radii_at_equal_angles_mm(outline, 36_000)
    radii = [fine[at % 36_000] for at in corners]
    lines = [f"TRCFMT=1;{len(radii)};U;R;F", *rows("R", hundredths(radii)), *rows("A", list(corners))]

    read = trace_in("\n".join(lines).encode(), "frame.txt")

    exact = recentred(polar_points(radii, [at / 100 for at in corners]))
    assert max(math.dist(a, b) for a, b in zip(exact, read.right, strict=True)) < 0.01


@given(st.binary(max_size=400))
def test_bytes_without_meaning_are_refused_in_words(data):
    is_read_or_refused(data)


@given(st.lists(PIECES, max_size=60))
def test_records_thrown_together_are_read_or_refused(pieces):
    is_read_or_refused(b"".join(pieces))


@given(st.sampled_from(REAL), st.floats(min_value=0, max_value=1))
def test_a_real_file_cut_off_anywhere_is_read_or_refused(data, share):
    is_read_or_refused(data[: int(share * len(data))])


@settings(max_examples=200)
@given(st.sampled_from(REAL), st.floats(min_value=0, max_value=1), PIECES, st.integers(min_value=0, max_value=40))
def test_a_real_file_with_something_put_in_or_lost_is_read_or_refused(data, share, piece, lost):
    at = int(share * len(data))

    is_read_or_refused(data[:at] + piece + data[at + lost :])


@given(shapes, st.sampled_from(["\n", "\r\n", "\r", "\r\n\n\r"]), st.sampled_from(["utf-8-sig", "utf-16", "utf-16-be"]))
def test_line_ends_and_byte_orders_change_nothing(outline, end, encoding):
    text = "\n".join(outline_lines("R", outline))

    other = trace_in(text.replace("\n", end).encode(encoding), "frame.txt")

    assert other.right == trace_in(text.encode(), "frame.txt").right


@pytest.fixture(scope="module")
def order_file(tmp_path_factory):
    """An order with a trace beside it, in a folder of its own."""
    folder = tmp_path_factory.mktemp("shop")
    (folder / "traces").mkdir()
    (folder / "traces" / "real.txt").write_bytes(REAL[0])
    return folder / "order.yaml"


names = st.lists(
    st.sampled_from(
        ["..", ".", "/", "\\", "traces", "real.txt", "C:", "\x00", "~", "\ud800", " ", "a" * 300, ".txt", "é"]
    ),
    max_size=6,
).map("".join)


@given(names)
def test_whatever_an_order_names_as_its_outline_is_read_or_refused(order_file, name):
    frame = json.dumps({"name": "Sorrel", "size": "52-18", "depth": "38", "outline": name})
    text = (HERE / "plano.yaml").read_text(encoding="utf-8")
    order_file.write_text(f"{text[: text.index('frame:')]}frame: {frame}\n{text[text.index('lenses:') :]}")

    try:
        found = read_order(order_file, read_shop(HERE / "shop.yaml")).order.frame.left_outline
    except OrderError as error:
        found = error.faults

    assert found


def damaged(data, seed):
    """A real file with one thing wrong with it, of the kinds that programs and people make."""
    chance, lines = random.Random(seed), data.split(b"\n")  # noqa: S311  no secret
    at, other = (chance.randrange(len(lines)) for _ in range(2))
    match seed % 9:
        case 0:
            del lines[at]
        case 1:
            lines.insert(at, lines[other])
        case 2:
            lines[at], lines[other] = lines[other], lines[at]
        case 3:
            lines[at] = lines[at][: chance.randrange(len(lines[at]) + 1)]
        case 4:
            lines[at] = lines[at].replace(b";", b";;", 1)
        case 5:
            lines[at] = lines[at].partition(b"=")[0] + b"=?;?"
        case 6:
            lines[at] = lines[at].replace(b"1", b"7", 1)
        case 7:
            lines = [line.lower() + b"\r" for line in [b"\xef\xbb\xbf" + lines[0], *lines[1:]]]
        case 8:
            lines = lines[:at]
    return b"\n".join(lines)


SILENT_MM, DOUBTED_MM = 0.05, 1.0


@pytest.mark.parametrize("seed", range(90))
@pytest.mark.parametrize("data", REAL, ids=["bare", "full order", "pattern"])
def test_a_damaged_file_is_refused_or_doubted_or_still_has_its_boxes(data, seed):
    whole = trace_in(data, "frame.txt")
    try:
        read = trace_in(damaged(data, seed), "frame.txt")
    except OrderError:
        return

    for side in ("right", "left"):
        if read.mirrored != side:
            boxes = zip(box_size_mm(getattr(read, side)), box_size_mm(getattr(whole, side)), strict=True)
            assert max(abs(new - old) for new, old in boxes) <= (DOUBTED_MM if read.doubts else SILENT_MM)
    assert read.doubts or read.mirrored is None
