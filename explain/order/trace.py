"""A frame's outline as a tracer or a laboratory sends it: the trade's open data communication standard, plain text.

What was read to write this: sample files of a public collection (three are in tests/data/traces), one log on the public
forum of the standard's owner, and comments in public programs; the body of the standard itself was not read. Point 0 of
a list lies at the viewer's right and the points run counter-clockwise: so each slope beside the nose, and the longest
radius where a file states its angle, fall into place (tests/order/test_trace.py).
"""

from __future__ import annotations

from itertools import takewhile
from pathlib import Path

from msgspec import Struct

from explain.optics.outline import Points
from explain.order.faults import Doubt, Findings, Remark, UnclearError
from explain.order.model import Traced
from explain.order.trace_file import trace_bytes
from explain.order.trace_lists import SentOutline, sent_outlines
from explain.order.trace_records import Record, lines_of, records_of
from explain.order.trace_said import said_by
from explain.order.trace_shape import shaped_sides
from explain.order.trace_sides import Sides, two_sides
from explain.order.trace_sizes import bridge_mm, cross_check, sizes_in_words
from explain.order.trace_values import Values

MOST_LINES = 20_000
EXAMPLE = "An outline starts with a line such as TRCFMT=1;360;E;R;F, and its radii follow on lines that start with R=."


class Trace(Struct, frozen=True):
    """What a trace file holds. Outlines about their box centres [mm], counter-clockwise from the viewer's right.

    mirrored: the side whose own outline was not sent, if any. notes: what was assumed, as sentences for the customer.
    doubts: what the optician should look at, with the line of the trace file. shape: the named shape that stands for
    a packed outline; None for an outline that was read.
    """

    right: Points
    left: Points
    mirrored: str | None
    bridge_mm: float | None
    said: Traced
    notes: tuple[str, ...]
    doubts: tuple[Doubt, ...]
    shape: str | None = None


def read_trace(path: Path, name: str = "", shape: str | None = None) -> Trace:
    """The outlines in a file, and what else it says. Raises OrderError with every fault of the file.

    name: what the file is called in what is found; its path where none is given. shape: the named shape to use, with
    the sizes of the file, where its outline is packed.
    """
    try:
        data = trace_bytes(path)
    except UnclearError as unclear:
        Findings(name or path.as_posix()).stop(0, unclear.remark)
    return trace_in(data, name or path.as_posix(), shape)


def trace_in(data: bytes, file: str, shape: str | None = None) -> Trace:
    """The same from the bytes of a file. Whatever they are, the only error is OrderError."""
    lines = lines_of(data)
    findings = Findings(file, lines)
    _refuse_many_lines(lines, findings)
    records = list(records_of(lines))
    values, announced = Values(records, findings), sent_outlines(records)
    sides = two_sides(announced, findings)
    packed = next((one for one in announced if one.is_packed), None)
    if sides is None and shape and packed and not findings.count:
        sides = shaped_sides(values, shape, packed.line, findings)
    if sides is None:
        _say_why_not(announced, values, findings)
    _doubt_early_radii(records, findings)
    bridge = bridge_mm(values, findings)
    if sides is not None and sides.sent:
        cross_check(values, sides, findings)
    said = said_by(values, file)
    findings.raise_if_faulty()
    if sides is None:
        raise AssertionError("a trace without faults has both sides")
    return Trace(
        sides.right,
        sides.left,
        _mirrored(sides),
        bridge,
        said,
        sides.notes,
        findings.doubts,
        None if sides.sent else shape,
    )


def _mirrored(sides: Sides) -> str | None:
    if not sides.sent:  # a named shape for both
        return None
    return next((side for side in ("right", "left") if side not in sides.sent), None)


def _refuse_many_lines(lines: list[str], findings: Findings) -> None:
    if len(lines) > MOST_LINES:
        findings.stop(
            0,
            Remark(
                f"the file has {len(lines)} lines",
                f"A trace is a few pages of text; at most {MOST_LINES} lines are read.",
                "Check that this is the right file.",
            ),
        )


def _say_why_not(announced: list[SentOutline], values: Values, findings: Findings) -> None:
    """Note why there is no outline, where nothing has been noted yet, and what the file is still good for."""
    stated, typed = sizes_in_words(values)
    packed = next((one for one in announced if one.is_packed), None)
    if packed and not findings.count:
        message = f"the outline is packed ({packed.form_in_words}); only plain text (format 1) can be read"
        serves = values.sizes("HBOX").any is not None and values.sizes("VBOX").any is not None
        beside = "Name the nearest shape beside it, for example:   shape: rounded"
        instead = f"Name a shape instead, for example:   {typed}"
        advice = f"{beside if serves else instead}   or have the tracer send format 1."
        findings.fault("", packed.line, Remark(message, stated, advice))
    elif not findings.count:
        line = announced[0].line if announced else 0
        advice = f"Trace the frame, or name a shape instead, for example:   {typed}"
        findings.fault("", line, Remark("there is no outline in it", f"{EXAMPLE} {stated}", advice))


def _doubt_early_radii(records: list[Record], findings: Findings) -> None:
    early = [one for one in takewhile(lambda one: one.label != "TRCFMT", records) if one.label == "R"]
    if early:
        message = "there are radii before any outline is announced; they were passed over"
        findings.doubt("", early[0].line, Remark(message, EXAMPLE, "Look at the outline."))
