"""Colour fringes of a pair, in one figure that materials can be compared by."""

from __future__ import annotations

import math
from functools import lru_cache

from explain.facts import data_file
from explain.optics.fringe import chromatic_prism_dpt, off_centre_for_prism_mm
from explain.optics.prism import prism_components
from explain.story.pair import Eye, InMaterial, Pair, base_to_viewer

LOOK_ASIDE_MM = 10.0


def seen_fringe_prism_dpt() -> float:
    """Colour fringe below which most people are said to notice none [prism dpt], from data/verdicts.yaml."""
    return float(data_file("verdicts")["shown_from"]["color_fringe_prism_dpt"]["use"])


def fringe_prism_dpt(pair: Pair, made: InMaterial, off_mm: float = LOOK_ASIDE_MM) -> float:
    """Colour fringe of the lens where it is wider, looking off_mm to a side through the far part [prism dpt].

    Ordered prism spreads colours as well: it is joined to what the power makes, on the side where the two add up.
    """
    return chromatic_prism_dpt(_most_aside_prism_dpt(pair, off_mm), made.material.abbe_number)


def fringe_seen_from_mm(pair: Pair, made: InMaterial) -> float:
    """How far off the middle the fringe reaches what some people see [mm]; infinite where no lens gets there."""
    least = seen_fringe_prism_dpt() * made.material.abbe_number
    return min(off_centre_for_prism_mm(_ordered(eye), _per_mm(eye), least) for eye in pair.eyes)


@lru_cache(maxsize=8)
def _most_aside_prism_dpt(pair: Pair, off_mm: float) -> float:
    """Prism of the lens that has more, off_mm to a side; kept, as a pair is told in each material."""
    return max(_aside_prism_dpt(eye, off_mm) for eye in pair.eyes)


def _aside_prism_dpt(eye: Eye, off_mm: float) -> float:
    (right, up), (right_per_mm, up_per_mm) = _ordered(eye), _per_mm(eye)
    return max(math.hypot(right + right_per_mm * off, up + up_per_mm * off) for off in (off_mm, -off_mm))


def _ordered(eye: Eye) -> tuple[float, float]:
    return base_to_viewer(eye.ordered.prisms, eye.side)


def _per_mm(eye: Eye) -> tuple[float, float]:
    return prism_components(eye.made, 1.0, 0.0)
