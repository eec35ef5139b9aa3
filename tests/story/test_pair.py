"""The pair: powers made, places of the lenses, materials offered and the least thickness."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from explain.optics.convergence import near_pd_mm
from explain.optics.outline import mirrored_outline, shape_outline
from explain.optics.power import SphereCylinder
from explain.optics.surfaces import DoesNotReachError
from explain.order.model import Prism
from explain.story.pair import SAFE_CENTRE_MM, base_to_viewer, frame_outline, work_out

READING = {"design": "reading", "material": "standard-plastic-1.50"}


def test_a_lens_is_made_to_the_power_that_was_ordered(pair_of):
    pair = pair_of(prescription={"right": "-2.00 -0.50 x 90"})

    assert pair.eyes[0].made == SphereCylinder(-2.0, -0.5, 90)


def test_a_reading_lens_is_made_to_the_power_for_near(pair_of):
    pair = pair_of(prescription={"right": "-2.00 -0.50 x 90", "left": "+1.00 DS", "add": "1.50"}, lenses=READING)

    assert [eye.made.sphere_dpt for eye in pair.eyes] == [-0.5, 2.5]


@pytest.mark.parametrize(("right", "left", "balance"), [("balance", "-2.00 -1.00 x 90", 0), ("+3.00 DS", "balance", 1)])
def test_a_balance_lens_is_made_to_the_average_power_of_the_other_eye(pair_of, right, left, balance):
    pair = pair_of(prescription={"right": right, "left": left})

    assert pair.eyes[balance].made == SphereCylinder({0: -2.5, 1: 3.0}[balance])


def test_a_lens_that_was_not_ordered_is_not_made(pair_of):
    pair = pair_of(prescription={"right": "none"})

    assert [eye.side for eye in pair.eyes] == ["left"]
    assert set(pair.chosen.lenses) == {"left"}


def test_the_lens_looks_through_where_the_eye_is(pair_of):
    pair = pair_of(prescription={"pd": "30 / 32", "heights": "21 / 19"})  # box centres lie 34 mm from the nose, 19 up

    assert pair.eyes[0].reference_point == (4.0, 2.0)  # right eye: the nose is to the viewer's right
    assert pair.eyes[1].reference_point == (-2.0, 0.0)


def test_without_a_height_a_lens_is_centred_half_way_up(pair_of):
    assert [eye.reference_point[1] for eye in pair_of().eyes] == [0, 0]


def test_the_height_of_a_bifocal_is_that_of_its_line_and_not_of_the_centre(pair_of):
    lenses = {"design": "bifocal", "material": "standard-plastic-1.50"}
    pair = pair_of(prescription={"add": "2.00", "heights": "15 / 15"}, lenses=lenses)

    assert [eye.reference_point[1] for eye in pair.eyes] == [0, 0]


def test_a_reading_pair_is_centred_for_near_as_ordered_or_worked_out(pair_of):
    eyes = {"right": "-0.50 DS", "left": "-0.50 DS", "add": "1.50"}
    ordered = pair_of(prescription=eyes | {"near-pd": "29 / 29.5"}, lenses=READING)
    worked_out = pair_of(prescription=eyes, lenses=READING, use=["desk at 65 cm"])

    assert [eye.pd_mm for eye in ordered.eyes] == [29.0, 29.5]
    assert worked_out.reading_cm == 65.0
    assert worked_out.eyes[0].pd_mm == pytest.approx(near_pd_mm(31.0, 65.0))
    assert worked_out.eyes[0].pd_mm < 31.0


def test_the_nearest_distance_named_is_what_a_reading_pair_is_for(pair_of):
    eyes = {"right": "-0.50 DS", "left": "-0.50 DS", "add": "1.50"}

    assert pair_of(prescription=eyes, lenses=READING, use=["desk at 70 cm", "reading at 45 cm"]).reading_cm == 45.0
    assert pair_of(prescription=eyes, lenses=READING).reading_cm == 40.0
    assert pair_of(use=["desk at 70 cm"]).reading_cm == 40.0


def test_the_left_outline_mirrors_the_right_one(pair_of):
    frame = pair_of(frame={"outline": "aviator-like"}).order.frame

    assert frame_outline(frame, "right") == shape_outline("aviator-like", 50, 38)
    assert frame_outline(frame, "left") == mirrored_outline(frame_outline(frame, "right"))


@pytest.mark.parametrize(
    ("base", "right_eye", "left_eye"),
    [("in", (2, 0), (-2, 0)), ("out", (-2, 0), (2, 0)), ("up", (0, 2), (0, 2)), ("down", (0, -2), (0, -2))],
)
def test_the_base_of_a_prism_is_turned_to_what_the_viewer_sees(base, right_eye, left_eye):
    prisms = (Prism(2.0, base),)

    assert base_to_viewer(prisms, "right") == right_eye
    assert base_to_viewer(prisms, "left") == left_eye


def test_two_prisms_of_one_eye_are_added_by_direction():
    assert base_to_viewer((Prism(1.0, "in"), Prism(1.5, "up")), "left") == (-1.0, 1.5)


def test_every_material_the_shop_offers_is_worked_out_beside_the_chosen_one(pair_of):
    pair = pair_of(lenses={"material": "high-index-1.60"})

    offered = {offer.choice for offer in pair.shop.materials}
    assert {made.material.key for made in pair.others} == offered - {"high-index-1.60"}


def test_a_material_that_was_chosen_but_is_no_longer_offered_is_worked_out_too(pair_of):
    pair = pair_of(lenses={"material": "crown-glass-1.52"})

    assert pair.chosen.material.key == "crown-glass-1.52"
    assert pair.plainest.material.key == "standard-plastic-1.50"


def test_the_chosen_material_is_the_plainest_where_the_shop_offers_none(pair_of):
    pair = pair_of()
    pair = replace(pair, shop=replace(pair.shop, materials=()), others=())

    assert pair.plainest is pair.chosen


@pytest.mark.parametrize("wearer", ["child", "one good eye"])
def test_a_child_or_a_wearer_with_one_good_eye_gets_no_lens_thinner_than_2_mm(pair_of, wearer):
    lenses = {"material": "polycarbonate-1.59"}
    safe, usual = pair_of(lenses=lenses, wearer=[wearer]), pair_of(lenses=lenses, wearer=["over 65"])

    assert min(one.lens.centre_mm for one in safe.chosen.lenses.values()) == pytest.approx(SAFE_CENTRE_MM)
    assert min(one.lens.centre_mm for one in usual.chosen.lenses.values()) < SAFE_CENTRE_MM


def test_a_curve_that_does_not_reach_the_corner_of_the_frame_is_named(pair_of):
    strong = {
        "prescription": {"right": "+20.00 DS", "left": "+20.00 DS"},
        "frame": {"size": "70-14-140", "depth": "60"},
    }

    with pytest.raises(DoesNotReachError) as raised:
        pair_of(**strong)

    assert raised.value.radius_mm < raised.value.distance_mm


def test_the_same_order_is_worked_out_the_same_twice(pair_of):
    pair = pair_of()

    assert work_out(pair.order, pair.shop) == pair
