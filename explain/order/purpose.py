"""What a pair is for, and what matters about who wears it."""

from __future__ import annotations

import re

from explain.order.faults import Remark
from explain.order.fields import Section
from explain.order.keys import USES, USES_WITH_DISTANCE, nearest
from explain.order.model import Use
from explain.order.numbers import cut

USE = re.compile(r"(?P<what>[a-z ]+?)(?:\s+at\s+(?P<cm>[0-9]{1,4}(?:\.[0-9]+)?)\s*cm)?")
NEAREST_CM, FARTHEST_CM = 20.0, 200.0


def read_use(root: Section) -> tuple[Use, ...]:
    """What the pair is for; each use once."""
    uses: list[Use] = []
    for node in root.items("use"):
        use = _use(root, node.text, node.line)
        if use and any(use.what == other.what for other in uses):
            root.fault(
                "use",
                Remark(f"{use.what} is listed twice", "Each use may stand once.", "Take one of the two out."),
                node.line,
            )
        elif use:
            uses.append(use)
    return tuple(uses)


def read_wearer(root: Section) -> tuple[str, ...]:
    """What matters about the wearer; each once."""
    return root.choices("wearer")


def _use(root: Section, text: str, line: int) -> Use | None:
    found = USE.fullmatch(" ".join(text.lower().split()))
    allowed = root.key("use").allowed
    if not found or found["what"] not in USES:
        near = nearest(found["what"] if found else text, USES)
        advice = f"Perhaps you meant:   {near}" if near else f"Type it as in:   {root.key('use').example}"
        root.fault("use", Remark(f"use cannot be {cut(text)}", allowed, advice), line)
        return None
    if found["cm"] is None:
        return Use(found["what"])
    return _use_at(root, found["what"], float(found["cm"]), line)


def _use_at(root: Section, what: str, distance_cm: float, line: int) -> Use | None:
    allowed = root.key("use").allowed
    if what not in USES_WITH_DISTANCE:
        root.fault("use", Remark(f"{what} has no distance", allowed, f"Type it alone:   {what}"), line)
        return None
    if not NEAREST_CM <= distance_cm <= FARTHEST_CM:
        root.fault(
            "use",
            Remark(
                f"{what} cannot be at {distance_cm:g} cm",
                allowed,
                f"Measure from the eyes, and type it as in:   {what} at 65 cm",
            ),
            line,
        )
        return None
    return Use(what, distance_cm)
