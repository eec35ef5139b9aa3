"""Window: where the reading window of the wearer's own bifocals lies, and what its line does."""

from __future__ import annotations

from typing import Any

from explain.language import _
from explain.optics.convergence import near_pd_mm
from explain.optics.prism import image_jump_prism_dpt
from explain.optics.progressive import own_focus_dpt, reading_cm
from explain.optics.window import (
    CENTRE_BELOW_LINE_MM,
    ReadingWindow,
    jump_cm,
    line_middle_mm,
    reading_window,
    window_shape,
)
from explain.story.blocks import Block, Figure, Heading, Note, Paragraph, Table
from explain.story.drawings import WindowDrawing, ZoneLabel
from explain.story.pair import Eye, Pair
from explain.story.parts import ARM_CM, FAR_CM, as_wearer_sees, distance_words, enlargement, eyes_with_add, times_text
from explain.story.sides import each_lens, your_lens, your_lens_first
from explain.story.wording import cm_with_inches, mm, plain, rounded


def bifocal_blocks(pair: Pair) -> list[Block]:
    """What a customer with lined bifocals may read about the window; nothing for any other pair, or without heights."""
    if pair.order.lenses.design != "bifocal":
        return []
    found = [(eye, window) for eye in eyes_with_add(pair) if (window := window_of(pair, eye)) is not None]
    if not found:
        return []
    eye, window = found[0]
    return [
        Heading(_("Where the line sits in your lenses")),
        _figure(pair, eye, window),
        *(Paragraph(text) for text in sits_texts(pair, found)),
        Paragraph(sharp_text(_add(eye)), lead=_("What is sharp in the window.")),
        Paragraph(jump_text(_add(eye)), lead=_("The jump at the line.")),
        Note(
            _(
                "The order does not name the window's shape. We took the usual one: flat-topped, 28 mm wide, "
                "19 mm tall. We do not know how far below your pupil the line sits."
            ),
            label=_("What we assumed"),
        ),
    ]


def window_of(pair: Pair, eye: Eye) -> ReadingWindow | None:
    """The window of one eye's lens; None without a height for its line, or with one outside the lens."""
    top = _top(pair, eye)
    return None if top is None else reading_window(eye.outline, top)


def window_numbers(pair: Pair) -> dict[str, Any]:
    """Figures of the window of each bifocal lens, by side, in full precision; empty for any other pair."""
    if pair.order.lenses.design != "bifocal":
        return {}
    found = ((eye, window_of(pair, eye)) for eye in eyes_with_add(pair))
    return {eye.side: _window_numbers(pair, eye, window) for eye, window in found if window is not None}


def _window_numbers(pair: Pair, eye: Eye, window: ReadingWindow) -> dict[str, Any]:
    jump = image_jump_prism_dpt(_add(eye), CENTRE_BELOW_LINE_MM)
    return {
        "line_above_lowest_mm": _height_mm(pair, eye),
        "line_mm": window.line_mm,
        "line_middle_from_box_centre_mm": {"x_mm": window.top[0], "y_mm": window.top[1]},
        "window_tall_mm": window.tall_mm,
        "window_ends_at_rim": window.ends_at_rim,
        "far_part_mm": window.far_part_mm,
        "image_jump_prism_dpt": jump,
        "image_jump_at_reading_distance_cm": jump_cm(jump, reading_cm(_add(eye))),
        "sharp_from_cm": reading_cm(_add(eye)),
        "sharp_to_cm": 100 / _add(eye),
        "own_focus_assumed_dpt": own_focus_dpt(_add(eye)),
    }


def jump_text(add_dpt: float) -> str:
    """Say how far the picture jumps as the eye crosses the line of a flat-topped window.

    >>> jump_text(2.50).split(". ")[0]
    'As your eyes cross the line, the picture jumps by 1.25 prism diopters'
    """
    jump = image_jump_prism_dpt(add_dpt, CENTRE_BELOW_LINE_MM)
    distance = reading_cm(add_dpt)
    return _(
        "As your eyes cross the line, the picture jumps by {jump} prism diopters. "
        "On a page at {distance} that is {aside}.",
        jump=plain(jump, 2),
        distance=cm_with_inches(distance),
        aside=mm(10 * jump_cm(jump, distance)),
    )


def sharp_text(add_dpt: float) -> str:
    """Say which distances are sharp through the window, and what an arm's length is not."""
    own = own_focus_dpt(add_dpt)
    span = distance_words(reading_cm(add_dpt), 100 / add_dpt)
    if rounded(own, 2):
        first = _("It is sharp at {span}, as your eyes add up to {own} diopters.", span=span, own=plain(own, 2))
    else:
        first = _("It is sharp at about {span}, for eyes with no focus of their own left.", span=span)
    if 100 / add_dpt >= ARM_CM:
        return first
    screen = _(
        "A screen at {distance} is too far for it, and too near for the part above.", distance=cm_with_inches(ARM_CM)
    )
    return f"{first} {screen}"


