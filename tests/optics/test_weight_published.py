"""Weight: round lenses whose weight was worked out by others, by other means."""

from __future__ import annotations

import math

import pytest

from explain.optics.lens import Lens
from explain.optics.making import LensOrder, make_lens
from explain.optics.outline import Points
from explain.optics.power import SphereCylinder
from explain.optics.surfaces import ToricSurface, surface_radius_mm
from explain.optics.weight import volume_mm3, weight_g
from tests.published.reader import examples, ours


def circle(diameter_mm: float, points: int = 3600) -> Points:
    turns = [2 * math.pi * i / points for i in range(points)]
    return tuple((diameter_mm / 2 * math.cos(turn), diameter_mm / 2 * math.sin(turn)) for turn in turns)


@pytest.mark.parametrize("example", ours("lens_weight"))
def test_lens_weight_agrees_with_a_separate_calculation(example):
    asked, expected = example["given"], example["expected"]
    back = -1 / surface_radius_mm(asked["back_dpt"], asked["index"])
    lens = Lens(
        outline=circle(asked["diameter_mm"]),
        index=asked["index"],
        centre_mm=asked["centre_mm"],
        front_per_mm=1 / surface_radius_mm(asked["front_dpt"], asked["index"]),
        back=ToricSurface(back, back, 0.0),
        wedge_right=0.0,
        wedge_up=0.0,
        reference_point=(0.0, 0.0),
    )

    assert volume_mm3(lens) / 1000 == pytest.approx(expected["volume_cm3"], abs=example["tolerance"])
    assert weight_g(lens, asked["density_g_per_cm3"]) == pytest.approx(expected["weight_g"], abs=example["tolerance"])


@pytest.mark.parametrize("example", examples("plus_against_minus_weight"))
def test_a_plus_lens_is_heavier_than_its_minus_twin_as_printed(example):
    asked = example["given"]

    for power in asked["powers_dpt"]:
        plus, minus = (
            make_lens(
                LensOrder(
                    power=SphereCylinder(sign * power),
                    outline=circle(asked["diameter_mm"], points=180),
                    reference_point=(0.0, 0.0),
                    index=asked["index"],
                    minimum_centre_mm=asked["thin_mm"],
                    minimum_edge_mm=asked["thin_mm"],
                )
            )
            for sign in (1, -1)
        )
        assert volume_mm3(plus) > volume_mm3(minus)
