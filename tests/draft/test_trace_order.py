"""Trace orders: prescription, pupils, heights and outline taken; the file named from the order, or copied beside it."""

from __future__ import annotations

import random
import shutil
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.cli import main
from explain.draft.sources import source_of
from explain.draft.start import Wish, drafts_from
from explain.draft.trace_order import read_trace_order
from explain.draft.understood import report
from explain.order import OrderError, read_shop
from explain.order.order import read_plan
from explain.order.trace_records import lines_of
from tests.conftest import REPOSITORY
from tests.story.invented import write_shop

FOLDER = REPOSITORY / "tests" / "data" / "traces"
FULL = (FOLDER / "frame_360_full_order.txt").read_bytes()


def read(data=FULL):
    return read_trace_order(data, "sent.txt", "traces/A-1.txt")


def with_line(label, text, data=FULL):
    """The full order with one record in place of another; text None takes it out."""
    kept = [line for line in lines_of(data) if not line.startswith(f"{label}=")]
    return "\n".join([*([f"{label}={text}"] if text is not None else []), *kept]).encode()


@pytest.fixture
def shop_folder(tmp_path, monkeypatch):
    """A folder with a shop in orders/, in which we stand, and a trace that lies elsewhere."""
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    shutil.copy(FOLDER / "frame_360_full_order.txt", tmp_path / "sent.txt")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_whole_order_is_taken():
    assert read().values == {
        "prescription.right": "-0.50 -1.25 x 140",
        "prescription.left": "+0.50 -3.00 x 15",
        "prescription.add": "1.25",
        "prescription.pd": "31 / 31",
        "prescription.heights": "16 / 16",
        "frame.outline": "traces/A-1.txt",
        "lenses.vertex": "14",
    }
    assert not read().questions


def test_a_trace_from_elsewhere_is_copied_beside_the_orders(shop_folder, capsys):
    assert main(["draft", "sent.txt", "--order", "A-1"]) == 0

    assert (shop_folder / "orders" / "traces" / "A-1.txt").read_bytes() == FULL
    with pytest.raises(OrderError) as caught:
        read_plan(shop_folder / "orders" / "A-1.yaml", read_shop(shop_folder / "orders" / "shop.yaml"))
    assert sorted(fault.key for fault in caught.value.faults) == [
        "for", "frame.name", "lenses.design", "lenses.material",
    ]  # fmt: skip
    assert "outline traces/A-1.txt" in capsys.readouterr().out


def test_a_trace_that_lies_there_is_named_where_it_lies(shop_folder):
    (shop_folder / "orders" / "traces").mkdir()
    shutil.move("sent.txt", "orders/traces/mine.txt")

    assert main(["draft", "orders/traces/mine.txt", "--order", "A-1"]) == 0

    assert "outline: traces/mine.txt" in (shop_folder / "orders" / "A-1.yaml").read_text(encoding="utf-8")
    assert [path.name for path in (shop_folder / "orders" / "traces").iterdir()] == ["mine.txt"]


def test_another_trace_of_that_name_is_not_replaced_and_no_order_is_left_behind(shop_folder, capsys):
    (shop_folder / "orders" / "traces").mkdir()
    (shop_folder / "orders" / "traces" / "A-1.txt").write_text("another", encoding="utf-8")

    assert main(["draft", "sent.txt", "--order", "A-1"]) == 2

    assert not (shop_folder / "orders" / "A-1.yaml").exists()
    assert "traces/A-1.txt: there is such a file already" in capsys.readouterr().err


def test_no_copy_is_left_behind_when_the_order_is_there_already(shop_folder):
    (shop_folder / "orders" / "A-1.yaml").write_text("mine", encoding="utf-8")

    assert main(["draft", "sent.txt", "--order", "A-1"]) == 2

    assert list((shop_folder / "orders" / "traces").iterdir()) == []


def test_a_frame_alone_leaves_the_eyes_open():
    taken = read((FOLDER / "pattern_1000.txt").read_bytes())

    assert set(taken.questions) == {"prescription.right", "prescription.left"}
    assert taken.values == {"frame.outline": "traces/A-1.txt"}


def test_without_an_outline_the_sizes_still_serve():
    taken = read(b"SPH=1.00;-1.00\nDBL=18\nHBOX=52;52\nVBOX=38;38\n")

    assert taken.values == {
        "prescription.right": "+1.00 DS", "prescription.left": "-1.00 DS", "frame.size": "52-18", "frame.depth": "38",
    }  # fmt: skip
    assert set(taken.questions) == {"frame.outline"}


