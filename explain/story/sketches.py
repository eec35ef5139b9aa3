"""Sketches: our own line drawings, each with its caption and what it shows in words."""

from __future__ import annotations

from types import MappingProxyType

from explain.story.blocks import Sketch

_SAID = {
    "hold": ("Hold both rims", "Hands hold a pair of glasses by the rims and set it down on a table."),
    "table-side": (
        "From the side",
        "Glasses on a table from the side. The rims and the bent end of the arm touch the table.",
    ),
    "table-front": ("From the front", "Glasses on a table from the front. Both rims touch it and are equally high."),
    "table-points": (
        "From above",
        "Glasses on a table from above. Broken rings mark the 3 places that touch: the front and the end of each arm.",
    ),
    "arms-straight": ("Straight", "A head from above. The arms run straight back and touch only near the ears."),
    "arms-pinch": ("Pinching", "A head from above. The arms press on the temples and stand away from the ears."),
    "face-level": ("Level", "A face from the front. Both lenses are equally high."),
    "face-crooked": ("Crooked", "A face from the front. 1 ear and the lens on that side are higher than the other."),
    "lashes-clear": ("A gap", "An eye from the side. There is a gap between the lashes and the lens."),
    "lashes-touch": ("Too close", "An eye from the side. The lashes touch the lens."),
    "look-far": (
        "Far",
        "A head from the side, held level. The eye looks straight ahead through the upper part of the lens, at a tree.",
    ),
    "look-arm": (
        "Arm's length",
        "A head from the side, held level. The eye looks a little down through the middle of the lens, at a screen.",
    ),
    "look-near": (
        "Near",
        "A head from the side, held level. The eye looks down through the lowest part of the lens, at a page.",
    ),
    "clean-rinse": ("Rinse", "Water from a tap runs over the lenses."),
    "clean-drop": ("Soap", "A drop of soap falls from a bottle onto the lenses."),
    "clean-wipe": ("Dry", "A soft cloth moves to and fro over a lens."),
    "lay-down": ("Lenses up", "Folded glasses lie on a table on their arms, with the lenses up."),
}
SKETCHES = MappingProxyType({name: Sketch(name, *said) for name, said in _SAID.items()})
"""Every drawing of templates/drawings, by the name of its file."""


def sketches(*names: str) -> tuple[Sketch, ...]:
    """Some drawings, in the order asked for. Raises KeyError for one that we do not have."""
    return tuple(SKETCHES[name] for name in names)
