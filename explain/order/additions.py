"""The addition as people type it: extra power for reading, for both eyes or for each."""

from __future__ import annotations

import re

from explain.order.faults import Remark, UnclearError
from explain.order.numbers import DIGITS, DPT, STRONGEST_ADD_DPT, WEAKEST_ADD_DPT, cut, dioptres, tidy, typed_number


def read_add(text: str, whose: str = "this eye") -> tuple[float, tuple[Remark, ...]]:
    """An addition alone [D]; 0.0, with a remark, when nothing was typed as a number. Raises UnclearError.

    >>> read_add("Reading add 2")
    (2.0, ())
    """
    line = re.sub(r"^(?:(?:near|reading)\s+)?(?:add(?:ition)?|zus(?:atz)?)\b\.?\s*[:=]?\s*", "", tidy(text))
    number = typed_number(line, DPT)
    allowed = "An addition is from 0.25 to 6.00 dioptres, and always plus."
    if number is None or number.sign == "-":
        raise UnclearError(
            f"{whose} has an addition that cannot be read: {cut(text)}", allowed, "Type it as in:   add: 1.75"
        )
    value, remarks = dioptres(number, "addition", whose, STRONGEST_ADD_DPT)
    if value == 0:
        return 0.0, (
            Remark(
                f"{whose} has an addition of nothing",
                allowed,
                "Take it out, or type the addition that was meant.",
                "add",
            ),
        )
    if value < WEAKEST_ADD_DPT:
        raise UnclearError(f"{whose} has an addition of {number}", allowed, "Type it as in:   add: 1.75")
    return value, remarks


def read_both_adds(text: str) -> tuple[float, float, tuple[Remark, ...]]:
    """Additions of the right and the left lens in one text, such as "R +2.00 L +2.25". Raises UnclearError."""
    parts = re.fullmatch(
        r"(?:add\s*)?(?:r|right|od)\b\s*[:=]?\s*(.+?)[,;/]?\s*\b(?:l|left|os)\b\s*[:=]?\s*(.+)", tidy(text)
    )
    parts = parts or re.fullmatch(rf"(?:add\s*)?(\+?\s*{DIGITS})\s*/\s*(\+?\s*{DIGITS})", tidy(text))
    if not parts:
        raise UnclearError(
            f"the addition cannot be read: {cut(text)}",
            "An addition is one number for both eyes, or one for each.",
            "Type it as in:   add: 1.75   or   add: {right: 1.75, left: 2.00}",
        )
    right, right_remarks = read_add(parts[1], "the right eye")
    left, left_remarks = read_add(parts[2], "the left eye")
    different = (adds_differ(parts[1], parts[2]),) if right != left else ()
    return right, left, (*right_remarks, *left_remarks, *different)


def adds_differ(right: str, left: str) -> Remark:
    """The remark on additions that are not the same."""
    return Remark(
        f"the additions differ: {right.strip()} for the right eye, {left.strip()} for the left",
        "Additions are nearly always the same for both eyes.",
        "Look at the prescription again; if it is right, leave it.",
        "add",
    )
