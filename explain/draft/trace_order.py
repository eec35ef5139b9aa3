"""An order for lenses as a laboratory gets it: the trade's open data communication standard, outline and all.

The client's name and numbers are not looked at. Where the outline cannot be used, the sizes of the file still serve.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from explain.draft.eye_lines import plain, signed
from explain.draft.gathered import Gathered
from explain.draft.taken import SIDES, Taken
from explain.order.distances import LARGEST_PD_MM, read_heights, read_pd
from explain.order.faults import Findings, OrderError, Remark, UnclearError
from explain.order.keys import ORDER_KEYS
from explain.order.model import Traced, TracedEye
from explain.order.numbers import plain_number
from explain.order.trace import trace_in
from explain.order.trace_records import lines_of, number_in, records_of
from explain.order.trace_said import said_by
from explain.order.trace_values import Values

POWER_LABELS = ("SPH", "CYL", "AX")
PRISM_LABELS = ("PRVM", "PRVIN", "PRVUP")
"""Ordered prism, as general knowledge has it; no file with one was found, so it is asked about and never read."""


def read_trace_order(data: bytes, file: str, outline: str) -> Taken:
    """What a trace order says. outline: how the order will name the file, from its own folder. Never raises."""
    lines = lines_of(data)
    records, findings = list(records_of(lines)), Findings(file, lines)
    values, gathered = Values(records, findings), Gathered()
    said = said_by(values, file)
    prisms = [one.text for one in records if one.label in PRISM_LABELS and any(map(_is_prism, one.values))]
    unsure = next((label for label in POWER_LABELS if values.has_two_answers(label)), "")
    ordered = {"R": "right", "L": "left"}.get(next((one.text.strip() for one in records if one.label == "DO"), ""), "")
    for side in SIDES:
        _eye(gathered, side, partial(_line, side, _of(said, side), prisms, unsure, ordered), _of(said, side).add_dpt)
    _one_for_both(gathered, values)
    _pupils(gathered, said)
    _heights(gathered, said, values)
    _outline(gathered, data, file, outline, values)
    _vertex(gathered, values)
    _index(gathered, said)
    gathered.warnings += [Remark(doubt.message, doubt.allowed, doubt.advice) for doubt in findings.doubts]
    return gathered.taken()


def _of(said: Traced, side: str) -> TracedEye:
    return said.right if side == "right" else said.left


def _is_prism(text: str) -> bool:
    return bool(number_in(text))


def _eye(gathered: Gathered, side: str, line: Callable[[], str], add_dpt: float | None) -> None:
    gathered.eye(side, line)
    if f"prescription.{side}" in gathered.values and add_dpt:
        gathered.add(side, signed(add_dpt))


def _one_for_both(gathered: Gathered, values: Values) -> None:
    """A power that stands once in the file is that of both eyes by the standard; somebody may have forgotten one."""
    for label in POWER_LABELS:
        if values.numbers(label).is_one and gathered.values:
            gathered.warnings.append(
                Remark(
                    f"{label} has one value; it was read for both eyes",
                    "Two values, parted by a semicolon, are those of the right and the left eye.",
                    "Compare both eyes with the prescription.",
                )
            )


def _line(side: str, said: TracedEye, prisms: list[str], unsure: str, ordered: str) -> str:
    """The power of one eye. unsure: a label with two answers; ordered: the one side that is ordered, or empty."""
    if ordered and side != ordered:
        raise UnclearError(
            f"the file orders the {ordered} lens only (DO)",
            "An order may be for one lens; the other eye then has none.",
            f"Type none if no lens is ordered:   {side}: none",
        )
    if unsure:
        raise UnclearError(
            f"{unsure} stands in the file more than once, with different values",
            "Each label stands once.",
            f"Look at the prescription, and type it as in:   {side}: -3.25 -0.75 x 172",
        )
    if said.sphere_dpt is None:
        raise UnclearError(
            f"the file gives no sphere for the {side} eye",
            "An order names SPH, CYL and AX for each eye; a trace of a frame alone does not.",
            f"Type the power, or none if the lens was not ordered:   {side}: -3.25 -0.75 x 172",
        )
    if prisms:
        raise UnclearError(
            f"the file names a prism ({prisms[0][:30]}), and it is not read",
            "A prism is an amount and a direction for one lens.",
            f"Look at the prescription, and type it with the power:   {side}: {signed(said.sphere_dpt)} DS prism 2 up",
        )
    if not said.cylinder_dpt:
        return signed(said.sphere_dpt)
    axis = "" if said.axis_deg is None else f" x {said.axis_deg:g}"
    return f"{signed(said.sphere_dpt)} {signed(said.cylinder_dpt)}{axis}"


def _pupils(gathered: Gathered, said: Traced) -> None:
    far = (said.right.pd_mm, said.left.pd_mm, said.pd_was_split)
    near = (said.right.near_pd_mm, said.left.near_pd_mm, said.near_pd_was_split)
    for name, (right, left, was_split) in (("pd", far), ("near-pd", near)):
        if right is None or left is None:
            continue
        text = plain(right + left) if was_split else f"{plain(right)} / {plain(left)}"
        if gathered.attempt(f"prescription.{name}", partial(_distance, text, name, (right, left))):
            gathered.values[f"prescription.{name}"] = text


def _distance(text: str, name: str, sides: tuple[float, float]) -> bool:
    """Refuse what each eye cannot have, and two long distances, which a line of an order takes for far and near."""
    if max(sides) > LARGEST_PD_MM:
        key = ORDER_KEYS[f"prescription.{name}"]
        raise UnclearError(
            f"the file gives {text} mm for the two eyes, which are the middle of the nose and one pupil apart",
            key.allowed,
            f"Measure again, and type it as in:   {key.example}",
        )
    return bool(read_pd(text, name))


def _heights(gathered: Gathered, said: Traced, values: Values) -> None:
    """The heights of the segment or fitting cross where both are given, else of the optical centre."""
    segments = (said.right.segment_height_mm, said.left.segment_height_mm)
    centres = (said.right.centre_height_mm, said.left.centre_height_mm)
    for name, (right, left) in (("near segment or fitting cross", segments), ("optical centre", centres)):
        if right is not None and left is not None:
            text = f"{plain(right)} / {plain(left)}"
            if gathered.attempt("prescription.heights", partial(read_heights, text, values.sizes("VBOX").any)):
                gathered.values["prescription.heights"] = text
                gathered.notes.append(f"The heights are those of the {name}.")
            return


def _outline(gathered: Gathered, data: bytes, file: str, outline: str, values: Values) -> None:
    try:
        trace = trace_in(data, file)
    except OrderError as error:
        first = error.faults[0]
        gathered.questions["frame.outline"] = Remark(first.message, first.allowed, first.advice)
        gathered.values |= dict(_sizes(values))
        return
    gathered.values["frame.outline"] = outline
    gathered.warnings += [Remark(doubt.message, doubt.allowed, doubt.advice) for doubt in trace.doubts]
    if trace.bridge_mm is None:
        gathered.questions["frame.size"] = Remark(
            "the file does not give the bridge",
            ORDER_KEYS["frame.size"].allowed,
            "Type the numbers printed on the frame, for example:   size: 52-18-140",
        )


def _sizes(values: Values) -> Iterator[tuple[str, str]]:
    wide, deep, bridge = values.sizes("HBOX").any, values.sizes("VBOX").any, values.sizes("DBL").any
    if wide is not None and bridge is not None:
        yield "frame.size", f"{plain(wide)}-{plain(bridge)}"
    if deep is not None:
        yield "frame.depth", plain(deep)


def _vertex(gathered: Gathered, values: Values) -> None:
    said = values.sizes("BVD")
    key = ORDER_KEYS["lenses.vertex"]
    if said.right is None or said.right != said.left:
        return
    distance = gathered.attempt(key.path, partial(plain_number, plain(said.right), key))
    if distance is not None:
        gathered.values[key.path] = plain(distance)


def _index(gathered: Gathered, said: Traced) -> None:
    indexes = {eye.lens_index for eye in (said.right, said.left) if eye.lens_index}
    if len(indexes) == 1:
        gathered.notes.append(f"The file was made for a lens material of index {plain(indexes.pop())}.")
