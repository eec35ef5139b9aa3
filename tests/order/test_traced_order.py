"""A traced frame in an order: where its file may lie, whose sizes count, and what differs from the order."""

from __future__ import annotations

from pathlib import Path

import pytest

from explain.optics.outline import box_size_mm, mirrored_outline, shape_outline
from explain.order import OrderError, read_order, read_shop
from explain.story.pair import frame_outline, work_out
from tests.conftest import REPOSITORY
from tests.order.trace_text import DEMO, demo_text, outline_lines, sizes, trace_text

HERE = Path(__file__).parent
PLAIN = """
order: G-100
date: 2026-04-01
for: Runa
prescription:
  right: -0.50 -1.25 x 140
  left: +0.50 -3.00 x 15
  add: 1.25
  pd: 31 / 31
  near-pd: 29.5 / 29.5
  heights: 16 / 16
frame: {name: Sorrel, outline: traces/G-100.txt}
lenses: {design: progressive, material: standard-plastic-1.50}
price: [{item: Frame, amount: 90.00}, {item: Lenses, amount: 60.00}]
"""
RIGHT, LEFT = shape_outline("rounded", 52, 40), mirrored_outline(shape_outline("rounded", 52.3, 40))
SIZES = sizes(RIGHT, LEFT) | {"DBL": "18.00"}


@pytest.fixture(scope="module")
def shop():
    return read_shop(HERE / "shop.yaml")


@pytest.fixture
def read(tmp_path, shop):
    """Read the plain order with some text changed, beside a trace with some records of its own."""

    def read(old="", new="", trace=None, **records):
        (tmp_path / "traces").mkdir(exist_ok=True)
        text = trace_text(RIGHT, LEFT, SIZES | records) if trace is None else trace
        (tmp_path / "traces" / "G-100.txt").write_text(text, encoding="ascii")
        path = tmp_path / "order.yaml"
        path.write_text(PLAIN.replace(old, new) if old else PLAIN, encoding="utf-8")
        return read_order(path, shop)

    return read


@pytest.fixture
def found(read):
    """The doubts about the plain order that are new with what is changed."""

    def found(old="", new="", **records):
        before = {doubt.message for doubt in read().doubts}
        return [doubt.message for doubt in read(old, new, **records).doubts if doubt.message not in before]

    return found


@pytest.fixture
def refused(read):
    def refused(old="", new="", **changes):
        with pytest.raises(OrderError) as caught:
            read(old, new, **changes)
        return caught.value.faults

    return refused


def test_a_trace_file_gives_the_frame_its_size_its_depth_and_both_outlines(read):
    frame = read().order.frame

    assert (frame.lens_width_mm, frame.depth_mm) == pytest.approx((52, 40), abs=0.02)
    assert (frame.bridge_mm, frame.side_mm, frame.notes) == (18.0, None, ())
    assert box_size_mm(frame.left_outline) == pytest.approx((52.3, 40), abs=0.02)


def test_each_lens_is_worked_out_in_its_own_outline(read, shop):
    order = read().order

    right, left = (eye.outline for eye in work_out(order, shop).eyes)

    assert (right, left) == (order.frame.outline, order.frame.left_outline)
    assert frame_outline(order.frame, "left") != mirrored_outline(right)


@pytest.mark.parametrize("name", ["traces\\G-100.txt", "./traces/G-100.txt", "traces//G-100.txt"])
def test_either_kind_of_slash_is_read(read, name):
    assert read("traces/G-100.txt", name).order.frame.left_outline is not None


@pytest.mark.parametrize(
    "name",
    [
        "../G-100.txt",
        "traces/../../G-100.txt",
        "/etc/hostname",
        "C:\\traces\\G-100.txt",
        "C:G.txt",
        "\\\\pc\\G.txt",
    ],
)
def test_a_file_elsewhere_is_refused(refused, name):
    (fault,) = refused("traces/G-100.txt", name)

    assert fault.key == "frame.outline"
    assert "does not lie in the folder of the order" in fault.message


@pytest.mark.parametrize(
    "name", ['"a\\0.txt"', '"a\\u202Etxt.txt"', '"tr/\\uD800.txt"', "a/" * 90 + "b", "x" * 190 + ".t"]
)
def test_what_cannot_be_a_file_name_is_refused(refused, name):
    assert refused("traces/G-100.txt", name)[0].key in ("frame.outline", "")


