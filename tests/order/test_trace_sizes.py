"""Sizes that a trace file states: believed where they agree with its outline, and then only as far as that."""

from __future__ import annotations

import pytest

from explain.optics.outline import mirrored_outline, shape_outline
from explain.order import OrderError
from explain.order.trace import trace_in
from tests.order.trace_text import outline_lines, sizes, trace_text

RIGHT = shape_outline("rounded", 52, 38)
LEFT = mirrored_outline(RIGHT)
SIZES = sizes(RIGHT, LEFT)
LINES = [*outline_lines("R", RIGHT), *outline_lines("L", LEFT)]


def stated(label, off=(0.0, 0.0)):
    """A size record as it should be, changed on either side [mm]."""
    values = [float(value) + by for value, by in zip(SIZES[label].split(";"), off, strict=True)]
    return f"{label}={values[0]:.2f};{values[1]:.2f}"


def trace(*records, lines=LINES):
    return trace_in("\n".join([*records, *lines]).encode(), "frame.txt")


def faults(*records, lines=LINES):
    with pytest.raises(OrderError) as caught:
        trace(*records, lines=lines)
    return [fault.message for fault in caught.value.faults]


def test_sizes_that_agree_are_not_mentioned():
    read = trace_in(trace_text(RIGHT, LEFT, SIZES | {"DBL": "18"}).encode(), "frame.txt")

    assert (read.doubts, read.bridge_mm) == ((), 18.0)


def test_sizes_may_stand_before_or_after_the_radii():
    before, after = trace("DBL=18"), trace_in("\n".join([*LINES, "DBL=18"]).encode(), "frame.txt")

    assert before.bridge_mm == after.bridge_mm == 18.0


LABELS = ("HBOX", "VBOX", "FED", "CIRC")


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("off", [0.2, -0.2])
def test_a_size_over_a_tenth_of_a_millimetre_off_is_believed_neither(label, off):
    (message,) = faults(stated(label, (0.0, off)))

    assert message.startswith(f"{label} gives the left lens")


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("off", [0.09, -0.09])
def test_a_size_a_little_off_is_doubted(label, off):
    (doubt,) = trace(stated(label, (off, 0.0))).doubts

    assert doubt.message.startswith(f"{label} gives the right lens")


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("off", [0.04, -0.04])
def test_a_size_off_by_rounding_is_not_mentioned(label, off):
    assert trace(stated(label, (off, off))).doubts == ()


def test_one_value_stands_for_both_sides():
    assert faults("HBOX=53.00") == ["HBOX gives both lenses a width of 53.00 mm, but the radii give 51.99 mm"]


@pytest.mark.parametrize("text", ["?;?", ";", "0.00;0.00", "?", ""])
def test_what_is_not_known_is_not_compared(text):
    assert trace(f"HBOX={text}", f"DBL={text}").doubts == ()


def test_an_effective_diameter_in_whole_millimetres_is_a_rounded_one():
    exact = float(SIZES["FED"].split(";")[0])

    assert trace(f"FED={round(exact)};{round(exact)}").doubts == ()
    assert faults(f"FED={round(exact) + 2}")[0].startswith("FED gives both lenses an effective diameter of ")


def test_the_way_round_of_a_pattern_may_be_six_hundredths_short():
    assert trace(stated("CIRC", (-0.06, -0.06))).doubts == ()


def test_a_mirrored_side_of_another_size_is_only_doubted():
    read = trace(stated("HBOX", (0.0, 0.4)), lines=outline_lines("R", RIGHT))

    assert [doubt.message[:24] for doubt in read.doubts if "HBOX" in doubt.message] == ["HBOX gives the left lens"]


def test_a_gap_in_the_outline_makes_its_way_round_a_matter_of_doubt():
    lines = outline_lines("R", RIGHT)
    lines[-1] = lines[-1].rsplit(";", 3)[0]

    assert "CIRC gives both lenses a way round of 150.00 mm" in str(trace("CIRC=150", lines=lines).doubts)


@pytest.mark.parametrize("bridge", ["2", "34.5", "-18"])
def test_a_bridge_that_no_frame_has_is_refused(bridge):
    (message,) = faults(f"DBL={bridge}")

    assert message == f"DBL says {float(bridge):g} mm between the lenses"


@pytest.mark.parametrize("bridge", ["DBL=18;18", "DBL=18;?", "DBL= 18.00 ;", 'DBL="18"', "dbl=+18.0", "DBL=?\nDBL=18"])
def test_a_bridge_is_read_however_it_is_written(bridge):
    read = trace(bridge)

    assert (read.bridge_mm, read.doubts) == (18.0, ())


@pytest.mark.parametrize(
    ("records", "message"),
    [
        (["DBL=18;19"], "DBL says 18 and 19 mm between the lenses"),
        (["DBL=18", "DBL=19"], "DBL stands in the file more than once, with different values"),
        (["DBL=wide"], 'DBL cannot be read: "wide"'),
    ],
)
def test_a_bridge_that_could_be_several_is_doubted(records, message):
    assert [doubt.message for doubt in trace(*records).doubts] == [message]
