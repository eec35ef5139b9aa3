"""The prescription line of one eye, as people type it.

Many ways of writing are read; what could mean two different lenses is never guessed at. The readers here know
nothing of files: they take text and give values, with remarks on what to look at, or raise UnclearError.
"""

from __future__ import annotations

import re

from msgspec import Struct

from explain.optics.power import SphereCylinder
from explain.order.additions import read_add
from explain.order.faults import Remark, UnclearError
from explain.order.model import Prism
from explain.order.numbers import (
    DEG,
    DIGITS,
    DPT,
    STRONGEST_ADD_DPT,
    STRONGEST_CYLINDER_DPT,
    STRONGEST_SPHERE_DPT,
    WEAKEST_ADD_DPT,
    TypedNumber,
    cut,
    dioptres,
    tidy,
    typed_number,
)
from explain.order.prisms import IN_LINE, prism_remarks, read_prisms
from explain.order.tokens import NO_CYLINDER, PLANO, Roles, roles_of

LINE = (
    "An eye is a sphere, and if there is one a cylinder with its axis; a plus or minus sign stands before each power."
)
LINE_ADVICE = "Type it as in:   -3.25 -0.75 x 172   or, without a cylinder,   -2.00 DS"
BALANCE = re.compile(r"bal(?:ance|\.)?(?: lens)?")
EYE_NAME = re.compile(
    r"(?P<side>right|left|r|l|o\.?d\.?|o\.?s\.?|re|le|o\.?g\.?)(?:\s+eye)?(?:\s*[:=]\s*|\s+)(?=[^a-z]|pl|bal|sph)"
)
RIGHT_NAMES = ("right", "r", "od", "re")
ADD = re.compile(
    rf"[,;/]?\s*\(?\b(?:(?:near|reading)\s+)?(?:add(?:ition)?|zus(?:atz)?)\b\.?\s*[:=]?\s*(?P<add>[+-]?\s*{DIGITS})\s*d?\)?"
)
ADD_AFTER = re.compile(rf"[,;/]?\s*(?<![x0-9.])(?P<add>\+?\s*{DIGITS})\s*add\b")
FAR_AND_NEAR = re.compile(
    r"(?:distance|dist\.?|far|dv)\b\s*:?\s*(?P<far>.*?)[,;/]?\s*\b(?:near|reading|nv)\b\s*:?\s*(?P<near>.*)"
)
AXIS_ALLOWED = "An axis is a whole number of degrees from 1 to 180, or a half degree."


class TypedEye(Struct, frozen=True):
    """What one line says. power None: a balance lens. add_dpt 0.0 was typed as nothing; None was not typed."""

    power: SphereCylinder | None
    prisms: tuple[Prism, ...] = ()
    add_dpt: float | None = None
    remarks: tuple[Remark, ...] = ()

    @property
    def is_balance(self) -> bool:
        """True for a lens that only matches the other in looks."""
        return self.power is None


def read_eye(text: str, whose: str = "this eye", eye: str | None = None) -> TypedEye:
    """The power, prism and addition in one line.

    whose names the eye in messages ("the right eye"); eye is "right" or "left" where the side is known.
    Raises UnclearError for text that could mean two lenses, or none.

    >>> read_eye("+1.25/-0.50×90°").power
    SphereCylinder(sphere_dpt=1.25, cylinder_dpt=-0.5, axis_deg=90.0)
    """
    line = _without_eye(tidy(text), whose, eye)
    if not line:
        raise UnclearError(
            f"nothing is written for {whose}",
            "An empty place may mean no power, or may have been forgotten.",
            "Type plano for no power, balance, none if the lens was not ordered, or the power.",
        )
    both = FAR_AND_NEAR.fullmatch(line)
    if both:
        return _far_and_near(both, whose, eye)
    line, add, add_remarks = _split_add(line, whose)
    line, prisms = _split_prisms(line, whose, eye)
    if BALANCE.fullmatch(line):
        return TypedEye(None, prisms, add, add_remarks)
    power, remarks = read_power(line, text, whose)
    return TypedEye(power, prisms, add, (*remarks, *prism_remarks(prisms, whose), *add_remarks))


