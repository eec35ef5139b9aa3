"""Sides: the words for right and left, of an eye and of a lens, in the language being spoken.

Other languages bend them with the noun (in Spanish an eye is derecho, a lens derecha), so each phrase is whole here.
Phrases with their article stand inside a sentence; names begin with a capital, for rows, labels and leads.
"""

from __future__ import annotations

from collections.abc import Sequence

from explain.language import _, in_context


def eye_name(side: str) -> str:
    """Name an eye, for a row, a label or a lead.

    >>> eye_name("right")
    'Right eye'
    """
    return _("Right eye") if side == "right" else _("Left eye")


def lens_name(side: str) -> str:
    """Name a lens, for a row, a label or a lead.

    >>> lens_name("left")
    'Left lens'
    """
    return _("Right lens") if side == "right" else _("Left lens")


def your_eye(side: str) -> str:
    """Say which eye of the reader, inside a sentence.

    >>> your_eye("left")
    'your left eye'
    """
    return _("your right eye") if side == "right" else _("your left eye")


def your_lens(side: str) -> str:
    """Say which lens of the reader, inside a sentence.

    >>> your_lens("right")
    'your right lens'
    """
    return _("your right lens") if side == "right" else _("your left lens")


def your_lens_first(side: str) -> str:
    """Say which lens of the reader, as the first words of a sentence.

    >>> your_lens_first("right")
    'Your right lens'
    """
    return _("Your right lens") if side == "right" else _("Your left lens")


def the_lens(side: str) -> str:
    """Say which lens, of whomever, inside a sentence.

    >>> the_lens("left")
    'the left lens'
    """
    return _("the right lens") if side == "right" else _("the left lens")


def the_lens_first(side: str) -> str:
    """Say which lens, of whomever, as the first words of a sentence.

    >>> the_lens_first("left")
    'The left lens'
    """
    return _("The right lens") if side == "right" else _("The left lens")


def each_lens() -> str:
    """Say both lenses, one by one, inside a sentence."""
    return _("each lens")


def each_eye() -> str:
    """Say both eyes, one by one, inside a sentence."""
    return _("each eye")


def your_lenses(sides: Sequence[str]) -> str:
    """Say each lens, or the one that is meant, inside a sentence; for 1 or 2 sides.

    >>> your_lenses(["right", "left"]), your_lenses(["left"])
    ('each lens', 'your left lens')
    """
    return each_lens() if len(sides) > 1 else your_lens(sides[0])


def of_eye(side: str) -> str:
    """Say right or left alone where the noun is eye.

    >>> of_eye("right")
    'right'
    """
    return in_context("eye", "right") if side == "right" else in_context("eye", "left")


def of_lens(side: str) -> str:
    """Say right or left alone where the noun is lens.

    >>> of_lens("left")
    'left'
    """
    return in_context("lens", "right") if side == "right" else in_context("lens", "left")
