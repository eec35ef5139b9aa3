"""What was measured on the finished pair, and who accepted it."""

from __future__ import annotations

from explain.order.faults import Remark
from explain.order.fields import Section
from explain.order.fit import centres_of, heights_of, pd_of
from explain.order.model import Accepted, Checked
from explain.order.prescription import SIDES, read_adds, read_side

MEASURED_IGNORES = ("step",)


def read_checked(section: Section | None, depth_mm: float | None, ordered: frozenset[str]) -> Checked | None:
    """The measured values. ordered: the sides that are part of the order; another side is a fault."""
    if section is None:
        return None
    for side in SIDES:
        _refuse_not_ordered(section, side, ordered)
    right = read_side(section, "right", "the right lens as checked", MEASURED_IGNORES)
    left = read_side(section, "left", "the left lens as checked", MEASURED_IGNORES)
    adds = read_adds(section, MEASURED_IGNORES)
    pd, heights = pd_of(section, "pd"), heights_of(section, depth_mm)
    centres = centres_of(section)
    return Checked(
        right.power if right else None,
        left.power if left else None,
        adds.right_dpt if adds.right_dpt is not None else (right.add_dpt if right else None),
        adds.left_dpt if adds.left_dpt is not None else (left.add_dpt if left else None),
        pd.right_mm if pd else None, pd.left_mm if pd else None,
        heights.right_mm if heights else None, heights.left_mm if heights else None,
        section.day("on"),
        right.prisms if right else (), left.prisms if left else (),
        centres.right_mm if centres else None, centres.left_mm if centres else None,
    )  # fmt: skip


def _refuse_not_ordered(section: Section, side: str, ordered: frozenset[str]) -> None:
    if section.has(side) and side not in ordered:
        section.fault(
            side,
            Remark(
                f"the {side} lens was checked, but it is not part of the order",
                "Only lenses of this order are checked.",
                f"Take the line out, or add the {side} eye to the prescription.",
            ),
        )


def read_accepted(section: Section | None, *, was_checked: bool) -> Accepted | None:
    """Who accepted the pair, and why. It needs measured values to speak about."""
    if section is None:
        return None
    by, why = section.text("by"), section.text("why", 400)
    if not was_checked:
        section.findings.fault(
            "accepted",
            section.line,
            Remark(
                "the pair is accepted, but nothing was checked",
                "What is accepted is a measured value outside a limit.",
                "Add what the lensmeter showed, for example:   checked: {right: -3.25 -0.75 x 171}",
            ),
        )
    return Accepted(by, why) if by and why else None
