"""A frame whose outline is packed: its stated sizes still serve, with the shape that the order names for it."""

from __future__ import annotations

from explain.language import later
from explain.optics.outline import mirrored_outline, shape_outline
from explain.order.faults import Findings, Remark
from explain.order.trace_points import DEEPEST_MM, NARROWEST_MM, SHALLOWEST_MM, WIDEST_MM
from explain.order.trace_sides import Sides
from explain.order.trace_values import Values

NOTE = later(
    "The tracing of your frame gave us its sizes, but not its outline in a form we can read. "
    "We used the shape nearest to it."
)


def shaped_sides(values: Values, shape: str, line: int, findings: Findings) -> Sides | None:
    """Both sides in a named shape, each with the sizes stated for it; None, with nothing noted, where none are.

    line: where the packed outline is announced. A size stated for one side alone stands for both.
    """
    wide, deep = values.sizes("HBOX"), values.sizes("VBOX")
    if wide.any is None or deep.any is None:
        return None
    boxes = [(wide.of(side) or wide.any, deep.of(side) or deep.any) for side in ("right", "left")]
    for width_mm, depth_mm in boxes:
        if not (NARROWEST_MM <= width_mm <= WIDEST_MM and SHALLOWEST_MM <= depth_mm <= DEEPEST_MM):
            findings.fault("", wide.line, _no_lens(width_mm, depth_mm))
            return None
    right, left = (shape_outline(shape, *box) for box in boxes)
    message = f"the outline is packed; its sizes were used, with the shape {shape}"
    allowed = "Only an outline in plain text (format 1) can be read."
    findings.doubt("", line, Remark(message, allowed, "Have the tracer send format 1 if you can."))
    return Sides(right, mirrored_outline(left), {}, (NOTE,))


def _no_lens(width_mm: float, depth_mm: float) -> Remark:
    message = f"HBOX and VBOX say that a lens is {width_mm:g} mm wide and {depth_mm:g} mm deep"
    limits = f"{NARROWEST_MM:g} to {WIDEST_MM:g} mm wide and {SHALLOWEST_MM:g} to {DEEPEST_MM:g} mm deep"
    return Remark(message, f"Lenses are {limits}.", "Measure the frame, and correct the file.")
