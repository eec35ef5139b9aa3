"""Trace files: real ones give the boxes they state, and every way of writing one down is read or refused in words."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from explain.optics.outline import box_size_mm, mirrored_outline, shape_outline
from explain.order import OrderError
from explain.order.trace import read_trace, trace_in
from tests.order.trace_text import as_sent, hundredths, outline_lines, rows

REAL = Path(__file__).parent.parent / "data" / "traces"
FULL, BARE, PATTERN = (REAL / f"{name}.txt" for name in ("frame_360_full_order", "frame_360_bare", "pattern_1000"))
RIGHT = shape_outline("rounded", 52, 38)
LEFT = mirrored_outline(shape_outline("rounded", 52.3, 38.1))
LINES = [*outline_lines("R", RIGHT), *outline_lines("L", LEFT)]


def trace(*lines, end="\n"):
    return trace_in(end.join(lines).encode(), "frame.txt")


def faults(*lines):
    with pytest.raises(OrderError) as caught:
        trace(*lines)
    return [(fault.line, fault.message) for fault in caught.value.faults]


def doubts(read):
    return [(doubt.line, doubt.message) for doubt in read.doubts]


def farthest(one, other):
    return max(math.dist(a, b) for a, b in zip(one, other, strict=True))


def low_nose(outline, nose):
    """Reach of an outline half-way down on its nose side."""
    return min(outline, key=lambda point: abs(math.atan2(point[1], nose * point[0]) + math.pi / 4))


@pytest.mark.parametrize(
    ("path", "box"),
    [(FULL, (51.00, 44.01)), (BARE, (55.00, 38.01)), (PATTERN, (51.00, 40.08))],
    ids=lambda value: value.stem if isinstance(value, Path) else "",
)
def test_both_boxes_of_a_real_file_come_out_within_two_hundredths(path, box):
    read = read_trace(path)

    assert box_size_mm(read.right) == pytest.approx(box, abs=0.02)
    assert box_size_mm(read.left) == pytest.approx(box, abs=0.02)


@pytest.mark.parametrize("path", [FULL, BARE, PATTERN], ids=lambda path: path.stem)
def test_a_real_outline_is_about_its_box_centre_and_slopes_away_low_beside_the_nose(path):
    read = read_trace(path)

    for outline, nose in ((read.right, 1), (read.left, -1)):
        xs, ys = zip(*outline, strict=True)
        assert (max(xs) + min(xs), max(ys) + min(ys)) == pytest.approx((0, 0), abs=1e-9)
        temple = math.hypot(*low_nose(outline, -nose))
        assert math.hypot(*low_nose(outline, nose)) < temple - 0.5


@pytest.mark.parametrize("path", [FULL, BARE, PATTERN], ids=lambda path: path.stem)
def test_a_real_file_leaves_nothing_to_doubt(path):
    assert read_trace(path).doubts == ()


def test_a_pattern_is_said_to_be_one_and_a_frame_is_not():
    assert "frame maker's pattern" in read_trace(PATTERN).notes[0]
    assert read_trace(FULL).notes == ()


@pytest.mark.parametrize("count", [180, 360, 512, 800, 1000, 1440])
def test_an_outline_comes_back_as_it_was_sent(count):
    read = trace(*outline_lines("R", RIGHT, count), *outline_lines("L", LEFT, count))

    assert farthest(read.right, as_sent(RIGHT, count)) < 1e-9
    assert farthest(read.left, as_sent(LEFT, count)) < 1e-9
    assert box_size_mm(read.left) == pytest.approx((52.3, 38.1), abs=0.02)


def test_the_sides_may_differ():
    read = trace(*LINES)

    assert box_size_mm(read.left)[0] - box_size_mm(read.right)[0] == pytest.approx(0.3, abs=0.02)
    assert (read.mirrored, read.doubts, read.notes) == (None, (), ())


@pytest.mark.parametrize(("side", "missing"), [("R", "left"), ("L", "right")])
def test_a_missing_side_mirrors_the_other_and_both_optician_and_customer_are_told(side, missing):
    read = trace(*outline_lines(side, RIGHT if side == "R" else LEFT))

    assert read.mirrored == missing
    assert read.left == mirrored_outline(read.right) or read.right == mirrored_outline(read.left)
    assert f"outline of the {missing} lens is not in the file" in read.doubts[0].message
    assert read.notes[0].startswith(f"Only the {'right' if missing == 'left' else 'left'} side of your frame was")


def test_one_outline_for_both_sides_is_the_right_one():
    read = trace(*outline_lines("B", RIGHT))

    assert read.left == mirrored_outline(read.right)
    assert "One outline was sent for both sides" in read.notes[0]


UNEVEN_DEG = [i + 0.25 * math.sin(i) for i in range(360)]


def uneven(letter, angles_deg=UNEVEN_DEG, keep=slice(None)):
    """A circle of 25 mm about a point 1 mm to the side, at listed angles."""
    turns = [math.radians(angle) for angle in angles_deg]
    radii = [math.cos(turn) + math.sqrt(625 - math.sin(turn) ** 2) for turn in turns]
    lists = [("R", hundredths(radii)[keep]), ("A", hundredths(angles_deg)[keep])]
    return [
        f"TRCFMT=1;{len(angles_deg)};{letter};R;F",
        *(line for name, values in lists for line in rows(name, values)),
    ]


@pytest.mark.parametrize("letter", ["U", "A", "", "?", "u"])
def test_listed_angles_place_each_radius(letter):
    read = trace(*uneven(letter))

    assert [math.hypot(x, y) for x, y in read.right] == pytest.approx([25] * 360, abs=0.01)


def test_angles_may_run_clockwise_or_repeat_the_first_point():
    backwards = trace(*uneven("U", UNEVEN_DEG[::-1]))
    closed = trace(*uneven("U", [*UNEVEN_DEG, UNEVEN_DEG[0] + 360]))

    assert backwards.right == trace(*uneven("U")).right
    assert farthest(closed.right, backwards.right) < 1e-9


def test_equal_steps_with_other_angles_are_doubted():
    read = trace(*uneven("E"))

    assert 'announces steps of kind "E"' in read.doubts[0].message
    assert [math.hypot(x, y) for x, y in read.right] == pytest.approx([25] * 360, abs=0.01)


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        (uneven("U")[:37], "has 360 radii and 0 angles"),
        (uneven("U")[:-1], "has 360 radii and 350 angles"),
        (uneven("U", [angle / 100 for angle in UNEVEN_DEG]), "do not go once round it"),
        (uneven("U", [*UNEVEN_DEG[180:], *UNEVEN_DEG[100:180], *UNEVEN_DEG[:100]]), "do not go once round it"),
        (uneven("U", [0.7 * angle for angle in UNEVEN_DEG]), "do not go once round it"),
    ],
    ids=["no angles", "angles missing", "degrees for hundredths", "out of order", "a third not covered"],
)
def test_angles_that_place_no_outline_are_refused(lines, message):
    ((line, found),) = faults(*lines)

    assert (line, message in found) == (1, True), found


def test_missing_radii_leave_a_gap_and_nothing_is_stretched():
    whole, short = trace(*outline_lines("R", RIGHT, 800)), outline_lines("R", RIGHT, 800)
    short[-1] = short[-1].rsplit(";", 2)[0]
    read = trace(*short)

    assert doubts(read)[0] == (1, "the outline of the right lens should have 800 radii, and 798 are there")
    assert farthest(read.right, whole.right[:798]) < 0.02
    assert box_size_mm(read.right) == pytest.approx(box_size_mm(whole.right), abs=0.05)
    assert read.notes[-1] == "The tracing of your frame has a small gap. We closed it with a straight line."


def test_a_list_that_breaks_off_is_refused():
    ((line, message),) = faults(*LINES[:30])

    assert (line, message) == (1, "the outline of the right lens should have 360 radii, and 290 are there")


def test_a_list_that_repeats_its_start_is_cut_where_it_is_whole():
    lines = outline_lines("R", RIGHT)
    again = trace(*lines, lines[1].partition(";")[0])

    assert "should have 360 radii, and 361 are there" in doubts(again)[0][1]
    assert again.right == trace(*lines).right


def test_more_radii_than_announced_are_refused():
    ((line, message),) = faults("TRCFMT=1;350;E;R;F", *LINES[1:37])

    assert (line, message) == (1, "the outline of the right lens should have 350 radii, and 360 are there")


ONE = outline_lines("R", RIGHT)


@pytest.mark.parametrize(
    "lines",
    [
        [line + ";" for line in ONE],
        [line.replace(";", " ; ").replace("=", " = ") for line in ONE],
        [line.replace(";", ";;", 1) if line[0] == "R" else line for line in ONE],
        [ONE[0].lower(), *ONE[1:]],
        [ONE[0].removesuffix(";F"), *ONE[1:]],
        ["\x1c", *ONE, "CRC=AB12", "\x1d"],
        ['JOB="1=2;3"', "_MINAVG=?;", ".PRIVATE=9", "XYZ=1;2;3;4", "T=100;200", "not a record", *ONE, "Z=1;2"],
        [*ONE, "STHKFMT=1;36;E;R", "T=2;3", "DRILLE=R;C;1;2;3"],
        [line for radius in ONE for line in (radius, f"_X={len(radius)}")],
        [*ONE, *ONE],
        ["TRCFMT=0;0;E;L;F", *ONE],
        ["TRCFMT=1;0;E;L;F", *ONE],
    ],
    ids=[
        *("stray semicolon at the end", "spaces", "stray semicolon inside", "small letters", "no fifth value"),
        *("marks of the wire", "unknown and private labels", "thickness and drilling", "records between the radii"),
        *("the same twice", "no outline sent", "no points on the other side"),
    ],
)
def test_every_way_of_writing_the_same_outline_gives_the_same_points(lines):
    assert trace(*lines).right == trace(*ONE).right


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r", "\r\n\n\r", "\n\n"])
def test_lines_may_end_as_they_like(end):
    assert trace(*LINES, end=end).right == trace(*LINES).right


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1"])
def test_the_bytes_may_be_of_any_usual_kind(encoding):
    data = "\n".join(["LNAM=Güte ö", *LINES]).encode(encoding)

    assert trace_in(data, "frame.txt").right == trace(*LINES).right


@pytest.mark.parametrize(
    ("lines", "where", "message"),
    [
        ([], 0, "there is no outline in it"),
        (["REQ=FIL", "TRCFMT=1;400;E;R"], 2, "there is no outline in it"),
        ([ONE[0].replace(";R;", ";;"), *ONE[1:]], 1, "not said whether this outline is the right or the left one"),
        ([ONE[0].replace(";360;", ";5;"), *ONE[1:]], 1, "cannot have 5 points"),
        ([ONE[0].replace(";360;", ";20000;"), *ONE[1:]], 1, "cannot have 20000 points"),
        ([*ONE[:5], ONE[5].replace(";", ";-", 1), *ONE[6:]], 6, "has a radius of -"),
        ([*ONE[:5], ONE[5].replace("=", "=0;", 1), *ONE[6:]], 6, "has a radius of 0"),
        ([*ONE[:5], ONE[5].replace(";", ";2x", 1), *ONE[6:]], 6, "has a radius that cannot be read"),
        ([*ONE[:-1], ONE[-1][:-2]], 1, "jumps from a radius of"),
        ([ONE[0], *rows("R", [4100] * 360)], 1, "is 82.00 mm wide and 82.00 mm deep"),
        ([ONE[0], *rows("R", [1400] * 360)], 1, "is 28.00 mm wide and 28.00 mm deep"),
        ([*ONE, *outline_lines("R", LEFT)], 38, "two different outlines of the right lens (the first on line 1)"),
    ],
)
def test_what_is_no_outline_is_refused_at_its_line(lines, where, message):
    found = faults(*lines)

    assert any(line == where and message in text for line, text in found), found


def test_every_fault_of_a_file_comes_out_at_once():
    left = outline_lines("L", LEFT)

    found = faults(ONE[0].replace("360", "5"), *ONE[1:], left[0], left[1].replace(";", ";-", 1), *left[2:], "DBL=90")

    assert [line for line, _ in found] == [1, 39, len(ONE) + len(left) + 1]


@pytest.mark.parametrize("form", ["2", "3", "4", "6"])
def test_a_packed_outline_is_refused_and_the_sizes_are_named(form):
    with pytest.raises(OrderError) as caught:
        trace("DBL=18.00", "HBOX=52.40;52.40", f"TRCFMT=  {form};512 ;E; R;F", "R=\x01\x02;\x80", "VBOX=38.10;38.10")

    (fault,) = caught.value.faults
    assert (fault.line, fault.message) == (
        3,
        f"the outline is packed (format {form}); only plain text (format 1) can be read",
    )
    assert "52.4 mm wide, 38.1 mm deep, 18 mm between the lenses" in fault.allowed
    assert "shape: rounded" in fault.advice


@pytest.mark.parametrize("form", ["\x1b[2J", "n\x00:", "4" * 5000])
def test_the_form_of_a_packed_outline_is_told_briefly_and_in_signs_that_a_screen_shows(form):
    (message,) = (message for _, message in faults(f"TRCFMT={form};512;E;R;F", "HBOX=52.40"))

    assert message.isprintable()
    assert len(message) < 100


def test_a_packed_outline_with_a_shape_has_the_sizes_of_its_file():
    lines = ("DBL=18.00", "HBOX=52.40;52.80", "TRCFMT=4;512;E;R;F", "R=%k", "VBOX=38.10", "BVD=14;14")
    read = trace_in("\n".join(lines).encode(), "frame.txt", "oval")

    assert box_size_mm(read.right) == pytest.approx((52.4, 38.1))
    assert box_size_mm(read.left) == pytest.approx((52.8, 38.1))
    assert (read.bridge_mm, read.mirrored, read.shape, read.said.right.vertex_mm) == (18.0, None, "oval", 14.0)
    assert "We used the shape nearest to it." in read.notes[0]
    assert doubts(read) == [(3, "the outline is packed; its sizes were used, with the shape oval")]


def test_a_step_in_the_outline_is_doubted():
    farther = "R=" + ";".join(str(int(radius) + 80) for radius in LINES[6].removeprefix("R=").split(";"))

    assert "has a sudden step of" in doubts(trace(*LINES[:6], farther, *LINES[7:]))[0][1]


def test_a_gap_over_1_in_100_needs_sizes_that_confirm_the_rest():
    short = [*LINES[:36]]
    width, depth = (f"{size:.2f}" for size in box_size_mm(trace(*LINES).right))

    ((_, message),) = faults(*short)
    with_sizes = trace(*short, f"HBOX={width};?", f"VBOX={depth};?")

    assert message == "10 radii of the right lens are missing, and no stated size shows what is left to be right"
    assert "should have 360 radii, and 350 are there" in doubts(with_sizes)[0][1]


def test_a_packed_side_beside_a_plain_one_mirrors_it():
    read = trace(*ONE, "TRCFMT=4;512;E;L;F", "R=%&x")

    assert "the outline of the left lens is packed (format 4); the right one was mirrored" in read.doubts[0].message


def test_a_left_outline_that_is_the_right_one_again_is_doubted():
    read = trace(*ONE, *outline_lines("L", RIGHT))

    assert "are up to 1.8 mm apart" in read.doubts[0].message
    assert "outlines of the same lens" in read.doubts[0].advice


def test_radii_before_any_announcement_are_passed_over_and_said():
    read = trace("R=2500;2500", *LINES)

    assert doubts(read) == [(1, "there are radii before any outline is announced; they were passed over")]


def test_a_number_of_points_that_cannot_be_read_is_counted():
    read = trace(ONE[0].replace("360", "?"), *ONE[1:])

    assert 'the number of points of the right lens cannot be read: "?"' in read.doubts[0].message
    assert read.right == trace(*ONE).right


def test_a_file_too_large_or_of_too_many_lines_is_refused(tmp_path):
    large, long = tmp_path / "large.txt", tmp_path / "long.txt"
    large.write_bytes(b"X" * 1_000_001)
    long.write_bytes(b"\n" * 30_000)

    for path, words in ((large, "too large"), (long, "30001 lines"), (tmp_path / "none.txt", "no such file")):
        with pytest.raises(OrderError, match=words):
            read_trace(path)