def sits_texts(pair: Pair, found: list[tuple[Eye, ReadingWindow]]) -> list[str]:
    """Say where the line of each lens sits; once where both come out the same."""
    texts = [sits_text(your_lens(eye.side), window, _height_mm(pair, eye) or 0.0) for eye, window in found]
    alike = [sits_text(each_lens(), window, _height_mm(pair, eye) or 0.0) for eye, window in found]
    return alike[:1] if len(found) > 1 and len(set(alike)) == 1 else texts


def sits_text(lens: str, window: ReadingWindow, height_mm: float) -> str:
    """Say where the line of a lens sits, and what is above and below it. lens: "each lens" or "your right lens"."""
    line = _("In {lens} the line sits {height} above the lowest point.", lens=lens, height=mm(height_mm))
    far = _("Above it, {length} are for far.", length=mm(window.far_part_mm))
    return f"{line} {far} {_window_text(window)}"


def _window_text(window: ReadingWindow) -> str:
    tall = mm(window.tall_mm)
    if window.ends_at_rim:
        return _("The window is {tall} tall, down to the rim.", tall=tall)
    return _("The window is {tall} tall, with far power below it again.", tall=tall)


def _add(eye: Eye) -> float:
    assert eye.ordered.add_dpt  # noqa: S101  callers choose eyes with an add
    return eye.ordered.add_dpt


def _height_mm(pair: Pair, eye: Eye) -> float | None:
    height: float | None = getattr(pair.order.fit, f"height_{eye.side}_mm")
    return height


def _top(pair: Pair, eye: Eye) -> tuple[float, float] | None:
    """Middle of the line from the middle of the box: at the near pupil, and at the ordered height."""
    height = _height_mm(pair, eye)
    if height is None:
        return None
    given: float | None = getattr(pair.order.fit, f"near_pd_{eye.side}_mm")
    near = near_pd_mm(eye.pd_mm, reading_cm(_add(eye))) if given is None else given
    frame = pair.order.frame
    x = line_middle_mm(frame.lens_width_mm, frame.bridge_mm, near, eye.nose_sign)
    return x, height - frame.depth_mm / 2


def _figure(pair: Pair, eye: Eye, window: ReadingWindow) -> Figure:
    lens, height_mm = your_lens(eye.side), _height_mm(pair, eye) or 0.0
    finding = _("The line of {lens} sits {height} above its lowest point", lens=lens, height=mm(height_mm))
    rows = (
        (_("Line above the lowest point"), mm(height_mm)),
        (_("Far part above the line"), mm(window.far_part_mm)),
        (_("Window below the line"), mm(window.tall_mm)),
        (_("Length of the line"), mm(window.line_mm)),
        (_("Sharp in the window"), distance_words(reading_cm(_add(eye)), 100 / _add(eye))),
    )
    times = enlargement(pair.order.frame.lens_width_mm)
    return Figure(
        finding=finding,
        measure=_measure(your_lens_first(eye.side), times),
        drawing=_drawing(eye, window, finding, sits_text(lens, window, height_mm), times),
        table=Table(_("The window of {lens}", lens=lens), (_("What"), _("Figure")), rows),
        note=_("The hatched part is the window. At its line the power changes all at once, from far to near."),
    )


def _measure(lens: str, times: float) -> str:
    if times == 1:
        return _("{lens} as you look through it, at true size on paper.", lens=lens)
    return _("{lens} as you look through it, {times} times true size on paper.", lens=lens, times=times_text(times))


def _drawing(eye: Eye, window: ReadingWindow, title: str, description: str, times: float) -> WindowDrawing:
    x, y = window.top
    return WindowDrawing(
        title=title,
        description=description,
        enlarged=times,
        outline=as_wearer_sees(eye.outline),
        window=as_wearer_sees(window_shape(window.top)),
        labels=(
            ZoneLabel(
                (_("Far"), _("from {distance}", distance=cm_with_inches(FAR_CM))), (-x, y + window.far_part_mm / 2)
            ),
            ZoneLabel((_("Near"), cm_with_inches(reading_cm(_add(eye)))), (-x, y - window.tall_mm / 2)),
        ),
        nose_side="left" if eye.nose_sign > 0 else "right",
        nose_word=_("nose"),
        outer_word=_("ear"),
        ruler_label=_("mm on your lens"),
    )
