"""What you would see without them: a computed picture, never a promise of sharpness."""

from __future__ import annotations

from typing import Any

from explain.language import _
from explain.optics.blur import blur_ellipse
from explain.optics.magnify import pupil_distance_mm
from explain.optics.power import SphereCylinder, spherical_equivalent_dpt
from explain.optics.vertex import vertex_compensated
from explain.story.blocks import Block, Figure, Note, Paragraph, Section, Table
from explain.story.drawings import SightDrawing, SightPicture
from explain.story.pair import VERTEX_MM, Eye, Pair
from explain.story.prescription import side_name, still_focuses
from explain.story.wording import cm_with_inches, plain

PUPIL_MM = 4.0
FAR_CM = 600.0
ARCMIN_PER_MRAD = 3.437747
LEAST_BLUR_ARCMIN = 5.0
FULL_SIGHT_ARCMIN = 5.0
"""Height of the letters of the 20/20 row [minutes of arc] (acuity tables, uniroma_va in data/sources.yaml)."""
ROWS = (("EF", 100.0), ("PTO", 50.0), ("LCDV", 25.0), ("ZUNHE", 12.5))
"""Letters and their heights [minutes of arc]; an eye with full sight reads letters of 5."""


def sight_section(pair: Pair) -> Section | None:
    """Part 3 of the page; absent where there is no prescription to leave off."""
    eyes = [eye for eye in pair.eyes if eye.ordered.power is not None]
    far = None if pair.order.lenses.design == "reading" else _far(eyes)
    figures = [figure for figure in (far, _near(pair, eyes)) if figure is not None]
    if pair.order.lenses.design == "plano" or not figures:
        return None
    blocks: list[Block] = [
        Paragraph(_("These pictures are computed from your prescription. They show letters without your lenses.")),
        *figures,
        Note(_limits_text(eyes, focuses=still_focuses(pair.order)), label=_("What the picture leaves out")),
    ]
    return Section("without", _("What you would see without them"), _("Your sight without them"), tuple(blocks))


def sight_numbers(pair: Pair) -> dict[str, Any]:
    """Blur without lenses, far and near, by side, in full precision; only what a picture is drawn for."""
    eyes = [eye for eye in pair.eyes if eye.ordered.power is not None]
    if pair.order.lenses.design == "plano":
        return {}
    far = {} if pair.order.lenses.design == "reading" else _errors(eyes, FAR_CM)
    near = _errors([eye for eye in eyes if eye.ordered.add_dpt], pair.reading_cm)
    return {
        "pupil_mm": PUPIL_MM,
        "far": _blur_numbers(far, FAR_CM),
        "near": _blur_numbers(near, pair.reading_cm),
    }


def _errors(eyes: list[Eye], distance_cm: float) -> dict[str, SphereCylinder]:
    return {eye.side: far_error(eye.ordered.power, distance_cm) for eye in eyes if eye.ordered.power is not None}


def _blur_numbers(errors: dict[str, SphereCylinder], distance_cm: float) -> dict[str, Any]:
    if not errors:
        return {}
    pictures = {side: _picture(side, error) for side, error in errors.items()}
    return {
        "distance_cm": distance_cm,
        "letters_mm": [size_at_mm(height, distance_cm) for _, height in ROWS],
        "full_sight_letter_mm": size_at_mm(FULL_SIGHT_ARCMIN, distance_cm),
        **{side: _picture_numbers(picture, distance_cm) for side, picture in pictures.items()},
    }


def _picture_numbers(picture: SightPicture, distance_cm: float) -> dict[str, float]:
    return {
        "longest_blur_arcmin": picture.blur_long_arcmin,
        "shortest_blur_arcmin": picture.blur_short_arcmin,
        "longest_blur_mm": size_at_mm(picture.blur_long_arcmin, distance_cm),
        "shortest_blur_mm": size_at_mm(picture.blur_short_arcmin, distance_cm),
    }


def far_error(power: SphereCylinder, distance_cm: float = FAR_CM) -> SphereCylinder:
    """Power missing at the pupil when a resting eye without its lens looks at something at this distance."""
    at_the_eye = vertex_compensated(power, pupil_distance_mm(VERTEX_MM))
    return SphereCylinder(at_the_eye.sphere_dpt + 100 / distance_cm, at_the_eye.cylinder_dpt, at_the_eye.axis_deg)


