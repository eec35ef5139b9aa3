"""Drawings to test with: ordinary ones and extreme ones, built from computed lenses where numbers matter."""

from msgspec.structs import replace

from explain.optics.lens import edge_by_angle, level_section
from explain.optics.making import LensOrder, make_lens
from explain.optics.outline import shape_outline
from explain.optics.power import SphereCylinder
from explain.story.drawings import (
    EdgeDrawing,
    EdgeLine,
    MeridianDrawing,
    MeridianEye,
    PriceBar,
    PriceDrawing,
    SectionDrawing,
    SectionRow,
    SightDrawing,
    SightPicture,
)
from tests.charts.lens_samples import LENSES, TRUE_SIZES, nasty_lenses

MATERIALS = (
    ("Standard plastic 1.50", 1.50),
    ("Mid-index plastic 1.56", 1.56),
    ("High-index plastic 1.67 (your choice)", 1.67),
    ("High-index plastic 1.74", 1.74),
)
PLACES = ("nose", "top", "outside", "below", "nose")
CHART_ROWS = (("E", 50.0), ("FP", 35.0), ("TOZ", 25.0), ("LPED", 16.0), ("HUCNV", 10.0))
NASTY = "<b>&\"'\x07 end"


def lens(power, index=1.6, width_mm=52.0, depth_mm=36.0):
    order = LensOrder(
        power=SphereCylinder(*power),
        outline=shape_outline("rounded", width_mm, depth_mm),
        reference_point=(2.5, 0.0),
        index=index,
        minimum_centre_mm=1.5,
        minimum_edge_mm=1.2,
    )
    return make_lens(order)


def in_mm(value):
    return f"{value:.1f}\N{NO-BREAK SPACE}mm"


def section(power, materials=MATERIALS, nose_side="right", **size):
    rows = []
    for label, index in materials:
        cut = level_section(lens(power, index, **size))
        ends = [in_mm(cut.back_mm[i] - cut.front_mm[i]) for i in (0, 20, -1)]
        outer, middle, nose = ends if nose_side == "right" else reversed(ends)
        rows.append(SectionRow(label, "choice" in label, cut, nose_side, outer, middle, nose))
    ruler = "This line is 50 mm long on paper. If it is not, set the print size to 100 %."
    return SectionDrawing("Your lens, cut level", "It is thin.", tuple(rows), ruler, "Nose side", "Outer side")


def edge_line(label, power, index=1.6):
    """Thickness round a lens; a left eye's is seen in a mirror, so that both count from the nose."""
    turn = (lambda angle: (180 - angle) % 360) if label.startswith("Left") else (lambda angle: angle)
    edges = edge_by_angle(lens(power, index))
    points = tuple(sorted((turn(point.angle_deg), point.thickness_mm) for point in edges))
    return line_of(f"{label}: up to {in_mm(max(mm for _, mm in points))}", points)


def line_of(label, points):
    """A line marked where it is thickest."""
    return EdgeLine(label, points, max(points, key=lambda point: point[1]))


def edge(*lines, places=PLACES):
    return EdgeDrawing("Edge", "Thickest outside.", lines, places, "Thickness of the edge in mm")


def meridian(*eyes):
    made = (
        MeridianEye(label, axis, one, f"{one:+.2f} at {axis}°", axis + 90, other, f"{other:+.2f} at {axis + 90}°")
        for label, one, other, axis in eyes
    )
    return MeridianDrawing("Directions", "Strongest upright.", tuple(made))


def price(*amounts, label="Line {} of the bill"):
    bars = (PriceBar(label.format(i), amount, f"${amount:,.2f}") for i, amount in enumerate(amounts))
    return PriceDrawing("Price", "Mostly lenses.", tuple(bars))


def sight(*blurs, rows=CHART_ROWS):
    pictures = (SightPicture(f"Eye {i} without glasses", *blur, rows) for i, blur in enumerate(blurs))
    return SightDrawing("Sight", "Computed.", "With your glasses (computed)", tuple(pictures))