@pytest.mark.parametrize(
    ("label", "text", "asked"),
    [
        ("SPH", "?;0.50", {"prescription.right"}),
        ("AX", None, {"prescription.right", "prescription.left"}),
        ("AX", "190;15", {"prescription.right"}),
        ("PRVM", "2.00;0.00", {"prescription.right", "prescription.left"}),
        ("IPD", "12;31", {"prescription.pd"}),
        ("ADD", "9.00;1.25", {"prescription.add"}),
        ("OCHT", "60;16", {"prescription.heights"}),
        ("DBL", None, {"frame.size"}),
        ("HBOX", "60.00;60.00", {"frame.outline"}),
    ],
)
def test_what_is_missing_or_odd_in_a_trace_order_is_asked_about(label, text, asked):
    assert set(read(with_line(label, text)).questions) == asked


def test_one_distance_for_both_eyes_stays_one():
    assert read(with_line("IPD", "62.00")).values["prescription.pd"] == "62"


def test_a_height_of_the_fitting_cross_is_taken_before_that_of_the_centre():
    taken = read(with_line("SEGHT", "21;22"))

    assert taken.values["prescription.heights"] == "21 / 22"
    assert any("fitting cross" in note for note in taken.notes)


def test_nothing_about_the_client_reaches_the_order(tmp_path):
    path = tmp_path / "sent.txt"
    path.write_bytes(with_line("CLNAME", "Secret", with_line("JOB", '"Secret-1"')))
    (draft,) = drafts_from(source_of(str(path), None), Wish("A-1", str(tmp_path / "A-1.yaml")), date(2026, 10, 2))

    assert "Secret" not in draft.text + report(draft.taken)
    assert draft.taken.values["prescription.left"] == "+0.50 -3.00 x 15"


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_asked_about(data):
    taken = read(data)

    assert {"prescription.right", "prescription.left", "frame.outline"} <= {*taken.values, *taken.questions}


def test_two_thousand_spoilt_trace_orders_are_read_or_asked_about():
    chance = random.Random(20261125)  # noqa: S311  repeatable spoiling, nothing secret
    head = b"\n".join(line for line in FULL.splitlines() if not line.startswith((b"R=", b"T=", b"TRCFMT", b"STHKFMT")))
    for number in range(2000):
        data = bytearray(FULL if number % 20 == 0 else head)
        for _ in range(chance.randint(1, 30)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        taken = read(bytes(data))
        assert {"prescription.right", "prescription.left", "frame.outline"} <= {*taken.values, *taken.questions}
        assert report(taken)


@pytest.mark.parametrize(
    ("label", "text", "asks"),
    [
        ("SPH", "-0.50;0.50\nSPH=-1.00;-1.00", ["left", "right"]),
        ("AX", "140;15\nAX=140;16", ["left", "right"]),
        ("SPH", "-0.50;0.50\nSPH=-0.50;0.50", []),
        ("DO", "R", ["left"]),
        ("DO", "L", ["right"]),
        ("DO", "B", []),
        ("IPD", "62;62", ["pd"]),
        ("IPD", "62", []),
        ("SPH", ";-0.50", ["right"]),
        ("SPH", "?;-0.50", ["right"]),
        ("SPH", "", ["left", "right"]),
        ("SPH", "-0,50;0,50", ["left", "right"]),
        ("SPH", "-50;50", ["left", "right"]),
        ("AX", "181;15", ["right"]),
        ("AX", None, ["left", "right"]),
        ("PRVM", "1.00;0.00", ["left", "right"]),
    ],
)
def test_what_the_file_does_not_say_for_certain_is_asked(label, text, asks):
    assert sorted(path.rpartition(".")[2] for path in read(with_line(label, text)).questions) == asks


def test_a_power_that_stands_once_is_read_for_both_eyes_and_pointed_at():
    taken = read(with_line("SPH", "-0.50"))

    assert taken.values["prescription.left"] == "-0.50 -3.00 x 15"
    assert taken.warnings[0].message == "SPH has one value; it was read for both eyes"


@pytest.mark.parametrize(
    "as_sent",
    [
        lambda data: data.replace(b"\r\n", b"\n"),
        lambda data: data.replace(b"\r\n", b"\n").replace(b"\n", b"\r"),
        lambda data: b"\xef\xbb\xbf" + data,
        lambda data: data.replace(b"SPH=", b"sph="),
        lambda data: data.replace(b"\nSPH=", b"\n SPH = "),
        lambda data: data.decode("latin-1").encode("utf-16"),
    ],
    ids=["LF", "CR", "BOM", "small letters", "blanks", "UTF-16"],
)
def test_the_same_order_is_read_however_it_was_saved(as_sent):
    assert read(as_sent(FULL)).values == read().values
