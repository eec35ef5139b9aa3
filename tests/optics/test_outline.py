"""Outlines: boxes exact, shapes whole."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explain.optics.outline import (
    SHAPES,
    Points,
    box_size_mm,
    fitted_to_box,
    mirrored_outline,
    perimeter_mm,
    polar_points,
    radii_at_equal_angles_mm,
    radii_to_points,
    recentred,
    shape_outline,
    way_round,
)

shapes = st.sampled_from(sorted(SHAPES))
widths_mm = st.floats(min_value=38, max_value=62)
depths_mm = st.floats(min_value=22, max_value=58)
every_shape = pytest.mark.parametrize("shape", sorted(SHAPES))


def turns_deg(outline: Points) -> list[float]:
    """How far the way round turns left at each point."""
    ahead = [*outline[1:], outline[0]]
    headings = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in zip(outline, ahead, strict=True)]
    before = [headings[-1], *headings[:-1]]
    return [(math.degrees(after - first) + 180) % 360 - 180 for first, after in zip(before, headings, strict=True)]


def area_mm2(outline: Points) -> float:
    """Area, positive for a counter-clockwise outline."""
    ahead = [*outline[1:], outline[0]]
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(outline, ahead, strict=True)) / 2


def test_an_order_may_name_six_shapes() -> None:
    assert set(SHAPES) == {"round", "oval", "rounded", "square", "aviator-like", "cat-eye"}


@given(shapes, widths_mm, depths_mm)
def test_the_box_of_every_shape_is_exact_and_about_its_middle(shape: str, width: float, depth: float) -> None:
    outline = shape_outline(shape, width, depth)

    xs, ys = zip(*outline, strict=True)
    assert box_size_mm(outline) == pytest.approx((width, depth), abs=1e-9)
    assert (max(xs) + min(xs), max(ys) + min(ys)) == pytest.approx((0, 0), abs=1e-9)


@given(shapes, widths_mm, depths_mm)
def test_every_shape_runs_counter_clockwise_once_round_its_middle(shape: str, width: float, depth: float) -> None:
    """Each point lies further round than the one before it, so the outline never crosses itself."""
    outline = shape_outline(shape, width, depth)
    ahead = [*outline[1:], outline[0]]

    steps = [
        math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]) for a, b in zip(outline, ahead, strict=True)
    ]

    assert min(steps) > 0
    assert sum(steps) == pytest.approx(2 * math.pi)
    assert area_mm2(outline) > 0


@every_shape
def test_no_shape_has_a_kink_or_a_dent(shape: str) -> None:
    """At 180 points an even circle turns 2 degrees a point; no corner is sharper than 8, no dent deeper than 0.2."""
    turns = turns_deg(shape_outline(shape, 52, 40))

    assert sum(turns) == pytest.approx(360)
    assert max(turns) < 8
    assert min(turns) > -0.2


@every_shape
def test_no_shape_turns_by_jumps(shape: str) -> None:
    """The bend changes gently from point to point, as a file would leave it."""
    turns = turns_deg(shape_outline(shape, 52, 40))

    assert max(abs(b - a) for a, b in pairwise(turns)) < 1.0


def corner_radius(outline: Points, angle_deg: float) -> float:
    nearest = min(outline, key=lambda p: abs((math.degrees(math.atan2(p[1], p[0])) - angle_deg + 180) % 360 - 180))
    return math.hypot(*nearest)


@pytest.mark.parametrize("shape", sorted(set(SHAPES) - {"round"}))
def test_the_right_lens_is_cut_away_low_beside_the_nose_at_the_viewer_s_right(shape: str) -> None:
    outline = shape_outline(shape, 50, 50)

    low_nose = corner_radius(outline, 315)

    assert low_nose < min(corner_radius(outline, angle) for angle in (45, 135, 225)) - 0.1


def test_a_cat_eye_rises_to_its_outer_corner() -> None:
    outline = shape_outline("cat-eye", 54, 40)

    highest = max(outline, key=lambda point: point[1])

    assert highest[0] < -8


def test_a_round_shape_in_a_square_box_is_a_circle() -> None:
    outline = shape_outline("round", 46, 46)

    assert [math.hypot(x, y) for x, y in outline] == pytest.approx([23.0] * len(outline))
    assert perimeter_mm(outline) == pytest.approx(46 * math.pi, rel=1e-4)


def test_an_unknown_shape_is_refused() -> None:
    with pytest.raises(KeyError):
        shape_outline("hexagonal", 50, 40)


@given(shapes, widths_mm, depths_mm)
def test_mirroring_twice_gives_the_outline_back(shape: str, width: float, depth: float) -> None:
    outline = shape_outline(shape, width, depth)

    assert mirrored_outline(mirrored_outline(outline)) == outline


@given(shapes, widths_mm, depths_mm)
def test_mirroring_keeps_area_length_and_direction(shape: str, width: float, depth: float) -> None:
    outline = shape_outline(shape, width, depth)
    other = mirrored_outline(outline)

    assert area_mm2(other) == pytest.approx(area_mm2(outline))
    assert perimeter_mm(other) == pytest.approx(perimeter_mm(outline))


@given(shapes, st.floats(min_value=-30, max_value=30), st.floats(min_value=-30, max_value=30))
def test_recentring_undoes_a_shift(shape: str, right: float, up: float) -> None:
    outline = shape_outline(shape, 52, 38)

    moved = recentred([(x + right, y + up) for x, y in outline])

    assert [c for point in moved for c in point] == pytest.approx([c for point in outline for c in point], abs=1e-9)


@given(widths_mm, depths_mm)
def test_fitting_to_a_box_gives_exactly_that_box(width: float, depth: float) -> None:
    traced = radii_to_points([20 + 3 * math.cos(math.radians(3 * i)) for i in range(120)])

    assert box_size_mm(fitted_to_box(traced, width, depth)) == pytest.approx((width, depth), abs=1e-9)


def test_radii_start_at_the_viewer_s_right_and_run_counter_clockwise() -> None:
    points = radii_to_points([10, 20, 30, 40])

    assert [c for point in points for c in point] == pytest.approx([10, 0, 0, 20, -30, 0, 0, -40])


def test_perimeter_of_a_rectangle_is_the_sum_of_its_sides() -> None:
    assert perimeter_mm([(0, 0), (4, 0), (4, 3), (0, 3)]) == 14


@given(shapes, widths_mm, depths_mm, st.integers(min_value=8, max_value=720))
def test_radii_at_equal_angles_lie_on_the_outline(shape: str, width: float, depth: float, count: int) -> None:
    outline = shape_outline(shape, width, depth)

    points = radii_to_points(radii_at_equal_angles_mm(outline, count))

    for x, y in points[::7]:
        assert (
            min(distance_to_side(a, b, (x, y)) for a, b in zip(outline, outline[1:] + outline[:1], strict=True)) < 1e-9
        )


def distance_to_side(a: tuple[float, float], b: tuple[float, float], at: tuple[float, float]) -> float:
    """How far a place lies from a straight piece of outline [mm]."""
    side, way = (b[0] - a[0], b[1] - a[1]), (at[0] - a[0], at[1] - a[1])
    share = (side[0] * way[0] + side[1] * way[1]) / (side[0] ** 2 + side[1] ** 2)
    share = min(1.0, max(0.0, share))
    return math.dist(at, (a[0] + share * side[0], a[1] + share * side[1]))


@given(shapes, st.integers(min_value=3, max_value=300))
def test_radii_come_back_from_their_own_points(shape: str, count: int) -> None:
    radii = radii_at_equal_angles_mm(shape_outline(shape, 52, 40), 300)

    assert radii_at_equal_angles_mm(radii_to_points(radii), 300) == pytest.approx(radii)
    assert polar_points(radii, [360 * i / 300 for i in range(300)])[count % 300] == pytest.approx(
        radii_to_points(radii)[count % 300]
    )


@given(shapes, widths_mm, depths_mm)
def test_a_shape_goes_once_round_and_backwards_the_other_way(shape: str, width: float, depth: float) -> None:
    outline = shape_outline(shape, width, depth)

    assert (way_round(outline), way_round(outline[::-1])) == (1, -1)


@pytest.mark.parametrize(
    "points",
    [
        [(2, 1), (3, 1), (3, 2), (2, 2)],
        [(1, 0), (-1, 0), (0, 1), (0, -1)],
        [(1, 0), (0, 1), (-1, 0), (0, -1)] * 2,
        [(1, 0), (0, 1), (0, 1), (-1, 0), (0, -1)],
    ],
    ids=["beside the origin", "out of order", "twice round", "one point twice"],
)
def test_what_does_not_go_once_round_the_origin_is_noticed(points: list[tuple[float, float]]) -> None:
    assert way_round(points) == 0
    with pytest.raises(ValueError, match="once round"):
        radii_at_equal_angles_mm(points, 8)