def _limits_text(eyes: list[Eye], *, focuses: bool) -> str:
    text = _(
        "The pictures are for a pupil of {pupil} mm and an eye that does not focus. "
        "In bright light the pupil is smaller and the blur is less.",
        pupil=plain(PUPIL_MM, 0),
    )
    if focuses and any(spherical_equivalent_dpt(eye.ordered.power) > 0 for eye in eyes if eye.ordered.power):
        text += " " + _("A far-sighted eye can focus away some of the blur, more when young, and gets tired.")
    return text


def _far(eyes: list[Eye]) -> Figure | None:
    return _figure(_errors(eyes, FAR_CM), FAR_CM)


def _near(pair: Pair, eyes: list[Eye]) -> Figure | None:
    errors = _errors([eye for eye in eyes if eye.ordered.add_dpt], pair.reading_cm)
    return _figure(errors, pair.reading_cm) if errors else None


def _figure(errors: dict[str, SphereCylinder], distance_cm: float) -> Figure | None:
    pictures = {side: _picture(side, error) for side, error in errors.items()}
    if not pictures or all(picture.blur_long_arcmin < LEAST_BLUR_ARCMIN for picture in pictures.values()):
        return None
    distance = cm_with_inches(distance_cm)
    span = _span([picture.blur_long_arcmin for picture in pictures.values()], distance_cm)
    finding = _("Without them, a dot {distance} away looks {span} wide", distance=distance, span=span)
    rows = tuple(_row(picture, distance_cm) for picture in pictures.values())
    table = Table(_("Size of the blur"), (_("Eye"), _("Longest way"), _("Shortest way")), rows)
    return Figure(
        finding=finding,
        measure=_(
            "Letters at {distance}, from {largest} high down to {smallest}. Full sight reads letters of {full}.",
            distance=distance,
            largest=_height(ROWS[0][1], distance_cm),
            smallest=_height(ROWS[-1][1], distance_cm),
            full=_height(FULL_SIGHT_ARCMIN, distance_cm),
        ),
        drawing=SightDrawing(
            finding, _spoken(list(pictures.values()), distance_cm), _("Sharp"), tuple(pictures.values())
        ),
        table=table,
    )


def _picture(side: str, error: SphereCylinder) -> SightPicture:
    blur = blur_ellipse(error, PUPIL_MM)
    return SightPicture(
        label=side_name(side),
        blur_long_arcmin=blur.long_mrad * ARCMIN_PER_MRAD,
        blur_short_arcmin=blur.short_mrad * ARCMIN_PER_MRAD,
        long_direction_deg=(180 - blur.long_direction_deg) % 180,
        rows=ROWS,
    )


def size_at_mm(arcmin: float, distance_cm: float) -> float:
    """Size of something that fills this angle at this distance [mm]."""
    return arcmin / ARCMIN_PER_MRAD / 1000 * distance_cm * 10


def _height(arcmin: float, distance_cm: float) -> str:
    return f"{_millimetres(arcmin, distance_cm)} mm"


def _millimetres(arcmin: float, distance_cm: float) -> str:
    return plain(size_at_mm(arcmin, distance_cm), 0 if distance_cm > 100 else 1)


def _span(widths_arcmin: list[float], distance_cm: float) -> str:
    """Say from which to which width the blur of the eyes goes; one width where both round to the same."""
    least, most = (_millimetres(width, distance_cm) for width in (min(widths_arcmin), max(widths_arcmin)))
    return f"{most} mm" if least == most else _("{least} to {most} mm", least=least, most=most)


def _row(picture: SightPicture, distance_cm: float) -> tuple[str, str, str]:
    longest, shortest = picture.blur_long_arcmin, picture.blur_short_arcmin
    return picture.label, _height(longest, distance_cm), _height(shortest, distance_cm)


def _spoken(pictures: list[SightPicture], distance_cm: float) -> str:
    return " ".join(
        _(
            "{eye}: each point of a letter spreads over {width}.",
            eye=picture.label,
            width=_height(picture.blur_long_arcmin, distance_cm),
        )
        for picture in pictures
    )
