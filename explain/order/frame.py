"""The frame: its sizes in the boxing system, and its outline by name, by points or from a trace file."""

from __future__ import annotations

import re
from pathlib import Path

from msgspec import Struct

from explain.language import later
from explain.optics.outline import box_size_mm, recentred, way_round
from explain.order.faults import Remark, UnclearError
from explain.order.fields import Section
from explain.order.model import Frame, Points
from explain.order.nodes import Series, Text
from explain.order.numbers import DIGITS, MM, cut, tidy, typed_number
from explain.order.trace import Trace
from explain.order.trace_file import is_file_name, trace_path
from explain.order.trace_frame import compare_size, trace_of

GAP = r"\s*[-x/\u25a1\u2610\u25a2\u25fb ]\s*"
SIZE = re.compile(rf"({DIGITS}){GAP}({DIGITS})(?:{GAP}({DIGITS}))?(?:\s*mm)?")
SIZE_ALLOWED = "Lens width 30 to 72 mm, bridge 8 to 30, side 80 to 170 (the side may be left out)."
LIMITS_MM = (("lens width", 30.0, 72.0), ("bridge", 8.0, 30.0), ("side", 80.0, 170.0))
FEWEST_POINTS = 12
BOX_AGREES_MM = 0.5
FARTHEST_MM = 200.0
OUTLINE_ALLOWED = "At least 12 points [x, y] in mm, going once round the right lens as seen from the front."
PRINTED_SIZE_NOTE = later("The size printed on a frame is a rounded name. We used the size that was traced.")
OUTLINE_ADVICE = "Measure again, or name a shape instead, for example:   outline: rounded"


class Size(Struct, frozen=True):
    """What is printed on a frame [mm]: lens width, bridge, and the side where it is given."""

    lens_width_mm: float
    bridge_mm: float
    side_mm: float | None


def read_frame(section: Section | None, folder: Path) -> Frame | None:
    """The frame, or None when it is missing or faulty. folder: where a trace file is looked for."""
    if section is None:
        return None
    name, colour, depth = section.text("name"), section.text("colour"), section.number("depth")
    raw_size = section.raw_text("size")
    size = None if raw_size is None else section.attempt("size", lambda: read_size(raw_size))
    if _is_traced(section):
        return _traced_frame(section, folder, name, colour, size, depth)
    _refuse_shape(section)
    section.ask_for("size")
    section.ask_for("depth")
    outline = _outline(section, size, depth)
    if name is None or size is None or depth is None or outline is None:
        return None
    return Frame(name, colour, size.lens_width_mm, size.bridge_mm, size.side_mm, depth, outline)


def read_size(text: str) -> Size:
    """The size printed on a frame. Raises UnclearError.

    >>> read_size("52□18-140")
    Size(lens_width_mm=52.0, bridge_mm=18.0, side_mm=140.0)
    """
    found = SIZE.fullmatch(tidy(text))
    if not found:
        raise UnclearError(
            f"size cannot be read: {cut(text)}",
            SIZE_ALLOWED,
            "Type the numbers printed on the frame, for example:   size: 52-18-140",
        )
    values = [None if part is None else float(part) for part in found.groups()]
    for value, (what, lowest, highest) in zip(values, LIMITS_MM, strict=True):
        if value is not None and not lowest <= value <= highest:
            raise UnclearError(
                f"the {what} cannot be {value:g} mm",
                SIZE_ALLOWED,
                "Look at the numbers printed on the frame, and type them as in:   size: 52-18-140",
            )
    width, bridge, side = values
    return Size(width or 0.0, bridge or 0.0, side)


def _refuse_shape(section: Section) -> None:
    if section.has("shape"):
        message = "a shape is given, but the outline is no trace file"
        allowed = "A shape stands beside a trace file whose outline is packed."
        section.fault("shape", Remark(message, allowed, "Take it out; the outline names the shape."))


def _is_traced(section: Section) -> bool:
    entry = section.entry("outline")
    return entry is not None and isinstance(entry.value, Text) and is_file_name(entry.value.text.strip())