def read_power(line: str, typed: str, whose: str) -> tuple[SphereCylinder, tuple[Remark, ...]]:
    """Sphere, cylinder and axis from a tidied line; typed is the text to show in messages."""
    roles = roles_of(line, typed, whose)
    sphere, sphere_remarks = _sphere(roles, whose)
    cylinder, cylinder_remarks = _cylinder(roles, whose)
    if not cylinder:
        return SphereCylinder(sphere), (*sphere_remarks, *cylinder_remarks, *_idle_axis(roles, whose))
    if roles.axis is None:
        raise UnclearError(
            f"{whose} has a cylinder but no axis",
            "A cylinder needs an axis: a whole number of degrees from 1 to 180.",
            f"Type it after the cylinder, for example:   {sphere:+.2f} {cylinder:+.2f} x 90",
        )
    axis = axis_deg(roles.axis, whose)
    return SphereCylinder(sphere, cylinder, axis), (*sphere_remarks, *cylinder_remarks, *_letter_o(roles, whose))


def read_sphere(text: str, whose: str = "this eye") -> tuple[float, tuple[Remark, ...]]:
    """A sphere alone [D]: a signed number, nought or plano. Raises UnclearError."""
    line = tidy(text)
    if line.removesuffix(" ds").strip() in PLANO:
        return 0.0, ()
    number = typed_number(line, DPT)
    if number is None:
        raise UnclearError(
            f"{whose} has a sphere that is not a number: {cut(text)}",
            "A sphere is from -30.00 to +30.00, with its sign, or plano.",
            "Type it as in:   sphere: -3.25",
        )
    return _signed(number, "sphere", whose, STRONGEST_SPHERE_DPT)


def read_cylinder(text: str, whose: str = "this eye") -> tuple[float, tuple[Remark, ...]]:
    """A cylinder alone [D], with the sign that was typed; DS, none or nought give 0. Raises UnclearError."""
    line = tidy(text)
    if line in NO_CYLINDER:
        return 0.0, ()
    number = typed_number(line, DPT)
    if number is None:
        raise UnclearError(
            f"{whose} has a cylinder that is not a number: {cut(text)}",
            "A cylinder is from -10.00 to +10.00, with its sign.",
            "Type it as in:   cylinder: -0.75",
        )
    return _signed(number, "cylinder", whose, STRONGEST_CYLINDER_DPT)


def read_axis(text: str, whose: str = "this eye") -> float:
    """An axis alone [degrees, over 0 to 180; 0 comes out as 180]. Raises UnclearError.

    >>> read_axis("045")
    45.0
    """
    number = typed_number(re.sub(r"^(?:x|axis|ax)\s*(?=[0-9.+-])", "", tidy(text)), DEG)
    if number is None:
        raise UnclearError(
            f"{whose} has an axis that is not a number: {cut(text)}", AXIS_ALLOWED, "Type it as in:   axis: 90"
        )
    return axis_deg(number, whose)


def axis_deg(number: TypedNumber, whose: str) -> float:
    """The direction a typed axis stands for [degrees, over 0 to 180]. Raises UnclearError."""
    if number.sign:
        raise UnclearError(
            f"{whose} has an axis with a sign: {number}",
            f"{AXIS_ALLOWED} It has no plus or minus.",
            "Look at the prescription, and type the axis without a sign.",
        )
    value = number.value
    if value > 180:
        nought = "Perhaps a degree sign was misread as a nought. " if value > 360 and value % 10 == 0 else ""
        advice = f"{nought}Look at the prescription, and type the axis as in:   x 90"
        raise UnclearError(f"{whose} has an axis of {number}, and an axis ends at 180", AXIS_ALLOWED, advice)
    if not (value * 2).is_integer():
        raise UnclearError(
            f"{whose} has an axis of {number}",
            AXIS_ALLOWED,
            "Type it without more places than that, for example:   x 90",
        )
    return value or 180.0


