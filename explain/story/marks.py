"""Marks: the 2 engraved ones of a progressive lens, how they are found, and which of them the frame cuts away."""

from __future__ import annotations

from explain.language import _
from explain.optics.progressive import MARKS_APART_MM, engraved_marks_mm, is_inside
from explain.story.blocks import Block, Paragraph
from explain.story.pair import Eye
from explain.story.sides import your_lenses
from explain.story.wording import listed, plain, rounded


def marks_text(add_dpt: float) -> str:
    """Say what the engraved marks are and how they are found again.

    >>> marks_text(2.25).split(". ")[1]
    'A lamp from the side, or breath on the lens, shows them'
    """
    add = f"{rounded(add_dpt * 100, 0):0>3}"
    return _(
        "Makers often engrave 2 tiny marks, {apart} mm apart, with the add shortened under the outer one "
        "({short} or {long}). A lamp from the side, or breath on the lens, shows them. "
        "From them an optician finds the cross again.",
        apart=plain(MARKS_APART_MM, 0),
        short=add[:2],
        long=add,
    )


def cut_marks(eyes: list[Eye]) -> list[Block]:
    """Name the marks that the frame has cut away, if any."""
    inner, outer = _cut_sides(0, eyes), _cut_sides(1, eyes)
    lost = [_("the inner mark of {lens}", lens=your_lenses(inner))] if inner else []
    lost += [_("the outer mark of {lens}", lens=your_lenses(outer))] if outer else []
    return [Paragraph(_("By this sketch, your frame cuts away {marks}.", marks=listed(lost)))] if lost else []


def _cut_sides(at: int, eyes: list[Eye]) -> list[str]:
    """Sides of the lenses whose inner (0) or outer (1) mark the frame cuts away."""
    sketches = {eye.side: eye.sketch for eye in eyes}
    return [side for side, lens in sketches.items() if not is_inside(lens.outline, engraved_marks_mm(lens)[at])]