def _traced_frame(
    section: Section, folder: Path, name: str | None, colour: str | None, size: Size | None, depth: float | None
) -> Frame | None:
    """A frame with the sizes of its trace file; typed ones are only compared. The bridge may come from either."""
    trace = trace_of(section, folder, section.choice("shape"))
    if trace is None:
        return None
    if trace.bridge_mm is None:
        section.ask_for("size", "the trace file does not give the bridge either")
    bridge = trace.bridge_mm if trace.bridge_mm is not None else size.bridge_mm if size else None
    notes = (*trace.notes, *_size_notes(section, trace, size, depth))
    if name is None or bridge is None:
        return None
    wide, deep = box_size_mm(trace.right)
    side = size.side_mm if size else None
    traced_from = trace_path(folder, section.raw_text("outline") or "")
    return Frame(name, colour, wide, bridge, side, deep, trace.right, trace.left, notes, trace.said, traced_from)


def _size_notes(section: Section, trace: Trace, size: Size | None, depth: float | None) -> tuple[str, ...]:
    boxes = (box_size_mm(trace.right), box_size_mm(trace.left))
    widths, depths = ((boxes[0][at], boxes[1][at]) for at in (0, 1))
    bridges = () if trace.bridge_mm is None else (trace.bridge_mm,)
    width_differs = compare_size(section, "size", "lens width", size.lens_width_mm if size else None, widths)
    bridge_differs = compare_size(section, "size", "bridge", size.bridge_mm if size else None, bridges)
    compare_size(section, "depth", "depth", depth, depths)
    return (PRINTED_SIZE_NOTE,) if width_differs or bridge_differs else ()


def _outline(section: Section, size: Size | None, depth: float | None) -> str | Points | None:
    entry = section.entry("outline")
    if entry is None:
        return None
    if isinstance(entry.value, Series):
        return _points(section, entry.value, size, depth)
    return section.choice("outline")


def _points(section: Section, series: Series, size: Size | None, depth: float | None) -> Points | None:
    points = []
    for node in series.items:
        point = _point(node)
        if point is None:
            section.fault(
                "outline",
                Remark(
                    "a point of the outline is not two numbers",
                    OUTLINE_ALLOWED,
                    "Type each point as in:   [24.5, -3.2]",
                ),
                node.line,
            )
            return None
        points.append(point)
    if size is None or depth is None:
        return None
    return section.attempt("outline", lambda: centred_outline(tuple(points), size.lens_width_mm, depth))


def _point(node: object) -> tuple[float, float] | None:
    if not isinstance(node, Series) or len(node.items) != 2:
        return None
    try:
        numbers = [typed_number(item.text, MM) if isinstance(item, Text) else None for item in node.items]
    except UnclearError:  # a number of something else
        return None
    values = [number.value for number in numbers if number and abs(number.value) <= FARTHEST_MM]
    return (values[0], values[1]) if len(values) == 2 else None


def centred_outline(points: Points, width_mm: float, depth_mm: float) -> Points:
    """The points moved so that the middle of their box is the origin, counter-clockwise, none twice.

    Raises UnclearError when they are too few, do not fill the box within 0.5 mm, or do not go once round its middle.
    """
    points = points[:-1] if len(points) > 1 and points[0] == points[-1] else points
    if len(points) < FEWEST_POINTS:
        raise UnclearError(f"the outline has only {len(points)} points", OUTLINE_ALLOWED, OUTLINE_ADVICE)
    box_width, box_depth = box_size_mm(points)
    if abs(box_width - width_mm) > BOX_AGREES_MM or abs(box_depth - depth_mm) > BOX_AGREES_MM:
        raise UnclearError(
            f"the outline is {box_width:.1f} mm wide and {box_depth:.1f} mm deep, but the frame says {width_mm:g} "
            f"and {depth_mm:g}",
            "Outline and size agree within 0.5 mm.",
            "Correct the size, the depth or the points.",
        )
    return _once_round(recentred(points))


def _once_round(points: Points) -> Points:
    way = way_round(points)
    if not way:
        raise UnclearError(
            "the points of the outline do not go once round the lens in order",
            OUTLINE_ALLOWED,
            "Sort the points along the edge, each one once.",
        )
    return points[::way]