def test_a_link_out_of_the_folder_is_refused_and_one_inside_is_followed(tmp_path, read, refused, tmp_path_factory):
    outside = tmp_path_factory.mktemp("outside") / "secret.txt"
    outside.write_text(trace_text(RIGHT, LEFT, SIZES), encoding="ascii")
    read()
    (tmp_path / "out.txt").symlink_to(outside)
    (tmp_path / "in.txt").symlink_to(tmp_path / "traces" / "G-100.txt")
    (tmp_path / "loop.txt").symlink_to(tmp_path / "loop.txt")

    assert "leads out of the folder" in refused("traces/G-100.txt", "out.txt")[0].message
    assert refused("traces/G-100.txt", "loop.txt")[0].key == "frame.outline"
    assert read("traces/G-100.txt", "in.txt").order.frame.left_outline is not None


def test_a_missing_file_is_named_with_what_is_there(refused):
    (fault,) = refused("traces/G-100.txt", "traces/G-10.txt")

    assert fault.message == 'the trace file "traces/G-10.txt" is not there'
    assert fault.advice == "In that folder there are: G-100.txt."


@pytest.mark.parametrize(
    ("name", "message", "advice"),
    [
        ("traces/", "is not a file", "In that folder there are: order.yaml."),
        ("~/G.txt", "is not there", 'There is no folder "~".'),
        ("frames/G.txt", "is not there", 'There is no folder "frames".'),
    ],
)
def test_a_folder_and_a_file_in_no_folder_are_refused(refused, name, message, advice):
    (fault,) = refused("traces/G-100.txt", name)

    assert message in fault.message
    assert fault.advice.startswith(advice)


def test_faults_of_the_trace_stand_at_the_order_s_line_with_their_own(refused):
    faults = refused(trace="\n".join(["HBOX=55;56", *outline_lines("R", RIGHT), *outline_lines("L", LEFT), "DBL=18"]))

    assert [(fault.line, fault.message[:36]) for fault in faults] == [
        (12, "traces/G-100.txt, line 1: HBOX gives"),
        (12, "traces/G-100.txt, line 1: HBOX gives"),
    ]


def test_without_a_bridge_in_the_file_the_size_is_asked_for(read, refused):
    bare = "\n".join([*outline_lines("R", RIGHT), *outline_lines("L", LEFT)])

    (fault,) = refused(trace=bare)

    assert (fault.key, "the trace file does not give the bridge either" in fault.message) == ("frame.size", True)
    frame = read("Sorrel,", "Sorrel, size: 52-17-140,", trace=bare).order.frame
    assert (frame.bridge_mm, frame.side_mm) == (17.0, 140.0)


def test_without_a_trace_the_size_and_the_depth_are_asked_for(refused):
    assert [fault.key for fault in refused("traces/G-100.txt", "rounded")] == ["frame.size", "frame.depth"]


@pytest.mark.parametrize("size", ["size: 52-18-140", "size: 51.5-18", "size: 52.8-18.5", "depth: 40.5"])
def test_a_printed_size_within_half_a_millimetre_is_the_same_size(found, size):
    assert found("Sorrel,", f"Sorrel, {size},") == []


@pytest.mark.parametrize(
    ("size", "what"), [("size: 51-18", "lens width"), ("size: 52-19", "bridge"), ("depth: 38.6", "depth")]
)
def test_a_printed_size_farther_off_is_doubted_and_the_traced_one_wins(read, found, size, what):
    (message,) = found("Sorrel,", f"Sorrel, {size},")

    assert message.startswith(f"the {what} is ")
    frame = read("Sorrel,", f"Sorrel, {size},").order.frame
    assert (frame.lens_width_mm, frame.bridge_mm, frame.depth_mm) == pytest.approx((52, 18, 40), abs=0.02)
    assert [note[:38] for note in frame.notes] == (["The size printed on a frame is a round"] if "size" in size else [])


@pytest.mark.parametrize(("size", "key"), [("size: 50-18", "size"), ("size: 52-20", "size"), ("depth: 38", "depth")])
def test_a_size_of_another_frame_is_refused(refused, size, key):
    (fault,) = refused("Sorrel,", f"Sorrel, {size},")

    assert (fault.key, fault.allowed) == (f"frame.{key}", "The two agree within 1.5 mm.")


ALL_THE_SAME = {
    "SPH": "-0.50;0.50", "CYL": "-1.25;-3.00", "AX": "140;15", "ADD": "1.25;1.25", "IPD": "31.00;31.00",
    "NPD": "29.50;29.50", "OCHT": "16.00;16.00", "SEGHT": "?;?", "LIND": "1.498;1.498", "TIND": "1.530;1.530",
}  # fmt: skip


def test_a_trace_of_the_same_order_gives_no_doubt(found):
    assert found(**ALL_THE_SAME) == []


