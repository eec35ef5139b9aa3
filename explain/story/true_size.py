"""True size: each lens of the pair as an outline at 1:1, with the place it is centred on, to lay the pair on."""

from __future__ import annotations

from explain.optics.outline import box_size_mm
from explain.optics.window import window_shape
from explain.story.blocks import Figure, Table
from explain.story.drawings import TrueSizeDrawing
from explain.story.pair import Eye, Pair
from explain.story.prescription import side_name
from explain.story.window import window_of
from explain.story.wording import NO_BREAK, mm, mm_with_inches, sentence_case

RULER_NOTE = "The line is 50 mm on paper; if not, set print to 100 %. A screen may show all of it smaller."
RULERS_NOTE = "Each line is 50 mm on paper; if not, set print to 100 %."
"""A CSS millimetre is one on paper; on a screen it is as long as the maker of the screen made it."""


def height_given(pair: Pair, eye: Eye) -> float | None:
    """The height that was ordered for one eye [mm]: of the pupil, or in a bifocal of the line. None where none was."""
    height: float | None = getattr(pair.order.fit, f"height_{eye.side}_mm")
    return height


def pupil_is_known(pair: Pair, eye: Eye) -> bool:
    """True where the order says how high the pupil stands: a height was measured, and it is not that of a line."""
    return height_given(pair, eye) is not None and pair.order.lenses.design != "bifocal"


def cross_name(pair: Pair) -> str:
    """What the cross of the figure stands for, by kind of lens."""
    return "fitting cross" if pair.order.lenses.design == "progressive" else "lens center"


def lens_to_compare(pair: Pair) -> Figure:
    """The first lens of the pair with the place of the pupil, to compare with what a mirror shows."""
    eye = pair.eyes[0]
    finding = pupil_text(pair, eye)
    about = f"Your {eye.side} lens from the front, at true size on paper."
    return Figure(finding, about, _drawing(pair, eye, finding, about), compare_table(pair), RULER_NOTE)


def pupil_text(pair: Pair, eye: Eye) -> str:
    """Say where the pupil belongs, as far as the order knows."""
    if pair.order.lenses.design == "bifocal" and height_given(pair, eye) is not None:
        return "The line of the window belongs level with your lower lid"
    if pupil_is_known(pair, eye):
        return f"Your {eye.side} pupil belongs in the ring"
    return f"Your {eye.side} pupil belongs on the broken line"


def compare_table(pair: Pair) -> Table:
    """What to compare by a ruler: heights where they were ordered, else the distance of each pupil from the nose."""
    found = [(eye, height) for eye in pair.eyes if (height := height_given(pair, eye)) is not None]
    if not found:
        rows = tuple((side_name(eye.side), mm_with_inches(eye.pd_mm)) for eye in pair.eyes)
        return Table("Places to compare", ("Eye", "Middle of nose to pupil"), rows)
    rows = tuple((side_name(eye.side), mm_with_inches(height)) for eye, height in found)
    what = "Line" if pair.order.lenses.design == "bifocal" else "Pupil"
    return Table("Heights to compare", ("Eye", f"{what} above the lowest point"), rows)


def lenses_to_keep(pair: Pair) -> list[Figure]:
    """Each lens at true size, with what another optician measures it by."""
    return [_kept(pair, eye) for eye in pair.eyes]


def cross_to_nose_side_mm(eye: Eye) -> float:
    """How far the cross stands from the nose side of the lens box [mm], above 0 inside the box."""
    wide, _ = box_size_mm(eye.outline)
    return wide / 2 - eye.nose_sign * eye.reference_point[0]


def _kept(pair: Pair, eye: Eye) -> Figure:
    finding = f"{sentence_case(eye.side)} lens at true size"
    name = cross_name(pair)
    about = f"From the front. Cross: {name}."
    rows = [
        ("Cross to the nose side", mm(cross_to_nose_side_mm(eye))),
        ("Smallest round blank", mm(eye.smallest_blank_mm)),
    ]
    if pair.order.lenses.design == "bifocal":
        rows.append(("Cross above the lowest point", mm(eye.height_mm)))
    table = Table(f"{sentence_case(eye.side)} lens", ("What", "Figure"), tuple(rows))
    return Figure(finding, about, _drawing(pair, eye, finding, about), table)


def _drawing(pair: Pair, eye: Eye, title: str, about: str) -> TrueSizeDrawing:
    known = pupil_is_known(pair, eye)
    label = mm(eye.height_mm) if known else ""
    window = window_of(pair, eye) if eye.ordered.add_dpt else None
    return TrueSizeDrawing(
        title=title,
        description=f"{about} {_spoken(pair, eye)}",
        outline=eye.outline,
        centre=eye.reference_point,
        has_pupil=known,
        height_label=label,
        window=() if window is None or pair.order.lenses.design != "bifocal" else window_shape(window.top),
        nose_side="right" if eye.nose_sign > 0 else "left",
        nose_word="nose",
        outer_word="ear",
        ruler_label=f"50{NO_BREAK}mm",
    )


def _spoken(pair: Pair, eye: Eye) -> str:
    """The drawing in words, for whoever does not see it."""
    wide, deep = box_size_mm(eye.outline)
    where = f"{mm(eye.height_mm)} above the lowest point" if pupil_is_known(pair, eye) else "half-way up"
    return f"The lens is {mm(wide)} wide and {mm(deep)} deep; the {cross_name(pair)} is {where}."
