"""Distances typed for the right and the left eye: pupils from the middle of the nose, and fitting heights."""

from __future__ import annotations

import re

from msgspec import Struct

from explain.order.faults import UnclearError
from explain.order.numbers import DIGITS, cut, tidy

THINNEST_CENTRE_MM, THICKEST_CENTRE_MM = 0.8, 25.0
SMALLEST_PD_MM, LARGEST_PD_MM = 20.0, 42.0
SMALLEST_PAIR_MM, LARGEST_PAIR_MM = 40.0, 84.0
PD_ALLOWED = "Each eye is from 20 to 42 mm from the middle of the nose, both together from 40 to 84."
PD_ADVICE = "Type right / left as in:   pd: 31 / 30.5   or, for both together,   pd: 63"
ONE = re.compile(rf"(?:pd\s*[:=]?\s*)?({DIGITS})\s*(?:mm)?")
TWO = re.compile(
    rf"(?:pd\s*[:=]?\s*)?(?:r(?:ight)?\s*[:=]?\s*)?({DIGITS})\s*(?:mm)?\s*(?:/|\||&|;|,|\s|-)\s*(?:l(?:eft)?\s*[:=]?\s*)?({DIGITS})\s*(?:mm)?"
)


class TypedDistances(Struct, frozen=True):
    """Right and left [mm]. was_split: one number was typed, and halved. near: the near pair, where both were typed."""

    right_mm: float
    left_mm: float
    was_split: bool = False
    near: TypedDistances | None = None


def read_pd(text: str, name: str = "pd") -> TypedDistances:
    """A pupillary distance: one number, right / left, or far / near. Raises UnclearError.

    >>> read_pd("63/60").near
    TypedDistances(right_mm=30.0, left_mm=30.0, was_split=True, near=None)
    """
    numbers = _numbers(text, name, PD_ALLOWED, PD_ADVICE)
    if len(numbers) == 1:
        return _split(numbers[0], text, name)
    first, second = numbers
    if first >= SMALLEST_PAIR_MM and second >= SMALLEST_PAIR_MM and max(numbers) > LARGEST_PD_MM:
        return _far_and_near(first, second, text, name)
    for number in numbers:
        if not SMALLEST_PD_MM <= number <= LARGEST_PD_MM:
            raise UnclearError(f"{name} has an eye {number:g} mm from the middle of the nose", PD_ALLOWED, PD_ADVICE)
    return TypedDistances(first, second)


def read_heights(text: str, depth_mm: float | None) -> TypedDistances:
    """Fitting heights of the right and the left lens [mm], over 5 and below the depth. Raises UnclearError.

    One number is the height of both; it is not split.
    """
    allowed = "A height is over 5 mm and less than the depth of the lens."
    advice = "Type right / left as in:   heights: 19 / 19   or one number for both."
    numbers = _numbers(text, "heights", allowed, advice)
    for number in numbers:
        if number <= 5 or (depth_mm is not None and number >= depth_mm):
            depth = f" in a lens {depth_mm:g} mm deep" if depth_mm is not None else ""
            raise UnclearError(f"a height of {number:g} mm cannot be right{depth}", allowed, advice)
    return TypedDistances(numbers[0], numbers[-1])


def read_centres(text: str) -> TypedDistances:
    """Centre thickness measured in the right and the left lens [mm], 0.8 to 25. Raises UnclearError."""
    allowed = "A centre thickness is from 0.8 to 25 mm."
    advice = "Type right / left as in:   centre: 2.1 / 2.0   or one number for both."
    numbers = _numbers(text, "centre", allowed, advice)
    for number in numbers:
        if not THINNEST_CENTRE_MM <= number <= THICKEST_CENTRE_MM:
            raise UnclearError(f"a centre thickness of {number:g} mm cannot be right", allowed, advice)
    return TypedDistances(numbers[0], numbers[-1])


def _numbers(text: str, name: str, allowed: str, advice: str) -> tuple[float, ...]:
    line = tidy(text)
    found = ONE.fullmatch(line) or TWO.fullmatch(line)
    if not found:
        raise UnclearError(f"{name} cannot be read: {cut(text)}", allowed, advice)
    return tuple(float(number) for number in found.groups())


def _split(both_mm: float, text: str, name: str) -> TypedDistances:
    if not SMALLEST_PAIR_MM <= both_mm <= LARGEST_PAIR_MM:
        only = " for both eyes; is it the distance of one eye?" if SMALLEST_PD_MM <= both_mm < SMALLEST_PAIR_MM else ""
        raise UnclearError(f"{name} cannot be {cut(text)}{only}", PD_ALLOWED, PD_ADVICE)
    return TypedDistances(both_mm / 2, both_mm / 2, was_split=True)


def _far_and_near(far_mm: float, near_mm: float, text: str, name: str) -> TypedDistances:
    if near_mm > far_mm or far_mm > LARGEST_PAIR_MM:
        raise UnclearError(
            f"{name} cannot be {cut(text)}",
            "Two large numbers are far / near, and the near one is the smaller.",
            "Type it as in:   pd: 63 / 60   or right / left as in   pd: 31 / 30.5",
        )
    far = _split(far_mm, text, name)
    return TypedDistances(far.right_mm, far.left_mm, was_split=True, near=_split(near_mm, text, name))
