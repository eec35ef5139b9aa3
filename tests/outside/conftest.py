"""Lenses of every kind, and one real laboratory order, for the checks against the outside world."""

from __future__ import annotations

import random
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from explain.optics.making import LensOrder
from explain.optics.outline import SHAPES, Points, mirrored_outline, shape_outline
from explain.optics.power import SphereCylinder
from explain.order.trace import read_trace
from explain.order.trace_records import lines_of, records_of

DATA = Path(__file__).parent.parent / "data"
INDEXES = (1.498, 1.523, 1.53, 1.56, 1.586, 1.60, 1.67, 1.74)
"""Refractive indexes of the materials that an order may name."""


@dataclass(frozen=True, slots=True)
class LaboratoryOrder:
    """A message in the trade's open format: values by label, and the two outlines about their box centres [mm]."""

    values: dict[str, str]
    outlines: dict[str, Points]

    def number(self, label: str, side: str) -> float:
        """Value of one side: a pair is the right eye first, then the left."""
        return float(self.values[label].split(";")["RL".index(side)])


def read_laboratory_order(path: Path) -> LaboratoryOrder:
    """The records as text, and the outlines as our own reader of trace files gives them."""
    records = records_of(lines_of(path.read_bytes()))
    trace = read_trace(path)
    return LaboratoryOrder({one.label: one.text for one in records}, {"R": trace.right, "L": trace.left})


@pytest.fixture
def note(request: pytest.FixtureRequest) -> Callable[[str, float], None]:
    """Tell a worst difference to whoever runs pytest with -s or -rP."""

    def write(what: str, value: float) -> None:
        sys.stdout.write(f"\n{request.node.name}: {what} {value:.3g}\n")

    return write


@pytest.fixture(scope="session")
def laboratory_order() -> LaboratoryOrder:
    return read_laboratory_order(DATA / "traces" / "frame_360_full_order.txt")


@pytest.fixture(scope="session")
def random_orders(laboratory_order: LaboratoryOrder) -> Callable[..., list[LensOrder]]:
    """Give `count` seeded orders: -12 to +8 dpt both ways, cylinders to 4, every material, real outlines."""
    traced = list(laboratory_order.outlines.values())

    def draw(count: int, seed: int, most_prism_dpt: float = 0.0) -> list[LensOrder]:
        dice = random.Random(seed)  # noqa: S311 - the same lenses every time, no secret
        return [_random_order(dice, traced, most_prism_dpt) for _ in range(count)]

    return draw


def _random_order(dice: random.Random, traced: list[Points], most_prism_dpt: float) -> LensOrder:
    return LensOrder(
        power=_random_power(dice),
        outline=_random_outline(dice, traced),
        reference_point=(dice.uniform(-4, 4), dice.uniform(-2, 5)),
        index=dice.choice(INDEXES),
        minimum_centre_mm=dice.choice((1.0, 1.5, 2.0)),
        minimum_edge_mm=dice.choice((0.8, 1.0, 1.5)),
        prism_right_prism_dpt=dice.uniform(-most_prism_dpt, most_prism_dpt),
        prism_up_prism_dpt=dice.uniform(-most_prism_dpt, most_prism_dpt),
    )


def _random_power(dice: random.Random) -> SphereCylinder:
    one_way = dice.randrange(-48, 33) / 4
    cylinder = dice.randrange(-16, 17) / 4
    while not -12 <= one_way + cylinder <= 8:
        cylinder = dice.randrange(-16, 17) / 4
    return SphereCylinder(one_way, cylinder, float(dice.randrange(1, 181)))


def _random_outline(dice: random.Random, traced: list[Points]) -> Points:
    shape = dice.choice([*SHAPES, "traced"])
    if shape == "traced":
        return dice.choice(traced)
    outline = shape_outline(shape, dice.uniform(44, 56), dice.uniform(28, 44))
    return dice.choice((outline, mirrored_outline(outline)))
