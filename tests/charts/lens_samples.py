"""Drawings of lenses seen through: progressives and bifocals of ordinary and extreme sizes, from computed sketches."""

from msgspec.structs import replace

from explain.optics.outline import shape_outline
from explain.optics.progressive import (
    corridor_half_width_mm,
    engraved_marks_mm,
    is_inside,
    middle_mm,
    progressive_lens,
)
from explain.optics.window import reading_window, window_shape
from explain.story.drawings import TrueSizeDrawing, WindowDrawing, ZoneLabel, ZonesDrawing

FAR, ARM, NEAR = ("Far", "from 6 m (20 ft)"), ("Arm's length", "60 cm (24 in)"), ("Near", "40 cm (16 in)")


def mirrored(points):
    return tuple((-x, y) for x, y in points)


def zones(add_dpt, height_mm, depth_mm, *, width_mm=52.0, shape="rounded", enlarged=1.5, nose=1):
    right = shape_outline(shape, width_mm, depth_mm)
    outline = right if nose > 0 else mirrored(right)[::-1]
    lens = progressive_lens(outline, (nose * 4.0, height_mm - depth_mm / 2), nose, 31.0, add_dpt, height_mm)
    bottom = lens.bottom_mm
    end = min(bottom, lens.corridor_mm)
    half = corridor_half_width_mm(add_dpt, lens.corridor_mm)
    middles = [(-middle_mm(lens, end * step / 4), -end * step / 4) for step in range(5)]
    low = (lens.corridor_mm + bottom) / 2 if bottom > lens.corridor_mm else bottom - 0.1
    places = [(0.0, (depth_mm - height_mm) / 2), middles[3], (-middle_mm(lens, low), -low)]
    return ZonesDrawing(
        title="Zones",
        description="Near is low.",
        enlarged=enlarged,
        outline=mirrored(lens.outline),
        left_wall=tuple((x - half, y) for x, y in middles),
        right_wall=tuple((x + half, y) for x, y in middles),
        marks=mirrored(mark for mark in engraved_marks_mm(lens) if is_inside(lens.outline, mark)),
        labels=tuple(ZoneLabel(lines, at) for lines, at in zip((FAR, ARM, NEAR), places, strict=True)),
        nose_side="left" if nose > 0 else "right",
        nose_word="nose",
        outer_word="ear",
        ruler_label="mm on your lens",
    )


def window(height_mm, depth_mm, *, width_mm=52.0, shape="rounded", enlarged=1.5):
    outline = shape_outline(shape, width_mm, depth_mm)
    found = reading_window(outline, (6.0, height_mm - depth_mm / 2))
    x, y = found.top
    return WindowDrawing(
        title="Window",
        description="The line is low.",
        enlarged=enlarged,
        outline=mirrored(outline),
        window=mirrored(window_shape(found.top)),
        labels=(
            ZoneLabel(FAR, (-x, y + found.far_part_mm / 2)),
            ZoneLabel(NEAR, (-x, y - found.tall_mm / 2)),
        ),
        nose_side="left",
        nose_word="nose",
        outer_word="ear",
        ruler_label="mm on your lens",
    )


ZONES = {
    "zones": zones(2.25, 20.0, 38.0),
    "zones of a left lens": zones(2.25, 20.0, 38.0, nose=-1),
    "zones of a shallow frame": zones(2.25, 15.0, 28.0),
    "zones of a deep frame": zones(2.25, 26.0, 50.0),
    "zones with a weak add": zones(0.75, 20.0, 38.0),
    "zones with a strong add": zones(3.50, 20.0, 38.0),
    "zones, shallow and strong": zones(3.50, 15.0, 28.0, shape="aviator-like"),
    "zones cut off": zones(2.00, 9.0, 30.0),
    "zones of a narrow frame": zones(2.00, 18.0, 32.0, width_mm=42.0, shape="round", enlarged=2.0),
    "zones of a wide frame": zones(2.50, 22.0, 46.0, width_mm=70.0, shape="aviator-like", enlarged=1.25),
    "zones without room": zones(2.25, 14.0, 22.0, width_mm=40.0, shape="round", enlarged=1.0),
}
WINDOWS = {
    "window": window(17.0, 42.0),
    "window in a shallow frame": window(12.0, 28.0, shape="aviator-like"),
    "window in a deep frame": window(26.0, 50.0),
    "window in a narrow frame": window(15.0, 32.0, width_mm=40.0, shape="round", enlarged=2.0),
}


def true_size(width_mm, depth_mm, *, shape="rounded", nose=1, height_mm=None, window=()):
    right = shape_outline(shape, width_mm, depth_mm)
    known = height_mm is not None
    return TrueSizeDrawing(
        title="Your lens",
        description="It is so large.",
        outline=right if nose > 0 else mirrored(right)[::-1],
        centre=(nose * 3.5, height_mm - depth_mm / 2 if known else 0.0),
        has_pupil=known,
        height_label=f"{height_mm:.1f}\N{NO-BREAK SPACE}mm" if known else "",
        window=window,
        nose_side="right" if nose > 0 else "left",
        nose_word="nose",
        outer_word="ear",
        ruler_label="50\N{NO-BREAK SPACE}mm",
    )


TRUE_SIZES = {
    "true size": true_size(52.0, 38.0, height_mm=22.0),
    "true size of a left lens": true_size(52.0, 38.0, nose=-1, height_mm=20.0),
    "true size without a height": true_size(50.0, 34.0, shape="square"),
    "true size of a child's lens": true_size(40.0, 30.0, shape="round", height_mm=16.0),
    "true size of the widest lens": true_size(72.0, 50.0, shape="aviator-like", height_mm=30.0),
    "true size of the narrowest lens": true_size(30.0, 22.0, shape="oval", height_mm=12.0),
    "true size of a bifocal": true_size(54.0, 42.0, window=window_shape((5.5, -4.0))),
}
LENSES = {**ZONES, **WINDOWS}


def nasty_lenses(text):
    """A drawing of each kind whose every word is the same nasty text."""
    words = {"title": text, "description": text, "nose_word": text, "outer_word": text, "ruler_label": text}
    return {
        "zones": _with_words(ZONES["zones of a deep frame"], words, text),
        "window": _with_words(WINDOWS["window in a deep frame"], words, text),
        "true size": replace(TRUE_SIZES["true size"], height_label=text, **words),
    }


def _with_words(drawing, words, text):
    given = {name: getattr(drawing, name) for name in drawing.__struct_fields__} | words
    given["labels"] = tuple(ZoneLabel((text,), label.at) for label in drawing.labels)
    return type(drawing)(**given)
