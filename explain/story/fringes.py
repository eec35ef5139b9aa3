"""Colour fringes of a pair, in one figure that materials can be compared by."""

from __future__ import annotations

import math

from explain.optics.fringe import transverse_chromatic_prism_dpt
from explain.optics.power import strongest_power_dpt
from explain.story.pair import InMaterial, Pair, base_to_viewer

LOOK_ASIDE_MM = 10.0
SEEN_FRINGE_PRISM_DPT = 0.10
"""Colour fringes below this are said to go unnoticed by most (common practice, from memory)."""


def fringe_prism_dpt(pair: Pair, made: InMaterial) -> float:
    """Colour fringe of the lens where it is widest, looking 10 mm aside through the far part [prism dpt].

    Ordered prism spreads colours as well, so it is added to what the power makes 10 mm from the centre.
    """
    return max(
        transverse_chromatic_prism_dpt(abs(strongest_power_dpt(eye.made)), LOOK_ASIDE_MM, made.material.abbe_number)
        + math.hypot(*base_to_viewer(eye.ordered.prisms, eye.side)) / made.material.abbe_number
        for eye in pair.eyes
    )
