"""Verify at the edges: each band edge of both standards, met from below, on it and from above, and each limit."""

from __future__ import annotations

import pytest

from explain.facts import data_file
from explain.order import read_order, read_shop
from explain.site.checking import check
from explain.story import verify, verify_prism
from explain.story.pair import Pair, eyes_of
from explain.story.verify import comparisons
from tests.story.band_edges import TABLES, all_cases
from tests.story.invented import write_order, write_shop

CASES = all_cases()
NOT_MEASURED = {
    "segment_horizontal_position", "segment_tilt", "segment_size", "segment_size_difference", "horizontal_axis_tilt",
    "base_curve", "centre_thickness", "warpage", "lens_size_in_frame",
}  # fmt: skip
"""Rows of the tables for which an order has no place to record a measurement."""
EVERY = pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)


@pytest.fixture(scope="session")
def shops(tmp_path_factory):
    """A shop for each family, with one material to compare with, and the folder its orders go to."""
    found = {}
    for family in ("us", "iso"):
        folder = tmp_path_factory.mktemp(family)
        found[family] = (folder, read_shop(write_shop(folder, standard=family)))
    return found


@pytest.fixture(scope="session")
def pairs(shops):
    """The pair of an order, without its lenses, which a comparison does not need; each order is read once."""
    known = {}

    def pair(family, **order):
        key = (family, repr(order))
        if key not in known:
            folder, shop = shops[family]
            read = read_order(write_order(folder, **order), shop).order
            known[key] = Pair(read, shop, eyes_of(read), None, (), 40.0)
        return known[key]

    return pair


@pytest.fixture(scope="session")
def one_of(pairs):
    """The comparison a case is about."""

    def find(case, checked):
        found = comparisons(pairs(case.family, **case.order, checked=checked))
        (one,) = [one for one in found if (one.quantity, one.eye) == (case.quantity, case.eye)]
        return one

    return find


@EVERY
def test_the_limit_is_the_one_its_source_prints(one_of, case):
    for checked in (*case.at_limit, *case.beyond):
        one = one_of(case, checked)

        assert one.allowed == (None if case.allowed is None else pytest.approx(case.allowed, abs=1e-9))
        assert one.firm == case.blocks or case.allowed is None


@EVERY
def test_a_value_at_its_limit_passes_and_just_beyond_does_not(one_of, case):
    assert [one_of(case, checked).inside for checked in case.at_limit] == [True] * len(case.at_limit)
    assert [one_of(case, checked).inside for checked in case.beyond] == [False] * len(case.beyond)


@pytest.mark.parametrize(
    ("limit_dpt", "measured", "inside"),
    [(0.12, "2.12", True), (0.12, "2.125", False), (0.12, "1.875", False), (0.12, "1.88", True)],
)
def test_an_eighth_cut_to_two_places_is_on_a_limit_of_0_12_and_in_full_is_beyond_it(pairs, limit_dpt, measured, inside):
    lenses, prescription = {"design": "progressive"}, {"add": "2.00", "heights": "20 / 20"}

    found = comparisons(pairs("us", lenses=lenses, prescription=prescription, checked={"add": measured}))

    assert [(one.allowed, one.inside) for one in found if one.quantity == "add"] == [(limit_dpt, inside)] * 2


@pytest.mark.parametrize(
    ("ordered", "sphere", "inside"),
    [
        ("-6.00 -1.00 x 90", -6.14, True),  # 2 percent of 7.00, the stronger meridian
        ("-6.00 -1.00 x 90", -6.141, False),
        ("-7.00 +1.00 x 180", -6.14, True),  # the same lens in the other form
        ("-6.50 -0.01 x 90", -6.6302, True),  # 2 percent of 6.51
        ("-6.50 -0.01 x 90", -6.6303, False),
        ("+7.00 -1.00 x 90", 7.14, True),
        ("+3.00 -6.00 x 90", 3.13, True),  # mixed: both meridians are 3.00
        ("+3.00 -6.00 x 90", 3.131, False),
    ],
)
def test_band_and_percentage_follow_the_stronger_meridian_and_the_sphere_is_compared(pairs, ordered, sphere, inside):
    cylinder = "-6.00 x 90" if "-6.00 x" in ordered else "-0.01 x 90" if "-0.01" in ordered else "-1.00 x 90"

    found = comparisons(pairs("us", prescription={"right": ordered}, checked={"right": f"{sphere:+.4f} {cylinder}"}))

    assert next(one.inside for one in found if one.quantity == "sphere") == inside


