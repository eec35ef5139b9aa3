"""Previous: the old pair as it is typed, both sides of each limit, and what is not compared."""

from __future__ import annotations

import pytest

from explain.optics.change import left_by_turn_dpt
from explain.order import OrderError, read_order, read_shop
from explain.order.model import Prism
from explain.order.previous import eye_changes, limit, net_prism
from tests.conftest import REPOSITORY
from tests.story.invented import write_order

ADD = {"add": "2.00", "heights": "18 / 18"}


@pytest.fixture
def read(tmp_path):
    shop = read_shop(REPOSITORY / "orders" / "shop.yaml")
    return lambda **changes: read_order(write_order(tmp_path, **changes), shop)


def doubted(read_result):
    return [doubt.key for doubt in read_result.doubts if doubt.key.startswith("previous")]


@pytest.mark.parametrize(
    ("old", "new", "doubt"),
    [
        ("-4.00 DS", "-4.00 DS", False),
        ("-3.50 DS", "-4.00 DS", False),
        ("-3.25 DS", "-4.00 DS", False),  # 0.75 exactly
        ("-4.75 DS", "-4.00 DS", False),
        ("-3.00 DS", "-4.00 DS", True),
        ("-5.00 DS", "-4.00 DS", True),
        ("-4.00 DS", "-4.00 -0.75 x 37", False),  # 0.75 exactly, in one direction
        ("-4.00 DS", "-4.00 -1.00 x 37", True),
        ("-4.75 +0.75 x 127", "-4.00 -0.75 x 37", False),  # the same lens
        ("-4.00 -1.00 x 10", "-4.00 -1.00 x 20", False),  # 10 degrees exactly
        ("-4.00 -1.00 x 10", "-4.00 -1.00 x 21", True),
        ("-4.00 -1.00 x 175", "-4.00 -1.00 x 5", False),
        ("-4.00 -1.00 x 174", "-4.00 -1.00 x 5", True),
        ("-4.00 -0.50 x 10", "-4.00 -0.50 x 40", False),  # a cylinder too weak for its axis to matter
        ("-4.00 -0.75 x 10", "-4.00 -0.75 x 40", True),
        ("-4.00 -0.50 x 10", "-4.00 -1.25 x 40", True),  # 0.92 in one direction
    ],
)
def test_a_change_is_doubted_beyond_the_limits_and_not_at_them(read, old, new, doubt):
    result = read(prescription={"right": new}, previous={"right": old})

    assert doubted(result) == (["previous.right"] if doubt else [])


@pytest.mark.parametrize(("old", "doubt"), [("2.00", False), ("1.25", False), ("1.00", True), ("3.00", True)])
def test_a_change_of_the_add_is_doubted_beyond_075(read, old, doubt):
    previous = {"right": "-4.00 DS", "left": "-3.00 DS", "add": old, "design": "progressive"}

    result = read(prescription=ADD, lenses={"design": "progressive"}, previous=previous)

    assert doubted(result) == (["previous.right", "previous.left"] if doubt else [])


def test_the_axis_matters_from_the_cylinder_whose_turn_by_the_limit_leaves_a_quarter():
    least, turn = limit("axis_matters_from_cylinder_dpt"), limit("axis_deg")

    assert left_by_turn_dpt(least - 0.25, turn) < 0.25 <= left_by_turn_dpt(least, turn)


def test_two_near_only_pairs_are_compared_at_near(read):
    previous = {"right": "-4.00 DS", "add": "1.50", "design": "reading"}

    (change,) = eye_changes(read(prescription=ADD, lenses={"design": "reading"}, previous=previous).order)

    assert (change.old.sphere_dpt, change.new.sphere_dpt) == (-2.50, -2.00)
    assert change.add_dpt is None


@pytest.mark.parametrize(
    ("previous", "eyes"),
    [
        (None, {}),
        ("none", {}),
        ({"design": "bifocal"}, {}),
        ({"right": "balance"}, {}),
        ({"right": "-1.00 DS"}, {"right": "balance"}),
        ({"right": "-1.00 DS", "design": "reading"}, {}),  # a near power beside a far one
    ],
)
def test_what_is_not_known_is_not_compared(read, previous, eyes):
    result = read(prescription=eyes, previous=previous)

    assert eye_changes(result.order) == ()
    assert doubted(result) == []


@pytest.mark.parametrize(
    ("typed", "first"), [("none", True), ("First Pair", True), (None, False), ({"design": "plano"}, False)]
)
def test_a_first_pair_can_be_said(read, typed, first):
    order = read(previous=typed).order

    assert order.is_first_pair == first
    assert (order.previous is None) == (first or typed is None)


def test_another_word_than_none_is_refused_with_what_may_be_typed(read):
    with pytest.raises(OrderError) as raised:
        read(previous="unknown")

    (fault,) = raised.value.faults
    assert fault.key == "previous"
    assert "or none, when this is the first pair" in fault.allowed


@pytest.mark.parametrize(
    ("prisms", "net"),
    [
        ((), (0, 0)),
        ((Prism(2.0, "in"),), (2.0, 0)),
        ((Prism(2.0, "in"), Prism(2.0, "out")), (0, 0)),
        ((Prism(1.5, "down"), Prism(1.0, "out")), (-1.0, -1.5)),
    ],
)
def test_prisms_are_added_up_before_they_are_compared(prisms, net):
    assert net_prism(prisms) == net


@pytest.mark.parametrize(
    ("sent", "checked", "doubt"),
    [("2026-10-10", None, False), ("2026-10-01", None, True), ("2026-10-08", "2026-10-09", True)],
)
def test_a_pair_sent_before_it_was_ordered_or_checked_is_doubted(read, sent, checked, doubt):
    measured = {"right": "-4.00 DS", "left": "-3.00 DS", "on": checked} if checked else None

    keys = [found.key for found in read(sent=sent, checked=measured).doubts]

    assert ("sent" in keys) == doubt