def _without_eye(line: str, whose: str, eye: str | None) -> str:
    named = EYE_NAME.match(line)
    if not named:
        return line
    side = "right" if named["side"].replace(".", "") in RIGHT_NAMES else "left"
    if eye and side != eye:
        raise UnclearError(
            f"{whose} has a line that names the {side} eye",
            "Each eye's line stands behind its own name.",
            f"Move it behind {side}, or take the name out of the line.",
        )
    return line[named.end() :]


def _far_and_near(both: re.Match[str], whose: str, eye: str | None) -> TypedEye:
    far = read_eye(both["far"], whose, eye)
    near = read_eye(both["near"], whose, eye)
    unclear = UnclearError(
        f"{whose} has a far and a near power that do not give an addition",
        "The near power is the far power plus the addition; the cylinder stays the same.",
        "Type the far power, and the addition behind add, for example:   add: 1.75",
    )
    if far.power is None or near.power is None or far.prisms != near.prisms:
        raise unclear
    same = (far.power.cylinder_dpt, far.power.axis_deg) == (near.power.cylinder_dpt, near.power.axis_deg)
    add = near.power.sphere_dpt - far.power.sphere_dpt
    if not same or not WEAKEST_ADD_DPT <= add <= STRONGEST_ADD_DPT:
        raise unclear
    return TypedEye(far.power, far.prisms, add, (*far.remarks, *near.remarks))


def _split_add(line: str, whose: str) -> tuple[str, float | None, tuple[Remark, ...]]:
    found = ADD.search(line) or ADD_AFTER.search(line)
    if not found:
        return line, None, ()
    add, remarks = read_add(found["add"], whose)
    return f"{line[: found.start()]} {line[found.end() :]}".strip(), add, remarks


def _split_prisms(line: str, whose: str, eye: str | None) -> tuple[str, tuple[Prism, ...]]:
    found = IN_LINE.search(line)
    if not found:
        return line, ()
    return line[: found.start()].strip(" ,;/&("), read_prisms(line[found.start() :].strip(" )"), whose, eye)


def _sphere(roles: Roles, whose: str) -> tuple[float, tuple[Remark, ...]]:
    return (0.0, ()) if roles.sphere is None else _signed(roles.sphere, "sphere", whose, STRONGEST_SPHERE_DPT)


def _cylinder(roles: Roles, whose: str) -> tuple[float, tuple[Remark, ...]]:
    return (0.0, ()) if roles.cylinder is None else _signed(roles.cylinder, "cylinder", whose, STRONGEST_CYLINDER_DPT)


def _signed(number: TypedNumber, what: str, whose: str, strongest_dpt: float) -> tuple[float, tuple[Remark, ...]]:
    if not number.sign and number.value:
        raise UnclearError(
            f"{whose} has a {what} without a sign: {number}",
            "Plus or minus makes a different lens, so the sign is always typed.",
            f"Look at the prescription, and type   +{number}   or   -{number}",
        )
    return dioptres(number, what, whose, strongest_dpt)


def _idle_axis(roles: Roles, whose: str) -> tuple[Remark, ...]:
    if roles.axis is None:
        return ()
    axis_deg(roles.axis, whose)
    if roles.axis.value == 0:
        return ()
    return (
        Remark(
            f"{whose} has an axis but no cylinder",
            "Without a cylinder an axis says nothing.",
            "Take the axis out, or type the cylinder that is missing.",
            "axis",
        ),
    )


def _letter_o(roles: Roles, whose: str) -> tuple[Remark, ...]:
    if not roles.letter_o:
        return ()
    return (
        Remark(
            f"{whose} has a letter o behind the axis; read as {roles.axis} degrees",
            AXIS_ALLOWED,
            f"If that is right, type it without the letter:   x {roles.axis}",
            "axis",
        ),
    )
