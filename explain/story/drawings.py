"""What each chart has to show: numbers to draw and the words beside them, before anything is drawn.

`title` and `description` are what a screen reader speaks. Labels arrive ready, rounded and with their unit.
"""

from __future__ import annotations

from msgspec import Struct

from explain.optics.lens import Section


class SectionRow(Struct, frozen=True):
    """One lens cut level through its reference point. nose_side is "left" or "right" in the drawing."""

    label: str
    is_chosen: bool
    section: Section
    nose_side: str
    outer_label: str
    middle_label: str
    nose_label: str


class SectionDrawing(Struct, frozen=True):
    """The same lens in up to four materials, cut level, one below the other at true size (1 mm is 1 mm on paper)."""

    title: str
    description: str
    rows: tuple[SectionRow, ...]
    ruler_label: str
    nose_word: str
    outer_word: str


class EdgeLine(Struct, frozen=True):
    """Thickness round one lens: (angle, mm), angle 0 at the nose, 90 at the top, 180 outside, 270 below.

    thickest: the one of these places that is marked, and that the words name.
    """

    label: str
    points: tuple[tuple[float, float], ...]
    thickest: tuple[float, float]


class EdgeDrawing(Struct, frozen=True):
    """Thickness round the edge of one or two lenses. place_words name 0, 90, 180, 270 and 360 degrees."""

    title: str
    description: str
    lines: tuple[EdgeLine, ...]
    place_words: tuple[str, str, str, str, str]
    unit_label: str


class MeridianEye(Struct, frozen=True):
    """One astigmatic eye: the two principal directions [deg, as seen facing the wearer] and their powers."""

    label: str
    first_deg: float
    first_dpt: float
    first_label: str
    second_deg: float
    second_dpt: float
    second_label: str


class MeridianDrawing(Struct, frozen=True):
    """In which direction each eye's lens is strongest and weakest, as two dials seen facing the wearer."""

    title: str
    description: str
    eyes: tuple[MeridianEye, ...]


class PriceBar(Struct, frozen=True):
    """One line of the bill as a bar; amount may be below zero (a reduction)."""

    label: str
    amount: float
    amount_label: str


class PriceDrawing(Struct, frozen=True):
    """What the price is made of, longest bar first or in the order of the bill, as given."""

    title: str
    description: str
    bars: tuple[PriceBar, ...]


class SightPicture(Struct, frozen=True):
    """Letters as one eye sees them without the lens, at one distance.

    blur_along_arcmin, blur_across_arcmin: full widths of the blur ellipse; direction_deg: direction of the longer
    one, as the wearer sees it, counter-clockwise from level. rows: letters and the height of each row [arcmin].
    """

    label: str
    blur_long_arcmin: float
    blur_short_arcmin: float
    long_direction_deg: float
    rows: tuple[tuple[str, float], ...]


class SightDrawing(Struct, frozen=True):
    """A sharp picture beside one or two blurred ones, all at the same scale."""

    title: str
    description: str
    sharp_label: str
    pictures: tuple[SightPicture, ...]


class ZoneLabel(Struct, frozen=True):
    """A part of a lens named in place: its lines, and the point it names [mm, as the wearer sees it]."""

    lines: tuple[str, ...]
    at: tuple[float, float]


class ZonesDrawing(Struct, frozen=True):
    """Where far, arm's length and near lie in a progressive lens, as its wearer sees it, enlarged.

    Points in mm from the fitting point, x to the wearer's right, y up. walls: left and right end of the clear stretch
    from the fitting point down to where full reading power starts (or where the lens ends). enlarged: times true size
    on paper. nose_side: "left" or "right".
    """

    title: str
    description: str
    enlarged: float
    outline: tuple[tuple[float, float], ...]
    left_wall: tuple[tuple[float, float], ...]
    right_wall: tuple[tuple[float, float], ...]
    marks: tuple[tuple[float, float], ...]
    labels: tuple[ZoneLabel, ...]
    nose_side: str
    nose_word: str
    outer_word: str
    ruler_label: str


class WindowDrawing(Struct, frozen=True):
    """Where the reading window lies in a lined bifocal lens, as its wearer sees it, enlarged.

    Points in mm from the middle of the lens box, x to the wearer's right, y up. window: its edge before the lens was
    cut. labels: one above its line, one below. Otherwise as ZonesDrawing.
    """

    title: str
    description: str
    enlarged: float
    outline: tuple[tuple[float, float], ...]
    window: tuple[tuple[float, float], ...]
    labels: tuple[ZoneLabel, ...]
    nose_side: str
    nose_word: str
    outer_word: str
    ruler_label: str


class TrueSizeDrawing(Struct, frozen=True):
    """One lens at true size, seen from the front, over a line of 50 mm; narrow enough for a phone.

    Points in mm from the middle of the lens box, x to the viewer's right, y up. centre: where the lens is centred.
    has_pupil: the pupil belongs there too. height_label: how far `centre` stands above the lowest line; "" for none.
    window: the edge of a bifocal's reading window before the lens was cut; () for none. nose_side: "left" or "right".
    """

    title: str
    description: str
    outline: tuple[tuple[float, float], ...]
    centre: tuple[float, float]
    has_pupil: bool
    height_label: str
    window: tuple[tuple[float, float], ...]
    nose_side: str
    nose_word: str
    outer_word: str
    ruler_label: str


class FadePanel(Struct, frozen=True):
    """How much light lenses of a kind let through over time, as a band from the darkest to the lightest.

    points: (minutes, least, most), from 0 minutes on, both of every 100 parts. end_label: the band where it ends.
    """

    label: str
    points: tuple[tuple[float, float, float], ...]
    end_label: str


class FadeDrawing(Struct, frozen=True):
    """Light-reactive lenses: some bands below each other, all at the same scale of time and light."""

    title: str
    description: str
    panels: tuple[FadePanel, ...]
    unit_label: str
    time_label: str


Drawing = (
    SectionDrawing
    | EdgeDrawing
    | MeridianDrawing
    | PriceDrawing
    | SightDrawing
    | FadeDrawing
    | ZonesDrawing
    | WindowDrawing
    | TrueSizeDrawing
)
