"""Finding room for words inside an outline."""

import math

import pytest

from explain.charts.placing import free_box, room_in
from explain.charts.spacing import Box

SQUARE = [(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)]
CIRCLE = [(50 + 50 * math.cos(math.radians(turn)), 50 + 50 * math.sin(math.radians(turn))) for turn in range(360)]


def test_a_box_with_room_stands_where_it_is_wanted():
    box = free_box((20.0, 10.0), (50.0, 30.0), room_in(SQUARE, 2.0), [], 1.0)

    assert box == Box(40.0, 25.0, 60.0, 35.0)


def test_a_box_keeps_clear_of_what_is_taken():
    taken = Box(45.0, 25.0, 55.0, 35.0)

    box = free_box((20.0, 10.0), (50.0, 30.0), room_in(SQUARE, 2.0), [taken], 3.0)

    assert not box.meets(taken, 3.0)


def test_a_box_stays_inside_a_round_outline():
    box = free_box((40.0, 20.0), (50.0, 2.0), room_in(CIRCLE, 0.0), [], 0.0)

    for corner in ((box.left, box.top), (box.right, box.top), (box.left, box.bottom), (box.right, box.bottom)):
        assert math.dist(corner, (50.0, 50.0)) <= 50.5
    assert box.top < 10


@pytest.mark.parametrize("size", [(99.0, 10.0), (20.0, 61.0)])
def test_a_box_too_large_finds_no_room(size):
    assert free_box(size, (50.0, 30.0), room_in(SQUARE, 2.0), [], 0.0) is None


def test_a_room_can_be_cut_to_a_band():
    band = room_in(SQUARE, 0.0).between(30.0, 60.0)

    assert free_box((20.0, 10.0), (50.0, 10.0), band, [], 0.0).top >= 30.0
    assert free_box((20.0, 40.0), (50.0, 10.0), band, [], 0.0) is None


def test_a_room_can_be_cut_to_another_outline():
    half = [(50.0, -10.0), (200.0, -10.0), (200.0, 200.0), (50.0, 200.0)]

    box = free_box((20.0, 10.0), (10.0, 30.0), room_in(SQUARE, 0.0, half), [], 0.0)

    assert box.left >= 50.0
