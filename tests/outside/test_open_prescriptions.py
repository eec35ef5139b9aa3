"""Laws of lenses, held against glasses that real people wear.

Runs over tests/data/prescriptions_sample.csv. For another file of the same columns, such as the whole survey, give its
path:

    PRESCRIPTIONS_CSV=path/to/prescriptions.csv python -m pytest tests/outside/test_open_prescriptions.py -s
"""

from __future__ import annotations

import csv
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from msgspec.structs import replace

from explain.optics.lens import Lens, edge_by_angle, edge_thicknesses_mm, thickest_edge, thickest_mm
from explain.optics.making import LensOrder, front_radius_mm, make_lens
from explain.optics.outline import mirrored_outline, shape_outline
from explain.optics.power import SphereCylinder, power_in_meridian_dpt, transposed, wrapped_axis_deg
from explain.optics.surfaces import TOOL_INDEX, DoesNotReachError, back_vertex_power_dpt
from explain.optics.weight import volume_mm3
from explain.order.typed import read_eye

SAMPLE = Path(__file__).parent.parent / "data" / "prescriptions_sample.csv"
CSV = Path(os.environ.get("PRESCRIPTIONS_CSV", SAMPLE))

FRAMES = (("rounded", 52.0, 38.0), ("aviator-like", 57.0, 47.0), ("oval", 48.0, 30.0))
RIGHT_OUTLINES = tuple(shape_outline(*frame) for frame in FRAMES)
LEFT_OUTLINES = tuple(mirrored_outline(outline) for outline in RIGHT_OUTLINES)
INWARDS_MM, UPWARDS_MM = 3.0, 2.0
INDEXES = (1.498, 1.523, 1.53, 1.56, 1.586, 1.60, 1.67, 1.74)
"""Refractive indexes of the materials that an order may name."""
MINIMUM_CENTRE_MM, MINIMUM_EDGE_MM = 1.5, 1.0
STRONG_DPT = 9.0
"""Only lenses at least this strong may be impossible to make with our front curves."""


@dataclass(frozen=True, slots=True)
class Eye:
    side: str
    power: SphereCylinder

    @property
    def strongest_dpt(self) -> float:
        return max(abs(self.power.sphere_dpt), abs(self.power.sphere_dpt + self.power.cylinder_dpt))


def read_eyes(path: Path) -> list[Eye]:
    """Read every lens of the survey; an axis of 0 is written 180, an empty eye is passed over."""
    with path.open(encoding="utf-8", newline="") as text:
        rows = list(csv.DictReader(text))
    return [_eye(row, side) for row in rows for side in ("r", "l") if row[f"sphere_{side}"]]


def _eye(row: dict[str, str], side: str) -> Eye:
    sphere, cylinder = float(row[f"sphere_{side}"]), float(row[f"cyl_{side}"] or 0)
    axis = wrapped_axis_deg(float(row[f"axis_{side}"] or 0)) if cylinder else 180.0
    return Eye(side, SphereCylinder(sphere, cylinder, axis))


def lens_order(eye: Eye, frame: int, index: float) -> LensOrder:
    right = eye.side == "r"
    return LensOrder(
        power=eye.power,
        outline=(RIGHT_OUTLINES if right else LEFT_OUTLINES)[frame],
        reference_point=(INWARDS_MM if right else -INWARDS_MM, UPWARDS_MM),
        index=index,
        minimum_centre_mm=MINIMUM_CENTRE_MM,
        minimum_edge_mm=MINIMUM_EDGE_MM,
    )


def every_order(eyes: list[Eye], indexes: tuple[float, ...] = INDEXES) -> Iterator[tuple[Eye, LensOrder]]:
    for eye in eyes:
        for frame in range(len(FRAMES)):
            for index in indexes:
                yield eye, lens_order(eye, frame, index)


@pytest.fixture(scope="module")
def eyes() -> list[Eye]:
    return read_eyes(CSV)


@dataclass(frozen=True, slots=True)
class Made:
    """Every lens that could be made, and the eyes of those that could not."""

    lenses: list[tuple[LensOrder, Lens]]
    refused: list[tuple[Eye, LensOrder]]

    def of_index(self, *indexes: float) -> list[tuple[LensOrder, Lens]]:
        return [(order, lens) for order, lens in self.lenses if order.index in indexes]


@pytest.fixture(scope="module")
def made(eyes: list[Eye]) -> Made:
    made = Made([], [])
    for eye, order in every_order(eyes):
        try:
            made.lenses.append((order, make_lens(order)))
        except DoesNotReachError:
            made.refused.append((eye, order))
    return made


def test_the_file_holds_hundreds_of_lenses_of_both_signs(eyes: list[Eye]) -> None:
    assert len(eyes) >= 500
    assert any(eye.power.sphere_dpt < -8 for eye in eyes)
    assert any(eye.power.sphere_dpt > 6 for eye in eyes)


def test_only_a_few_very_strong_lenses_cannot_be_made(
    eyes: list[Eye], made: Made, note: Callable[[str, float], None]
) -> None:
    tried = len(eyes) * len(FRAMES) * len(INDEXES)
    note("eyes", len(eyes))
    note("lenses tried", tried)
    note("refused", len(made.refused))
    note("weakest refused dpt", min((eye.strongest_dpt for eye, _ in made.refused), default=0.0))

    assert len(made.lenses) + len(made.refused) == tried
    assert len(made.refused) <= 0.01 * tried
    assert all(eye.strongest_dpt >= STRONG_DPT for eye, _ in made.refused)


def test_no_edge_is_thinner_than_the_least_edge(made: Made) -> None:
    for _, lens in made.lenses:
        assert edge_thicknesses_mm(lens).min() >= MINIMUM_EDGE_MM - 1e-6


