"""A traced frame in an order: the trace file read, its findings shown at the order's own line, its sizes compared."""

from __future__ import annotations

from pathlib import Path

from explain.order.faults import Finding, OrderError, Remark
from explain.order.fields import Section
from explain.order.numbers import cut
from explain.order.trace import Trace, read_trace
from explain.order.trace_file import trace_path

SAME_SIZE_MM, NAMED_SIZE_MM = 0.5, 1.5
"""A printed size is a name in whole millimetres: traced boxes lie up to half a millimetre off, seldom farther."""


def trace_of(section: Section, folder: Path, shape: str | None) -> Trace | None:
    """The trace that the outline of a frame names. What is wrong or odd in the file is noted at the outline's line.

    shape: used with the sizes of the file where its outline is packed; elsewhere it is not needed, and that is said.
    """
    name = section.raw_text("outline")
    path = section.attempt("outline", lambda: trace_path(folder, name or ""))
    if name is None or path is None:
        return None
    try:
        trace = read_trace(path, cut(name, 60)[1:-1], shape)
    except OrderError as error:
        for fault in error.faults:
            section.fault("outline", _placed(fault))
        return None
    if shape and trace.shape is None:
        remark = Remark(
            "the trace file has an outline that can be read, so the shape is not used",
            "A shape serves beside a trace file whose outline is packed.",
            "Take it out.",
        )
        section.doubt("shape", remark)
    for doubt in trace.doubts:
        section.doubt("outline", _placed(doubt))
    return trace


def compare_size(section: Section, key: str, what: str, typed_mm: float | None, traced_mm: tuple[float, ...]) -> bool:
    """Set a typed size beside the traced one of either side, which wins. Over 0.5 mm is a doubt, over 1.5 a fault.

    True when they are so far apart that the customer should know which one was used.
    """
    if typed_mm is None or not traced_mm:
        return False
    nearest = min(traced_mm, key=lambda size: abs(size - typed_mm))
    off = abs(nearest - typed_mm)
    if off <= SAME_SIZE_MM + 1e-9:
        return False
    message = f"the {what} is {typed_mm:g} mm in the order and {nearest:.2f} mm in the trace file"
    if off > NAMED_SIZE_MM + 1e-9:
        advice = "Look whether this is the right trace file, and measure the frame."
        section.fault(key, Remark(message, f"The two agree within {NAMED_SIZE_MM:g} mm.", advice))
    else:
        printed = "" if key == "depth" else "A size printed on a frame is a name. "
        allowed = f"{printed}The traced {what} was used."
        section.doubt(key, Remark(message, allowed, "Look whether this is the right trace file."))
    return True


def _placed(finding: Finding) -> Remark:
    place = f"{finding.file}, line {finding.line}" if finding.line else finding.file
    return Remark(f"{place}: {finding.message}", finding.allowed, finding.advice)