DRAWINGS = {
    "section of four materials": section((-4.0, -1.0, 170.0)),
    "section 14 mm thick": section((-12.0, -2.0, 10.0), width_mm=54.0, depth_mm=40.0),
    "section of one plus lens": section((6.0, 0.0, 180.0), MATERIALS[2:3], "left"),
    "section of small lenses": section((-0.5, 0.0, 180.0), MATERIALS[:2], width_mm=36.0, depth_mm=28.0),
    "edge of two": edge(edge_line("Right eye", (-4.0, -1.0, 170.0)), edge_line("Left eye", (-2.5, -1.5, 20.0))),
    "edge nearly equal": edge(edge_line("Right eye", (-4.0, -1.0, 170.0)), edge_line("Left eye", (-4.05, -1.0, 170.0))),
    "edge with crowded marks": edge(
        edge_line("Right eye", (-4.0, -1.0, 170.0)), edge_line("Left eye", (-4.05, -1.0, 10.0))
    ),
    "edge thin all round": edge(
        edge_line("Right eye", (-0.5, 0.0, 180.0)), edge_line("Left eye", (-0.5, -0.25, 170.0))
    ),
    "edge strong and weak": edge(
        edge_line("Right eye", (-12.0, -2.0, 10.0)),
        edge_line("Left eye", (1.0, 0.0, 180.0)),
        places=("nose side", "above", "outer side", "underneath", "nose side"),
    ),
    "edge of one": edge(edge_line("Right eye", (5.0, -3.0, 90.0))),
    "edge with long labels": edge(
        edge_line("Standard plastic 1.50, in the thickest place", (-4.0, -1.0, 170.0), 1.5),
        edge_line("High-index plastic 1.74, in the thickest place", (-4.0, -1.0, 170.0), 1.74),
    ),
    "meridian of two": meridian(("Right eye", -4.0, -5.0, 80), ("Left eye", -2.5, -8.5, 45)),
    "meridian weak": meridian(("Left eye", 1.0, 0.75, 90)),
    "price": price(149.0, 218.0, 45.0, 15.0, -40.0, -120.0),
    "price of fourteen": price(
        *(1200.0, 18.5, 0.0, 33.0, 7.0, 450.0, 80.0, 12.25, 61.0, 5.0, -300.0, -12.0, 1.0, 2.0),
        label="Line {} of a rather long bill, with words that need two lines",
    ),
    "sight": sight((14.0, 10.0, 170.0), (60.0, 50.0, 20.0)),
    "sight astigmatic": sight((20.0, 0.0, 0.0), (20.0, 3.0, 30.0)),
    "sight lost": sight((600.0, 500.0, 0.0)),
    **LENSES,
    **TRUE_SIZES,
}


def nasty_drawings():
    """One drawing of each kind whose every text is full of signs that mean something in XML."""
    row = DRAWINGS["section of one plus lens"].rows[0]
    cut = replace(row, label=NASTY, outer_label=NASTY, middle_label=NASTY, nose_label=NASTY)
    points = DRAWINGS["edge of one"].lines[0].points
    return {
        "section": SectionDrawing(NASTY, NASTY, (cut,), NASTY, NASTY, NASTY),
        "edge": EdgeDrawing(NASTY, NASTY, (line_of(NASTY, points),), (NASTY,) * 5, NASTY),
        "meridian": MeridianDrawing(NASTY, NASTY, (MeridianEye(NASTY, 10, -1, NASTY, 100, -2, NASTY),)),
        "price": PriceDrawing(NASTY, NASTY, (PriceBar(NASTY, 5.0, NASTY),)),
        "sight": SightDrawing(NASTY, NASTY, NASTY, (SightPicture(NASTY, 5, 5, 0, CHART_ROWS),)),
        **nasty_lenses(NASTY),
    }
