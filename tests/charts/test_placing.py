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


def test_a_band_beyond_the_outline_is_no_room():
    assert free_box((2.0, 1.0), (50.0, 30.0), room_in(SQUARE, 0.0).between(70.0, 90.0), [], 0.0) is None


@pytest.mark.parametrize("wanted", [(20.0, 30.0), (50.0, 50.0), (88.0, 71.0)])
@pytest.mark.parametrize("size", [(18.0, 9.0), (31.0, 22.0)])
def test_no_free_place_is_nearer(wanted, size):
    taken = [Box(35.0, 35.0, 70.0, 60.0), Box(10.0, 48.0, 20.0, 50.0)]
    steps = [(wanted[0] + 4 * i, wanted[1] + 2 * j) for i in range(-25, 26) for j in range(-50, 51)]

    box = free_box(size, wanted, room_in(CIRCLE, 4.0), taken, 2.0)

    assert is_free(box, taken, 2.0, 46.01)
    nearer = [at for at in steps if far(at, wanted) < far(middle(box), wanted) - 1e-9]
    assert nearer
    assert not any(is_free(box_about(at, size), taken, 2.0, 45.99) for at in nearer)


def is_free(box, taken, gap, radius):
    """Tell whether a box lies clear of others, and in the chords that rows of 3 units cut out of the circle, less 4."""
    rows = [3 * row for row in range(math.floor(box.top / 3), math.ceil(box.bottom / 3) + 1)]
    if min(rows) < 0 or max(rows) >= 100:
        return False
    half = min(math.sqrt(50**2 - (y - 50) ** 2) for y in rows) - 50 + radius
    return 50 - half <= box.left and box.right <= 50 + half and not any(box.meets(other, gap) for other in taken)


def far(at, wanted):
    return abs(at[0] - wanted[0]) + 2 * abs(at[1] - wanted[1])


def middle(box):
    return (box.left + box.right) / 2, (box.top + box.bottom) / 2


def box_about(at, size):
    return Box(at[0] - size[0] / 2, at[1] - size[1] / 2, at[0] + size[0] / 2, at[1] + size[1] / 2)


def test_a_room_can_be_cut_to_another_outline():
    half = [(50.0, -10.0), (200.0, -10.0), (200.0, 200.0), (50.0, 200.0)]

    box = free_box((20.0, 10.0), (10.0, 30.0), room_in(SQUARE, 0.0, half), [], 0.0)

    assert box.left >= 50.0