@pytest.mark.parametrize(
    ("record", "message"),
    [
        ({"SPH": "-0.75;0.50"}, "the right eye sphere -0.75, the order -0.50"),
        ({"CYL": "-1.25;-2.75"}, "the left eye cylinder -2.75, the order -3.00"),
        ({"AX": "140;20"}, "the left eye axis 20, the order 15"),
        ({"SPH": "-1.00;0.50", "AX": "150;15"}, "the right eye sphere -1.00, the order -0.50; axis 150, the order 140"),
        ({"ADD": "1.25;2.00"}, "the left eye an addition of +2.00, the order +1.25"),
        ({"IPD": "30.50;31.00"}, "the right eye a pupillary distance for far of 30.5 mm, the order 31 mm"),
        ({"IPD": "63"}, "both eyes a pupillary distance for far of 63 mm, the order 62 mm"),
        ({"NPD": "29.50;30"}, "the left eye a pupillary distance for near of 30 mm, the order 29.5 mm"),
        ({"OCHT": "17;16"}, "the right eye a height of 17 mm, the order 16 mm"),
        ({"SEGHT": "16;18"}, "the left eye a height of 18 mm, the order 16 mm"),
        ({"LIND": "1.586"}, "both lenses a material of index 1.586, the order standard-plastic-1.50 (1.498)"),
    ],
)  # fmt: skip
def test_a_difference_is_named_with_both_values(found, record, message):
    assert found(**(ALL_THE_SAME | record)) == [f"traces/G-100.txt gives {message}"]


@pytest.mark.parametrize(
    "record",
    [
        {"SPH": "-1.75;-2.50", "CYL": "1.25;3.00", "AX": "50;105"},
        {"SPH": "-1.75;-2.50", "CYL": "?;?", "AX": "?;?"},
        {"IPD": "62"}, {"IPD": "0;0"}, {"ADD": "?"}, {"OCHT": "20;20", "SEGHT": "16;16"}, {"LIND": "1.50"},
    ],
    ids=["the other sign of cylinder", "sphere alone", "both eyes", "nought", "unknown", "cross and centre", "rounded"],
)  # fmt: skip
def test_the_same_said_otherwise_is_no_difference(found, record):
    assert found(**(ALL_THE_SAME | record)) == []


def test_a_distance_from_lens_to_eye_is_compared_where_the_order_gives_one(found):
    old, new = "material: standard-plastic-1.50", "material: standard-plastic-1.50, vertex: 13"

    assert found(BVD="14;14") == []
    assert found(old, new, BVD="13;13") == []
    assert "gives both eyes a distance from lens to eye of 14 mm, the order 13 mm" in found(old, new, BVD="14;14")[0]


def test_an_order_wins_over_its_trace(read):
    order = read(SPH="-9.00;-9.00", IPD="25;25", LIND="1.74;1.74").order

    assert (order.right.power.sphere_dpt, order.fit.pd_right_mm, order.lenses.material) == (
        -0.5,
        31.0,
        "standard-plastic-1.50",
    )


def test_a_height_that_only_the_trace_knows_is_named(found):
    single = "lenses: {design: single-vision, material: standard-plastic-1.50}"
    text = PLAIN[PLAIN.index("  heights") : PLAIN.index("price")]
    shorter = text.replace("  heights: 16 / 16\n", "").replace(text[text.index("lenses") :], f"{single}\n")

    messages = found(text, shorter, OCHT="22;22")

    assert "traces/G-100.txt gives both eyes a height of 22 mm, the order none, so half-way up is taken" in messages


def test_the_laboratory_s_own_order_differs_from_itself_in_nothing(tmp_path, shop):
    (tmp_path / "lab.txt").write_bytes((HERE.parent / "data" / "traces" / "frame_360_full_order.txt").read_bytes())
    path = tmp_path / "order.yaml"
    path.write_text(PLAIN.replace("traces/G-100.txt", "lab.txt"), encoding="utf-8")

    read = read_order(path, shop)

    assert [doubt.message for doubt in read.doubts if "lab.txt" in doubt.message] == []
    assert (read.order.frame.lens_width_mm, read.order.frame.depth_mm) == pytest.approx((51.00, 44.01), abs=0.02)


def test_the_trace_of_the_demo_is_made_by_our_own_shapes():
    assert DEMO.read_text(encoding="ascii") == demo_text()


def test_the_traced_demo_order_has_its_printed_size_and_two_sides_of_its_own():
    read = read_order(REPOSITORY / "orders" / "QH-2107.yaml", read_shop(REPOSITORY / "orders" / "shop.yaml"))

    frame = read.order.frame
    assert (frame.lens_width_mm, frame.bridge_mm, frame.depth_mm) == pytest.approx((49, 19, 38), abs=0.02)
    assert box_size_mm(frame.left_outline) == pytest.approx((49.2, 37.9), abs=0.02)
    assert [doubt.key for doubt in read.doubts if "trace" in doubt.message] == []
