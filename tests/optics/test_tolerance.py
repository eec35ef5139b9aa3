"""Tolerance: what each row allows, at both sides of every band edge of the US family."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.facts import data_file
from explain.optics.power import SphereCylinder, transposed, wrapped_axis_deg
from explain.optics.tolerance import (
    PROGRESSIVE,
    SINGLE_VISION_OR_MULTIFOCAL,
    Amounts,
    PrismLimit,
    add_tolerance_dpt,
    allowed_prism_dpt,
    allowed_shift_mm,
    axis_error_left_over,
    axis_error_tolerance_deg,
    axis_tolerance_deg,
    cylinder_tolerance_dpt,
    height_difference_tolerance_mm,
    height_tolerance_mm,
    horizontal_imbalance_limit,
    meridian_power_tolerance_dpt,
    pd_tolerance_mm,
    placement_tolerance_mm,
    row_for,
    vertical_imbalance_limit,
)
from tests.published.reader import examples, lens, section

US = data_file("tolerances")["us"]["rows"]
ISO = data_file("tolerances")["iso"]["rows"]
FAMILIES = {"us": US, "iso": ISO}
LENSES = (SINGLE_VISION_OR_MULTIFOCAL, PROGRESSIVE)
BANDED_BY = {"power": "power_dpt", "cylinder": "cylinder_dpt", "add": "add_dpt", "prescribed": "prism_dpt"}
STEP = 0.001

quarters = st.integers(-80, 80).map(lambda steps: steps / 4)
lenses = st.builds(SphereCylinder, quarters, quarters, st.integers(1, 180).map(float))


def edges(rows: list[dict]) -> list:
    """Every edge of every band: the row, what its band is chosen by, which edge, and where it lies."""
    found = []
    for row in rows:
        for key, value in row.items():
            name, _, edge = key.partition("_")
            edge = edge.removesuffix("_prism_dpt").removesuffix("_dpt")
            if name in BANDED_BY and edge in ("up_to", "from", "above", "below"):
                found.append(pytest.param(row, BANDED_BY[name], edge, value, id=f"{row['id']}-{edge}-{value}"))
    return found


def found_at(rows: list[dict], row: dict, measure: str, value: float) -> bool:
    lens_kind = PROGRESSIVE if row["lens"] == "any" else row["lens"]
    return row_for(rows, row["quantity"], lens_kind, Amounts(**{measure: value})) is row


@pytest.mark.parametrize(("row", "measure", "edge", "value"), edges(US))
def test_a_us_row_holds_up_to_its_edge_and_no_further(row, measure, edge, value):
    outwards = STEP if edge in ("up_to", "below") else -STEP

    assert found_at(US, row, measure, value - outwards)
    assert found_at(US, row, measure, value) is (edge in ("up_to", "from"))
    assert not found_at(US, row, measure, value + outwards)


@pytest.mark.parametrize("quantity", ["meridian_power", "cylinder_power", "axis", "add"])
@pytest.mark.parametrize("lens_kind", LENSES)
@pytest.mark.parametrize("family", sorted(FAMILIES))
@given(st.floats(0, 25), st.floats(0, 8), st.floats(0, 6))
def test_exactly_one_row_fits_any_power_cylinder_and_add(family, lens_kind, quantity, power, cylinder, add):
    amounts = Amounts(power_dpt=power, cylinder_dpt=cylinder, add_dpt=add)

    fitting = [row for row in FAMILIES[family] if row_for([row], quantity, lens_kind, amounts)]
    assert len(fitting) == 1


@pytest.mark.parametrize(
    ("lens_kind", "power", "allowed"),
    [
        (SINGLE_VISION_OR_MULTIFOCAL, 6.50, 0.13),
        (SINGLE_VISION_OR_MULTIFOCAL, 6.75, 0.135),
        (PROGRESSIVE, 8.00, 0.16),
        (PROGRESSIVE, 8.25, 0.165),
    ],
)
def test_us_power_tolerance_widens_past_its_edge(lens_kind, power, allowed):
    assert meridian_power_tolerance_dpt(US, lens_kind, SphereCylinder(-power)) == pytest.approx(allowed)


@pytest.mark.parametrize(
    ("lens_kind", "cylinder", "allowed"),
    [
        (SINGLE_VISION_OR_MULTIFOCAL, 2.00, 0.13),
        (SINGLE_VISION_OR_MULTIFOCAL, 2.25, 0.15),
        (SINGLE_VISION_OR_MULTIFOCAL, 4.50, 0.15),
        (SINGLE_VISION_OR_MULTIFOCAL, 4.75, 0.19),
        (PROGRESSIVE, 2.00, 0.16),
        (PROGRESSIVE, 2.25, 0.18),
        (PROGRESSIVE, 3.50, 0.18),
        (PROGRESSIVE, 3.75, 0.1875),
    ],
)
def test_us_cylinder_tolerance_at_both_sides_of_its_edges(lens_kind, cylinder, allowed):
    ordered = SphereCylinder(1.00, -cylinder, 90)

    assert cylinder_tolerance_dpt(US, lens_kind, ordered) == pytest.approx(allowed)


@pytest.mark.parametrize(
    ("cylinder", "allowed"),
    [(0.11, None), (0.12, 14), (0.25, 14), (0.37, 7), (0.50, 7), (0.75, 5), (0.87, 3), (1.50, 3), (1.75, 2)],
)
@pytest.mark.parametrize("lens_kind", LENSES)
def test_us_axis_tolerance_at_both_sides_of_its_edges(lens_kind, cylinder, allowed):
    assert axis_tolerance_deg(US, lens_kind, SphereCylinder(0.0, -cylinder, 90)) == allowed


@pytest.mark.parametrize(("add", "allowed"), [(0.75, 0.12), (4.00, 0.12), (4.25, 0.18)])
@pytest.mark.parametrize("lens_kind", LENSES)
def test_us_add_tolerance_at_both_sides_of_its_edge(lens_kind, add, allowed):
    assert add_tolerance_dpt(US, lens_kind, add) == allowed


@pytest.mark.parametrize("lens_kind", LENSES)
@given(lenses)
def test_a_tolerance_does_not_depend_on_how_the_prescription_is_written(lens_kind, ordered):
    for tolerance in (meridian_power_tolerance_dpt, cylinder_tolerance_dpt, axis_tolerance_deg):
        for rows in FAMILIES.values():
            assert tolerance(rows, lens_kind, ordered) == tolerance(rows, lens_kind, transposed(ordered))


def test_the_band_is_chosen_by_the_stronger_meridian_not_by_the_sphere():
    ordered = SphereCylinder(-6.00, -2.00, 90)

    allowed = meridian_power_tolerance_dpt(US, SINGLE_VISION_OR_MULTIFOCAL, ordered)
    assert allowed == pytest.approx(0.16)


@pytest.mark.parametrize(
    "example", [case for case in examples("tolerance") if "limit_dpt" in case.values[0]["printed"]]
)
def test_tolerance_agrees_with_the_printed_limit(example):
    asked = example["given"]
    limit = {"meridian_power": meridian_power_tolerance_dpt, "cylinder_power": cylinder_tolerance_dpt}

    answer = limit[asked["quantity"]](FAMILIES[asked["family"]], asked["lens"], lens(asked["ordered"]))
    assert answer == pytest.approx(example["printed"]["limit_dpt"], abs=example["tolerance"])


@pytest.mark.parametrize(
    "example", [case for case in examples("tolerance") if "passes_to_dpt" in case.values[0]["printed"]]
)
def test_tolerance_agrees_with_the_printed_range(example):
    asked, printed = example["given"], example["printed"]
    ordered = lens(asked["ordered"])

    allowed = meridian_power_tolerance_dpt(FAMILIES[asked["family"]], asked["lens"], ordered)
    assert ordered.sphere_dpt - allowed == pytest.approx(printed["passes_from_dpt"], abs=example["tolerance"])
    assert ordered.sphere_dpt + allowed == pytest.approx(printed["passes_to_dpt"], abs=example["tolerance"])
    assert abs(asked["measured_outside_dpt"] - ordered.sphere_dpt) > allowed


@pytest.mark.parametrize("lens_kind", LENSES)
@pytest.mark.parametrize(("power", "prism", "shift"), [(3.375, 0.33, 0.0), (-3.375, 0.33, 0.0), (3.376, 0.0, 1.0)])
def test_us_upright_prism_limit_turns_into_a_shift_for_strong_lenses(lens_kind, power, prism, shift):
    limit = vertical_imbalance_limit(US, lens_kind, power)

    assert (limit.prism_dpt, limit.shift_mm) == (prism, shift)


@pytest.mark.parametrize(
    ("lens_kind", "power", "prism", "shift", "counted"),
    [
        (SINGLE_VISION_OR_MULTIFOCAL, 2.75, 0.67, 0.0, "pair"),
        (SINGLE_VISION_OR_MULTIFOCAL, 2.76, 0.0, 2.5, "pair"),
        (PROGRESSIVE, 3.75, 0.67, 0.0, "pair"),
        (PROGRESSIVE, 3.76, 0.0, 1.0, "each-lens"),
    ],
)
def test_us_level_prism_limit_turns_into_a_shift_for_strong_lenses(lens_kind, power, prism, shift, counted):
    limit = horizontal_imbalance_limit(US, lens_kind, power)

    assert (limit.prism_dpt, limit.shift_mm, limit.counted) == (prism, shift, counted)


@given(st.floats(0.25, 15), st.floats(0.1, 1), st.floats(0, 3))
def test_a_prism_limit_as_shift_and_as_prism_is_the_same_limit(power, prism, shift):
    limit = PrismLimit(prism, shift, "pair", "row")

    assert allowed_shift_mm(limit, power) * power / 10 == pytest.approx(allowed_prism_dpt(limit, power))


def test_a_lens_without_power_may_sit_anywhere_as_far_as_prism_goes():
    assert allowed_shift_mm(PrismLimit(0.67, 0.0, "pair", "row"), 0.0) == math.inf


def test_us_placement_limits_by_kind_of_lens():
    assert (pd_tolerance_mm(US, PROGRESSIVE), pd_tolerance_mm(US, SINGLE_VISION_OR_MULTIFOCAL)) == (1.0, None)
    assert [height_tolerance_mm(US, kind) for kind in LENSES] == [1.0, 1.0]
    assert [height_difference_tolerance_mm(US, kind) for kind in LENSES] == [1.0, 1.0]
    assert placement_tolerance_mm(US, "segment_horizontal_position", SINGLE_VISION_OR_MULTIFOCAL) == 2.5
    assert placement_tolerance_mm(US, "centre_thickness", PROGRESSIVE) == 0.3


def test_a_quantity_no_row_speaks_of_is_an_error_not_a_guess():
    with pytest.raises(LookupError, match="no row for add"):
        add_tolerance_dpt([], PROGRESSIVE, 2.00)


@pytest.mark.parametrize("example", examples("axis_error_tolerance"))
def test_axis_error_tolerance_agrees_with_the_printed_answer(example):
    asked = example["given"]

    answer = axis_error_tolerance_deg(asked["cylinder_dpt"], asked["allowed_cylinder_dpt"])
    assert answer == pytest.approx(example["printed"]["turn_deg"], abs=example["tolerance"])


def mislocation_table() -> list:
    (table,) = section("axis_mislocation", "tables")
    return [
        pytest.param(cylinder, turned, apart, left, table["tolerance"], id=f"{cylinder}-turned-{turned}")
        for turned, apart, row in table["rows"]
        for cylinder, left in zip(table["cylinders_dpt"], row, strict=True)
    ]


@pytest.mark.parametrize(("cylinder", "turned", "apart", "left", "tolerance"), mislocation_table())
def test_axis_mislocation_agrees_with_the_printed_table(cylinder, turned, apart, left, tolerance):
    answer = axis_error_left_over(SphereCylinder(0.0, cylinder, 90.0), turned)

    assert (answer.sphere_dpt, answer.cylinder_dpt) == pytest.approx(left, abs=tolerance)
    assert answer.axis_deg == pytest.approx(90 - apart)


@given(st.floats(0.25, 6), st.floats(0.05, 0.5))
def test_an_axis_turned_to_its_limit_leaves_just_the_allowed_cylinder(cylinder, allowed):
    limit = axis_error_tolerance_deg(cylinder, allowed)

    left = axis_error_left_over(SphereCylinder(-1.0, -cylinder, 40), limit)
    assert abs(left.cylinder_dpt) == pytest.approx(min(allowed, 2 * cylinder))


@given(lenses)
def test_a_lens_turned_half_round_is_the_same_lens(ordered):
    left = axis_error_left_over(ordered, 180)

    assert (left.sphere_dpt, left.cylinder_dpt) == pytest.approx((0, 0), abs=1e-9)
    assert 0 < wrapped_axis_deg(left.axis_deg) <= 180


def test_the_us_axis_rows_leave_about_an_eighth_of_a_dioptre_over():
    for row in US:
        if row["quantity"] == "axis" and "cylinder_up_to_dpt" in row:
            left = 2 * row["cylinder_up_to_dpt"] * math.sin(math.radians(row["allowed_deg"]))

            assert left == pytest.approx(0.12, abs=0.04)
