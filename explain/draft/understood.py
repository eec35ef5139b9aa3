"""What was understood, in one plain sentence for each eye, so that a slip shows before anything is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from explain.draft.eye_lines import plain
from explain.draft.taken import SIDES, Taken, Value
from explain.optics.power import SphereCylinder
from explain.order.additions import read_add, read_both_adds
from explain.order.distances import read_pd
from explain.order.faults import Remark, UnclearError
from explain.order.typed import TypedEye, read_eye

MILLIMETRES = {"prescription.near-pd": "Pupils while reading", "prescription.heights": "Fitting heights"}


def report(taken: Taken) -> str:
    """All that is said about a draft before it is written."""
    return "\n".join([*sentences(taken), *findings(taken)])


def sentences(taken: Taken) -> list[str]:
    """One sentence for each eye and each distance that was taken."""
    return [*(_eye_sentence(taken, side) for side in SIDES), *_distance_sentences(taken), *_frame_sentence(taken)]


def findings(taken: Taken) -> list[str]:
    """What must be asked, what looks odd and what was left out, each with what to do about it."""
    asked = [_said("To ask", remark) for remark in dict.fromkeys(taken.questions.values())]
    return [
        *asked,
        *(_said("Warning", remark) for remark in taken.warnings),
        *(f"Note: {note}" for note in taken.notes),
    ]


def eye_in_words(eye: TypedEye) -> str:
    """An eye as it would be read aloud.

    >>> eye_in_words(TypedEye(SphereCylinder(-3.25, -0.75, 172.0)))
    'sphere minus 3.25, cylinder minus 0.75 along 172'
    """
    prisms = [f"prism {plain(prism.amount_prism_dpt)} base {prism.base}" for prism in eye.prisms]
    power = "a balance lens, made to look like the other" if eye.power is None else _power(eye.power)
    return ", ".join([power, *prisms])


def _eye_sentence(taken: Taken, side: str) -> str:
    name, text = f"{side.capitalize()} eye", taken.text(f"prescription.{side}")
    if text is None:
        return f"{name}: not clear, left open."
    if text == "none":
        return f"{name}: no lens ordered."
    add = _of_side(taken.values.get("prescription.add"), side)
    reading = f"; {signed_words(add)} more for reading" if add else ""
    return f"{name}: {eye_in_words(read_eye(text, eye=side))}{reading}."


def _of_side(value: Value | None, side: str) -> float:
    """The addition of a side [D]; 0 for none."""
    one = value.get(side) if isinstance(value, Mapping) else value
    if not isinstance(one, str):
        return 0.0
    try:
        return read_add(one)[0]
    except UnclearError:
        right, left, _ = read_both_adds(one)
        return right if side == "right" else left


def _distance_sentences(taken: Taken) -> Iterator[str]:
    pd = taken.text("prescription.pd")
    if pd:
        yield _pd_sentence(pd)
    for path, name in MILLIMETRES.items():
        text = taken.text(path)
        if text:
            yield f"{name}: {text} mm{' (right / left)' if '/' in text else ''}."


def _frame_sentence(taken: Taken) -> Iterator[str]:
    outline, size, depth = (taken.text(f"frame.{name}") for name in ("outline", "size", "depth"))
    told = [f"outline {outline}"] if outline else []
    told += [f"size {size}"] if size else []
    told += [f"depth {depth} mm"] if depth else []
    if told:
        yield f"Frame: {', '.join(told)}."


def _pd_sentence(text: str) -> str:
    pd = read_pd(text)
    if pd.near:
        return f"Pupils: {plain(2 * pd.right_mm)} mm apart looking far, {plain(2 * pd.near.right_mm)} mm while reading."
    if pd.was_split:
        return f"Pupils: {plain(2 * pd.right_mm)} mm apart; each half of that from the middle of the nose."
    return f"Pupils: right {plain(pd.right_mm)} mm and left {plain(pd.left_mm)} mm from the middle of the nose."


def _power(power: SphereCylinder) -> str:
    sphere = f"sphere {signed_words(power.sphere_dpt)}" if power.sphere_dpt else "no sphere (plano)"
    if not power.cylinder_dpt:
        return f"{sphere}, no cylinder"
    return f"{sphere}, cylinder {signed_words(power.cylinder_dpt)} along {plain(power.axis_deg)}"


def signed_words(power_dpt: float) -> str:
    """A power with its sign as a word.

    >>> signed_words(-3.25)
    'minus 3.25'
    """
    places = 2 if abs(power_dpt * 100 - round(power_dpt * 100)) < 1e-6 else 3
    return f"{'minus' if power_dpt < 0 else 'plus'} {abs(power_dpt):.{places}f}"


def _said(label: str, remark: Remark) -> str:
    return "\n  ".join(part for part in (f"{label}: {remark.message}.", remark.allowed, remark.advice) if part)