@pytest.mark.parametrize(
    ("family", "measured", "outside"),
    [
        ("iso", "-2.06 -1.06 x 90", []),  # 0.12 in the other meridian
        ("iso", "-2.07 -1.06 x 90", ["other meridian"]),  # 0.13, though sphere and cylinder are each inside
        ("iso", "-2.12 -0.88 x 90", []),
        ("us", "-2.13 -1.13 x 90", []),
    ],
)
def test_iso_limits_each_principal_meridian_and_the_us_table_the_sphere(pairs, family, measured, outside):
    found = comparisons(pairs(family, prescription={"right": "-2.00 -1.00 x 90"}, checked={"right": measured}))

    assert [one.quantity for one in found if not one.inside] == outside
    assert ("other meridian" in [one.quantity for one in found]) == (family == "iso")


@pytest.mark.parametrize("family", ["us", "iso"])
def test_a_family_is_judged_by_its_own_rows_alone(one_of, monkeypatch, family):
    """Everything of the other family is taken away, and nothing changes."""
    alone = {family: data_file("tolerances")[family]}
    own = [case for case in CASES if case.family == family]
    before = [one_of(case, checked) for case in own for checked in case.at_limit]

    monkeypatch.setattr(verify, "data_file", lambda _name: alone)
    assert not hasattr(verify_prism, "data_file")

    assert [one_of(case, checked) for case in own for checked in case.at_limit] == before


def test_no_row_of_the_tables_that_an_order_can_record_is_left_out():
    names = {
        "meridian_power": "sphere", "cylinder_power": "cylinder", "prism_at_reference_point": "prism",
        "horizontal_imbalance": "prism sideways", "vertical_imbalance": "prism up and down", "monocular_pd": "pd",
        "fitting_height": "height", "segment_height": "height", "fitting_height_difference": "height difference",
        "segment_height_difference": "height difference", "axis": "axis", "add": "add",
    }  # fmt: skip
    for family in ("us", "iso"):
        recorded = {row["quantity"] for row in data_file("tolerances")[family]["rows"]} - NOT_MEASURED
        assert {names[quantity] for quantity in recorded} == {case.quantity for case in CASES if case.family == family}


def outside_once():
    """One case of each row: the family, the quantity and the design, just beyond its limit."""
    seen = {}
    for case in CASES:
        if case.beyond:
            seen.setdefault((case.family, case.quantity, case.order["lenses"]["design"]), case)
    return list(seen.values())


@pytest.mark.parametrize("case", outside_once(), ids=lambda case: case.name)
def test_a_row_that_was_read_stops_the_pair_and_one_from_memory_only_warns(tmp_path, case):
    write_shop(tmp_path, standard=case.family)
    path = write_order(tmp_path, **case.order, checked=case.beyond[0])

    (result,) = check([path])

    about_it = [one for one in (*result.faults, *result.doubts) if " more than allowed" in one.message]
    assert about_it
    assert bool(result.faults) == any(named(case, one) and case.blocks for one in about_it)
    assert any(named(case, one) for one in about_it)


def named(case, finding):
    word = {"prism sideways": "unwanted prism sideways"}.get(case.quantity, case.quantity)
    return word in finding.message


def test_every_source_named_here_is_one_of_ours():
    named_sources = {key for family in ("us", "iso") for row in TABLES[family] for key in row["sources"]}

    assert named_sources <= set(data_file("sources"))
