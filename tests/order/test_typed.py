"""Prescriptions as people type them: read, read with a question, or not guessed at."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.power import SphereCylinder, transposed
from explain.order.additions import read_add, read_both_adds
from explain.order.distances import read_heights, read_pd
from explain.order.faults import UnclearError
from explain.order.model import Prism
from explain.order.prisms import prism_remarks, read_base, read_prisms
from explain.order.typed import read_axis, read_eye, read_sphere

RECORDS = yaml.safe_load((Path(__file__).parent / "rx_as_typed.yaml").read_text(encoding="utf-8"))


def _eye(text):
    eye = read_eye(text)
    if eye.is_balance:
        return {"balance": True}, eye.remarks
    power = eye.power
    axis = power.axis_deg if power.cylinder_dpt else None
    return {"sphere": power.sphere_dpt, "cylinder": power.cylinder_dpt, "axis": axis}, eye.remarks


def _add(text):
    add, remarks = read_add(text)
    return {"add": add}, remarks


def _both_adds(text):
    right, left, remarks = read_both_adds(text)
    return {"add_right": right, "add_left": left}, remarks


def _prism(text):
    prisms = read_prisms(text)
    expected = [{"amount": prism.amount_prism_dpt, "base": prism.base} for prism in prisms]
    return {"prism": expected}, prism_remarks(prisms, "this eye")


def _pd(text):
    pd = read_pd(text)
    if not pd.was_split:
        return {"pd_right_mm": pd.right_mm, "pd_left_mm": pd.left_mm}, ()
    near = {"near_pd_mm": pd.near.right_mm + pd.near.left_mm} if pd.near else {}
    return {"pd_mm": pd.right_mm + pd.left_mm, **near}, ()


def _line(text):
    name, value = text.split(": ")
    read = {
        "axis": lambda: (read_axis(value), ()),
        "sphere": lambda: read_sphere(value),
        "base": lambda: (read_base(value), ()),
    }
    found, remarks = read[name]()
    return {name: found}, remarks


READERS = {"eye": _eye, "add": _add, "pair_add": _both_adds, "prism": _prism, "pd": _pd, "yaml line": _line}


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record["id"])
def test_what_people_type_is_read_doubted_or_asked_about_as_listed(record):
    read = READERS[record["of"]]

    if record["outcome"] == "ask":
        with pytest.raises(UnclearError):
            read(record["typed"])
        return
    found, remarks = read(record["typed"])

    assert found == record["expect"]
    assert bool(remarks) == (record["outcome"] == "warn")


def test_minus_nought_never_keeps_its_sign():
    power = read_eye("-0.00 -0.00").power

    assert [str(power.sphere_dpt), str(power.cylinder_dpt)] == ["0.0", "0.0"]


@pytest.mark.parametrize(
    ("text", "power"),
    [
        ("sph -1.00 cyl -0.50 ax 10", SphereCylinder(-1.0, -0.5, 10.0)),
        ("-1.00 SPH -0.50 CYL 10 AXIS", SphereCylinder(-1.0, -0.5, 10.0)),
        ("cyl -0.50 axis 10 sph -1.00", SphereCylinder(-1.0, -0.5, 10.0)),
        ("-1.00 cyl -0.50 axis 10", SphereCylinder(-1.0, -0.5, 10.0)),
        ("-1.00, cyl: -0.50 x 10", SphereCylinder(-1.0, -0.5, 10.0)),
        ("R: -1.00 -0.50 x 10", SphereCylinder(-1.0, -0.5, 10.0)),
        ("-2.50 / - / -", SphereCylinder(-2.5)),
        ("pl -0.50 x 90", SphereCylinder(0.0, -0.5, 90.0)),
    ],
)
def test_labels_and_gaps_do_not_change_the_power(text, power):
    assert read_eye(text, eye="right").power == power


def test_prism_and_addition_may_end_a_line():
    eye = read_eye("-1.00 -0.50 x 90 prism 2 up & 1 in add +2.25")

    assert eye.prisms == (Prism(2.0, "up"), Prism(1.0, "in"))
    assert eye.add_dpt == 2.25


def test_an_axis_is_never_taken_for_a_prism():
    eye = read_eye("-2.00 -0.50 x 90 BU 1.50")

    assert eye.power == SphereCylinder(-2.0, -0.5, 90.0)
    assert eye.prisms == (Prism(1.5, "up"),)


def test_a_letter_o_after_18_may_be_a_nought_so_it_is_asked_about():
    with pytest.raises(UnclearError, match="letter O"):
        read_eye("-1.00 -0.50 x 18o")


def test_labels_behind_and_before_in_one_line_are_never_guessed():
    with pytest.raises(UnclearError, match="before and behind"):
        read_eye("-0.50 cyl -2.00 sph axis 10")


@pytest.mark.parametrize("text", ["2.00", "-25", "-1.00 -0.50", "- / - / -", "-1.00 -0.50 at 90", "1e5", "nan"])
def test_what_could_be_two_lenses_is_never_guessed(text):
    with pytest.raises(UnclearError):
        read_eye(text)


@pytest.mark.parametrize(("eye", "base"), [("right", "in"), ("left", "out")])
def test_a_base_at_nought_degrees_is_on_the_right_as_seen_from_the_front(eye, base):
    assert read_prisms("2 base 0", eye=eye) == (Prism(2.0, base),)


def test_an_oblique_base_is_resolved_without_losing_any_prism():
    upward, across = read_prisms("5 base 30°", eye="right")

    assert upward.base == "up"
    assert upward.amount_prism_dpt == pytest.approx(2.5)
    assert upward.amount_prism_dpt**2 + across.amount_prism_dpt**2 == pytest.approx(25)


def test_one_height_is_the_height_of_both_and_not_halved():
    heights = read_heights("19", 38)

    assert (heights.right_mm, heights.left_mm) == (19.0, 19.0)


def test_a_text_far_longer_than_a_prescription_is_not_tried():
    with pytest.raises(UnclearError, match="too long"):
        read_eye("9" * 100_000)


QUARTERS = st.integers(-80, 80).map(lambda quarters: quarters / 4)
CYLINDERS = st.integers(1, 40).map(lambda quarters: quarters / 4)
AXES = st.integers(1, 180)


@given(QUARTERS, CYLINDERS, AXES)
def test_both_ways_of_writing_a_lens_read_to_the_same_lens(sphere, cylinder, axis):
    other = transposed(SphereCylinder(sphere, cylinder, axis))
    plus = read_eye(f"{sphere:+.2f} {cylinder:+.2f} x {axis}").power
    minus = read_eye(f"{other.sphere_dpt:+.2f} {other.cylinder_dpt:+.2f} x {other.axis_deg:g}").power

    assert transposed(plus) == minus
    assert transposed(minus) == plus


@given(
    QUARTERS,
    CYLINDERS.map(lambda power: -power),
    AXES,
    st.sampled_from(["{} {} x {}", "{}/{}x{}°", "sph {} cyl {} ax {:03}"]),
)
def test_a_line_reads_back_to_the_powers_it_was_written_from(sphere, cylinder, axis, form):
    eye = read_eye(form.format(f"{sphere:+.2f}", f"{cylinder:+.2f}", axis))

    assert eye.power == SphereCylinder(sphere, cylinder, axis)


@given(st.text(alphabet="+-0123456789.,/ xX°()@DSCadprism&uninoutbase∞−×o", max_size=30))
def test_any_text_is_a_power_in_range_or_asked_about(text):
    try:
        eye = read_eye(text)
    except UnclearError:
        return
    assert eye.power is None or abs(eye.power.sphere_dpt) <= 30
    assert eye.power is None or (abs(eye.power.cylinder_dpt) <= 10 and 0 < eye.power.axis_deg <= 180)
