"""True size: each lens of the pair as an outline at 1:1, with the place it is centred on, to lay the pair on."""

from __future__ import annotations

from explain.language import _, later
from explain.optics.window import window_shape
from explain.story.blocks import Figure, Table
from explain.story.drawings import TrueSizeDrawing
from explain.story.pair import Eye, Pair
from explain.story.sides import eye_name, lens_name, your_lens_first
from explain.story.window import window_of
from explain.story.wording import NO_BREAK, mm, mm_with_inches

RULER_NOTE = later("The line is 50 mm on paper; if not, set print to 100 %. A screen may show all of it smaller.")
RULERS_NOTE = later("Each line is 50 mm on paper; if not, set print to 100 %.")
"""A CSS millimetre is one on paper; on a screen it is as long as the maker of the screen made it."""

_HIGH = {
    True: later("The lens is {wide} wide and {deep} deep; the fitting cross is {height} above the lowest point."),
    False: later("The lens is {wide} wide and {deep} deep; the lens center is {height} above the lowest point."),
}
_HALF_WAY_UP = {
    True: later("The lens is {wide} wide and {deep} deep; the fitting cross is half-way up."),
    False: later("The lens is {wide} wide and {deep} deep; the lens center is half-way up."),
}
"""By whether the lens is progressive: where its cross is."""


def height_given(pair: Pair, eye: Eye) -> float | None:
    """The height that was ordered for one eye [mm]: of the pupil, or in a bifocal of the line. None where none was."""
    height: float | None = getattr(pair.order.fit, f"height_{eye.side}_mm")
    return height


def pupil_is_known(pair: Pair, eye: Eye) -> bool:
    """True where the order says how high the pupil stands: a height was measured, and it is not that of a line."""
    return height_given(pair, eye) is not None and pair.order.lenses.design != "bifocal"


def is_progressive(pair: Pair) -> bool:
    """True where the cross of the figure is a fitting cross; in any other lens it is the lens center."""
    return pair.order.lenses.design == "progressive"


def cross_name(pair: Pair) -> str:
    """What the cross of the figure stands for, by kind of lens."""
    return _("fitting cross") if is_progressive(pair) else _("lens center")


def lens_to_compare(pair: Pair) -> Figure:
    """The first lens of the pair with the place of the pupil, to compare with what a mirror shows."""
    eye = pair.eyes[0]
    finding = pupil_text(pair, eye)
    about = _("{lens} from the front, at true size on paper.", lens=your_lens_first(eye.side))
    return Figure(finding, about, _drawing(pair, eye, finding, about), compare_table(pair), _(RULER_NOTE))


def pupil_text(pair: Pair, eye: Eye) -> str:
    """Say where the pupil belongs, as far as the order knows."""
    if pair.order.lenses.design == "bifocal" and height_given(pair, eye) is not None:
        return _("The line of the window belongs level with your lower lid")
    right = eye.side == "right"
    if pupil_is_known(pair, eye):
        return _("Your right pupil belongs in the ring") if right else _("Your left pupil belongs in the ring")
    if right:
        return _("Your right pupil belongs on the broken line")
    return _("Your left pupil belongs on the broken line")


def compare_table(pair: Pair) -> Table:
    """What to compare by a ruler: heights where they were ordered, else the distance of each pupil from the nose."""
    found = [(eye, height) for eye in pair.eyes if (height := height_given(pair, eye)) is not None]
    if not found:
        rows = tuple((eye_name(eye.side), mm_with_inches(eye.pd_mm)) for eye in pair.eyes)
        return Table(_("Places to compare"), (_("Eye"), _("Middle of nose to pupil")), rows)
    rows = tuple((eye_name(eye.side), mm_with_inches(height)) for eye, height in found)
    bifocal = pair.order.lenses.design == "bifocal"
    what = _("Line above the lowest point") if bifocal else _("Pupil above the lowest point")
    return Table(_("Heights to compare"), (_("Eye"), what), rows)


def lenses_to_keep(pair: Pair) -> list[Figure]:
    """Each lens at true size, with what another optician measures it by."""
    return [_kept(pair, eye) for eye in pair.eyes]


def cross_to_nose_side_mm(eye: Eye) -> float:
    """How far the cross stands from the nose side of the lens box [mm], above 0 inside the box."""
    return eye.box_mm[0] / 2 - eye.nose_sign * eye.reference_point[0]


def _kept(pair: Pair, eye: Eye) -> Figure:
    finding = _("{lens} at true size", lens=lens_name(eye.side))
    about = _("From the front. Cross: {name}.", name=cross_name(pair))
    rows = [
        (_("Cross to the nose side"), mm(cross_to_nose_side_mm(eye))),
        (_("Smallest round blank"), mm(eye.smallest_blank_mm)),
    ]
    if pair.order.lenses.design == "bifocal":
        rows.append((_("Cross above the lowest point"), mm(eye.height_mm)))
    table = Table(lens_name(eye.side), (_("What"), _("Figure")), tuple(rows))
    return Figure(finding, about, _drawing(pair, eye, finding, about), table)


def _drawing(pair: Pair, eye: Eye, title: str, about: str) -> TrueSizeDrawing:
    known = pupil_is_known(pair, eye)
    label = mm(eye.height_mm) if known else ""
    window = window_of(pair, eye) if eye.ordered.add_dpt and pair.order.lenses.design == "bifocal" else None
    return TrueSizeDrawing(
        title=title,
        description=f"{about} {_spoken(pair, eye)}",
        outline=eye.outline,
        centre=eye.reference_point,
        has_pupil=known,
        height_label=label,
        window=() if window is None else window_shape(window.top),
        nose_side="right" if eye.nose_sign > 0 else "left",
        nose_word=_("nose"),
        outer_word=_("ear"),
        ruler_label=f"50{NO_BREAK}mm",
    )


def _spoken(pair: Pair, eye: Eye) -> str:
    """The drawing in words, for whoever does not see it."""
    wide, deep = map(mm, eye.box_mm)
    if pupil_is_known(pair, eye):
        return _(_HIGH[is_progressive(pair)], wide=wide, deep=deep, height=mm(eye.height_mm))
    return _(_HALF_WAY_UP[is_progressive(pair)], wide=wide, deep=deep)
