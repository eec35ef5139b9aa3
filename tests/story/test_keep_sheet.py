"""The keep sheet: every figure another optician needs, on which lens, and whether it was ordered or measured."""

from __future__ import annotations

import pytest

from explain.optics.power import SphereCylinder
from explain.optics.surfaces import TOOL_INDEX
from explain.order.model import EyePrescription, Prism
from explain.story.keep import keep_section
from explain.story.keep_sheet import NOT_MEASURED, line_form, sheet_blocks

MINUS = "\N{MINUS SIGN}"
ADD = {"add": "2.00", "heights": "18 / 18"}


def sheet(pair, place):
    """Rows of the two tables, by their heading, with plain spaces."""
    shared, lenses = (block for block in sheet_blocks(pair, place) if block.kind == "table")
    rows = {name: list(cells) for name, *cells in (*shared.rows, *lenses.rows)}
    return {name: [cell.replace("\N{NO-BREAK SPACE}", " ") for cell in cells] for name, cells in rows.items()}


@pytest.mark.parametrize(
    ("ordered", "line"),
    [
        (EyePrescription("", SphereCylinder(-3.25, -0.75, 172)), f"{MINUS}3.25 {MINUS}0.75 x 172"),
        (EyePrescription("", SphereCylinder(1.5)), "+1.50"),
        (EyePrescription("", SphereCylinder(0.0)), "0.00"),
        (EyePrescription("", None), "balance lens"),
        (EyePrescription("", SphereCylinder(-1.0), add_dpt=2.25), f"{MINUS}1.00, add +2.25"),
        (
            EyePrescription("", SphereCylinder(-1.0, 0.5, 5), (Prism(1.0, "up"),), 2.0),
            f"{MINUS}1.00 +0.50 x 5, prism 1.00 base up, add +2.00",
        ),
    ],
)
def test_an_eye_is_written_as_an_optician_would(ordered, line):
    assert line_form(ordered) == line


def test_the_sheet_comes_first_and_the_rest_starts_with_a_heading(pair_of, place):
    kinds = [block.kind for block in keep_section(pair_of(), place).blocks]

    assert kinds[:6] == ["table", "table", "figure", "figure", "note", "heading"]


def test_another_optician_finds_every_figure_needed_for_new_lenses(pair_of, place):
    lenses = {"add-ons": ["anti-reflective", "hard-layer"]}

    found = sheet(pair_of(prescription={"heights": "20 / 19"}, lenses=lenses), place)

    assert found["Order"] == ["T-0001, October 2, 2026"]
    assert found["Shop"] == ["Quill Harbor Opticians, (555) 010-0142"]
    assert found["Frame"] == ["Rowan, slate: lens 50.0 mm wide and 38.0 mm deep, bridge 18.0 mm, side 140.0 mm"]
    assert found["Lenses"] == ["Single-vision lenses, with anti-reflective layer and hard layer"]
    assert "1.498" in found["Material"][0]
    assert found["Ordered"] == [f"{MINUS}4.00", f"{MINUS}3.00"]
    assert found["Pupil to middle of nose"] == ["31.0 mm", "31.0 mm"]
    assert found["Lens center above the lowest point"] == ["20.0 mm", "19.0 mm"]


def test_what_was_measured_stands_beside_what_was_ordered(pair_of, place):
    checked = {
        "right": "-4.00 DS",
        "left": "-3.12 DS",
        "pd": "31 / 31.5",
        "heights": "20 / 19.5",
        "centre": "2.1 / 2.0",
    }

    found = sheet(pair_of(prescription={"heights": "20 / 19"}, checked=checked | {"on": "2026-10-09"}), place)

    assert found["Order"] == ["T-0001, October 2, 2026; measured October 9, 2026"]
    assert found["Measured"] == [f"{MINUS}4.00", f"{MINUS}3.12"]
    assert found["Pupil to middle of nose"] == ["31.0 mm, measured 31.0 mm", "31.0 mm, measured 31.5 mm"]
    assert found["Lens center above the lowest point"] == ["20.0 mm, measured 20.0 mm", "19.0 mm, measured 19.5 mm"]
    assert found["Center thickness, measured"] == ["2.1 mm", "2.0 mm"]


def test_what_was_not_measured_says_so(pair_of, place):
    assert sheet(pair_of(), place)["Measured"] == [NOT_MEASURED, NOT_MEASURED]
    assert sheet(pair_of(checked={"right": "-4.00 DS"}), place)["Measured"] == [f"{MINUS}4.00", NOT_MEASURED]
    assert "Center thickness, measured" not in sheet(pair_of(), place)


def test_a_front_curve_by_our_rule_is_called_worked_out_and_an_ordered_one_ordered(pair_of, place):
    by_rule, ordered = pair_of(), pair_of(lenses={"base-curve": "4.25"})

    curves = sheet(by_rule, place)["Front curve on the 1.530 scale, worked out"]

    lenses = by_rule.chosen.lenses
    used = [lenses[side].lens.front_per_mm * 1000 * (TOOL_INDEX - 1) for side in ("right", "left")]
    assert [float(curve) for curve in curves] == pytest.approx(used, abs=0.005)
    assert sheet(ordered, place)["Front curve on the 1.530 scale, ordered"] == ["4.25", "4.25"]
    assert "Front curve on the 1.530 scale, worked out" not in sheet(ordered, place)


@pytest.mark.parametrize(
    ("design", "eyes", "label"),
    [
        ("single-vision", {}, "Lens center above the lowest point, assumed"),
        ("progressive", ADD, "Fitting cross above the lowest point"),
        ("bifocal", ADD, "Height of the line"),
        ("plano", {"right": None, "left": None}, "Lens center above the lowest point, assumed"),
    ],
)
def test_a_height_is_named_by_what_it_is_the_height_of(pair_of, place, design, eyes, label):
    assert label in sheet(pair_of(prescription=eyes, lenses={"design": design}), place)


def test_a_reading_pair_gives_the_power_it_was_made_to(pair_of, place):
    eyes = {"right": "-0.50 DS", "left": "-0.25 DS", "add": "1.50"}

    assert sheet(pair_of(prescription=eyes, lenses={"design": "reading"}), place)["Power made"] == ["+1.00", "+1.25"]


def test_a_tint_is_named_with_its_category_and_bare_lenses_as_having_no_layer(pair_of, place):
    tint = {"add-ons": ["sun-tint"], "tint": {"colour": "gray", "category": "2"}}

    assert sheet(pair_of(lenses=tint), place)["Lenses"] == [
        "Single-vision lenses, with sun tint, gray tint of category 2"
    ]
    assert sheet(pair_of(), place)["Lenses"] == ["Single-vision lenses, no layer"]


def test_one_lens_has_the_figures_of_one_lens(pair_of, place):
    blocks = sheet_blocks(pair_of(prescription={"left": "none"}), place)

    assert [block.kind for block in blocks] == ["table", "table", "figure", "note"]
    assert blocks[1].columns == ("What", "Right eye")
