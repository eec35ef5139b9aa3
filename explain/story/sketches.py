"""Sketches: our own line drawings, each with its caption and what it shows in words."""

from __future__ import annotations

from collections.abc import Iterable
from types import MappingProxyType

from explain.language import _, later, said_once
from explain.story.blocks import PicturedStep, Sketch

_SAID = {
    "hold": (later("Hold both rims"), later("Hands hold a pair of glasses by the rims and set it down on a table.")),
    "table-side": (
        later("From the side"),
        later("Glasses on a table from the side. The rims and the bent end of the arm touch the table."),
    ),
    "table-front": (
        later("From the front"),
        later("Glasses on a table from the front. Both rims touch it and are equally high."),
    ),
    "table-points": (
        later("From above"),
        later(
            "Glasses on a table from above. "
            "Broken rings mark the 3 places that touch: the front and the end of each arm."
        ),
    ),
    "arms-straight": (
        later("Straight"),
        later("A head from above. The arms run straight back and touch only near the ears."),
    ),
    "arms-pinch": (
        later("Pinching"),
        later("A head from above. The arms press on the temples and stand away from the ears."),
    ),
    "face-level": (later("Level"), later("A face from the front. Both lenses are equally high.")),
    "face-crooked": (
        later("Crooked"),
        later("A face from the front. 1 ear and the lens on that side are higher than the other."),
    ),
    "lashes-clear": (later("A gap"), later("An eye from the side. There is a gap between the lashes and the lens.")),
    "lashes-touch": (later("Too close"), later("An eye from the side. The lashes touch the lens.")),
    "look-far": (
        later("Far"),
        later(
            "A head from the side, held level. "
            "The eye looks straight ahead through the upper part of the lens, at a tree."
        ),
    ),
    "look-arm": (
        later("Arm's length"),
        later(
            "A head from the side, held level. The eye looks a little down through the middle of the lens, at a screen."
        ),
    ),
    "look-near": (
        later("Near"),
        later("A head from the side, held level. The eye looks down through the lowest part of the lens, at a page."),
    ),
    "clean-rinse": (later("Rinse"), later("Water from a tap runs over the lenses.")),
    "clean-drop": (later("Soap"), later("A drop of soap falls from a bottle onto the lenses.")),
    "clean-wipe": (later("Dry"), later("A soft cloth moves to and fro over a lens.")),
    "lay-down": (later("Lenses up"), later("Folded glasses lie on a table on their arms, with the lenses up.")),
}
SKETCHES = MappingProxyType({name: Sketch(name, *said) for name, said in _SAID.items()})
"""Every drawing of templates/drawings, by the name of its file; its words are still in English."""


def sketches(*names: str) -> tuple[Sketch, ...]:
    """Some drawings, in the order asked for, in English. Raises KeyError for one that we do not have."""
    return tuple(SKETCHES[name] for name in names)


@said_once(16)
def said_steps(steps: tuple[PicturedStep, ...]) -> tuple[PicturedStep, ...]:
    """Say steps that were marked by `later`, and their drawings, in the language being spoken."""
    return tuple(PicturedStep(_(step.what), _(step.how), _said(step.sketches)) for step in steps)


def _said(drawings: Iterable[Sketch]) -> tuple[Sketch, ...]:
    return tuple(Sketch(one.name, _(one.caption), _(one.shows)) for one in drawings)