def test_every_lens_meets_one_of_its_least_thicknesses_exactly(made: Made) -> None:
    """No lens is thicker than it has to be."""
    for _, lens in made.lenses:
        spare = lens.centre_mm - MINIMUM_CENTRE_MM, edge_thicknesses_mm(lens).min() - MINIMUM_EDGE_MM

        assert abs(min(spare)) < 1e-8


def test_surfaces_give_back_the_ordered_back_vertex_power(made: Made, note: Callable[[str, float], None]) -> None:
    misses = []
    for order, lens in made.lenses:
        bend = 1000 * (lens.index - 1)
        for turn, curvature in ((0, lens.back.along_per_mm), (90, lens.back.across_per_mm)):
            found = back_vertex_power_dpt(bend * lens.front_per_mm, -bend * curvature, lens.centre_mm, lens.index)
            ordered = power_in_meridian_dpt(order.power, lens.back.direction_deg + turn)
            misses.append(abs(found - ordered))

    note("worst dpt", max(misses))
    assert max(misses) < 1e-9


def test_more_minus_is_never_thinner_at_its_thickest_edge(made: Made) -> None:
    """A quarter dioptre more minus, with the same front curve and centre thickness."""
    compared, out_of_reach = 0, 0
    for order, lens in made.of_index(1.498, 1.67):
        same = replace(order, base_curve_dpt=(TOOL_INDEX - 1) * 1000 / front_radius_mm(order), centre_mm=lens.centre_mm)
        power = order.power
        more = SphereCylinder(power.sphere_dpt - 0.25, power.cylinder_dpt, power.axis_deg)
        try:
            stronger = make_lens(replace(same, power=more))
        except DoesNotReachError:
            out_of_reach += 1
            continue

        compared += 1
        assert thickest_edge(stronger).thickness_mm > thickest_edge(lens).thickness_mm
    assert out_of_reach <= 0.01 * compared


def test_the_other_eye_s_mirrored_order_gives_mirrored_numbers(made: Made) -> None:
    for order, lens in made.of_index(1.60):
        power = order.power
        flipped = SphereCylinder(power.sphere_dpt, power.cylinder_dpt, wrapped_axis_deg(180 - power.axis_deg))
        x, y = order.reference_point
        outline = mirrored_outline(order.outline)
        other = make_lens(replace(order, power=flipped, outline=outline, reference_point=(-x, y)))

        assert abs(edge_thicknesses_mm(other)[::-1] - edge_thicknesses_mm(lens)).max() < 1e-9
        assert volume_mm3(other) == pytest.approx(volume_mm3(lens), rel=1e-9)
        assert other.centre_mm == pytest.approx(lens.centre_mm, abs=1e-9)


def test_transposed_prescriptions_give_the_same_lens(made: Made) -> None:
    for order, lens in made.of_index(1.498):
        other = make_lens(replace(order, power=transposed(order.power)))

        assert abs(edge_thicknesses_mm(other) - edge_thicknesses_mm(lens)).max() < 1e-9
        assert volume_mm3(other) == pytest.approx(volume_mm3(lens), rel=1e-9)


def test_a_higher_index_is_never_noticeably_thicker(made: Made, note: Callable[[str, float], None]) -> None:
    """At its thickest, with the same least thicknesses.

    Up to 0.02 mm is allowed: with one front radius for all materials a higher index gives the front more power, and the
    thickness of the lens adds to that; the back has to be hollower to take it away again. In a lens of nearly no power
    nothing else is left, so its edge grows (by 0.003 mm at most in the sample).
    """
    growth = [0.0]
    for (one, lens), (other, denser) in zip(made.lenses, made.lenses[1:], strict=False):
        if one.power == other.power and one.outline is other.outline and other.index > one.index:
            growth.append(thickest_mm(denser) - thickest_mm(lens))

    note("most growth mm", max(growth))
    assert len(growth) > 0.8 * len(made.lenses)
    assert max(growth) < 0.02


def test_edge_list_starts_at_the_viewer_s_right_and_holds_every_point(made: Made) -> None:
    for order, lens in made.of_index(1.53)[:100]:
        edge = edge_by_angle(lens)

        assert len(edge) == len(order.outline)
        assert [point.angle_deg for point in edge] == sorted(point.angle_deg for point in edge)
        assert sum(point.thickness_mm for point in edge) == pytest.approx(edge_thicknesses_mm(lens).sum())


def as_typed(power: SphereCylinder) -> str:
    """Write a power as most prescriptions do."""
    if power.cylinder_dpt == 0:
        return f"{power.sphere_dpt:+.2f} DS"
    return f"{power.sphere_dpt:+.2f} {power.cylinder_dpt:+.2f} x {power.axis_deg:.0f}"


def test_every_prescription_can_be_typed_in_both_forms_and_is_read_as_it_is(eyes: list[Eye]) -> None:
    for eye in eyes:
        for power in (eye.power, transposed(eye.power)):
            typed = read_eye(as_typed(power)).power

            assert typed is not None
            assert typed.sphere_dpt == pytest.approx(power.sphere_dpt, abs=1e-9)
            assert (typed.cylinder_dpt, typed.axis_deg) == (power.cylinder_dpt, power.axis_deg)


def test_an_axis_of_0_in_the_file_is_read_as_180() -> None:
    with SAMPLE.open(encoding="utf-8", newline="") as text:
        rows = [row for row in csv.DictReader(text) if row["axis_r"] == "0" and float(row["cyl_r"] or 0)]

    assert rows
    for row in rows:
        assert _eye(row, "r").power == read_eye(f"{float(row['sphere_r']):+.2f} +{row['cyl_r']} x 0").power
