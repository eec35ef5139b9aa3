"""Edges: how thick the lenses are round their edge, and what a place on the edge is called."""

from __future__ import annotations

from bisect import bisect_left

from explain.language import _, in_context, later
from explain.optics.lens import EdgePoint, edge_angles_deg, edge_thicknesses_mm, thickest_at
from explain.story.blocks import Figure, Table
from explain.story.drawings import EdgeDrawing, EdgeLine
from explain.story.pair import Eye, Pair
from explain.story.sides import lens_name
from explain.story.wording import listed, mm, plain

_SLIGHTLY, _CLEARLY = 0.15, 0.5
_PLACES = {
    "outer": (
        later("the outer side, well below the middle"),
        later("the outer side, slightly below the middle"),
        later("the outer side"),
        later("the outer side, slightly above the middle"),
        later("the outer side, well above the middle"),
    ),
    "nose": (
        later("the nose side, well below the middle"),
        later("the nose side, slightly below the middle"),
        later("the nose side"),
        later("the nose side, slightly above the middle"),
        later("the nose side, well above the middle"),
    ),
    "top": (
        later("the top, well toward the nose"),
        later("the top, slightly toward the nose"),
        later("the top"),
        later("the top, slightly toward the outer side"),
        later("the top, well toward the outer side"),
    ),
    "bottom": (
        later("the bottom, well toward the nose"),
        later("the bottom, slightly toward the nose"),
        later("the bottom"),
        later("the bottom, slightly toward the outer side"),
        later("the bottom, well toward the outer side"),
    ),
}


def place_words(edge: EdgePoint, eye: Eye, pair: Pair) -> str:
    """Say where a point of the edge lies on the face, such as "the outer side, slightly above the middle"."""
    across = -eye.nose_sign * edge.point[0] / (pair.order.frame.lens_width_mm / 2)
    up = edge.point[1] / (pair.order.frame.depth_mm / 2)
    return edge_place(across, up)


def edge_place(outwards: float, upwards: float) -> str:
    """Name a place on the edge from its share of the way outwards and upwards, -1 to 1 each.

    >>> edge_place(0.95, 0.3), edge_place(-0.99, 0.0)
    ('the outer side, slightly above the middle', 'the nose side')
    >>> edge_place(0.2, -0.9)
    'the bottom, slightly toward the outer side'
    """
    if abs(outwards) >= abs(upwards):
        places, step = _PLACES["outer" if outwards > 0 else "nose"], _step(upwards)
    else:
        places, step = _PLACES["top" if upwards > 0 else "bottom"], _step(outwards)
    return _(places[step])


def _step(share: float) -> int:
    """Count from well to one side (0) over not at all (2) to well to the other (4)."""
    size = 0 if abs(share) < _SLIGHTLY else 1 if abs(share) < _CLEARLY else 2
    return 2 + size if share > 0 else 2 - size


def edge_figure(pair: Pair) -> Figure:
    """Draw the thickness once round the edge of each lens, with its figures at 4 places."""
    lines = tuple(_edge_line(pair, eye) for eye in pair.eyes)
    thickest = max(pair.chosen.lenses[eye.side].thickest_edge.thickness_mm for eye in pair.eyes)
    thinnest = min(pair.chosen.lenses[eye.side].thinnest_edge.thickness_mm for eye in pair.eyes)
    finding = _finding(len(lines), plain(thinnest, 1), mm(thickest))
    table = Table(
        _("Thickness at places of the edge"),
        (_("Place"), *(line.label for line in lines)),
        _edge_rows(pair, lines),
    )
    spoken = " ".join(_("{place}: {thickness}.", place=row[0], thickness=listed(row[1:])) for row in table.rows)
    round_the_edge = (_("nose"), _("top"), in_context("of an edge", "outer"), _("bottom"), _("nose"))
    return Figure(
        finding=finding,
        measure=_("Thickness in millimeters, once round the edge."),
        drawing=EdgeDrawing(finding, spoken, lines, round_the_edge, "mm"),
        table=table,
    )


def _finding(count: int, thinnest: str, thickest: str) -> str:
    if count == 1:
        return _("Your edge is {thinnest} to {thickest} thick", thinnest=thinnest, thickest=thickest)
    return _("Your edges are {thinnest} to {thickest} thick", thinnest=thinnest, thickest=thickest)


def _edge_line(pair: Pair, eye: Eye) -> EdgeLine:
    """Thickness by angle from the nose over the top, the same way round for both eyes."""
    lens = pair.chosen.lenses[eye.side].lens
    angles, thick = edge_angles_deg(lens), edge_thicknesses_mm(lens)
    turned = angles if eye.nose_sign > 0 else (180 - angles) % 360
    points, marked = list(zip(turned.tolist(), thick.tolist(), strict=True)), int(thickest_at(thick))
    return EdgeLine(lens_name(eye.side), tuple(sorted(points)), points[marked])


def _edge_rows(pair: Pair, lines: tuple[EdgeLine, ...]) -> tuple[tuple[str, ...], ...]:
    places = ((_("Nose side"), 0), (_("Top"), 90), (_("Outer side"), 180), (_("Bottom"), 270))
    lenses = [pair.chosen.lenses[eye.side] for eye in pair.eyes]
    return (
        (_("Thinnest"), *(mm(lens.thinnest_edge.thickness_mm) for lens in lenses)),
        *((name, *(mm(_at(line, angle)) for line in lines)) for name, angle in places),
        (_("Thickest"), *(mm(lens.thickest_edge.thickness_mm) for lens in lenses)),
    )


def _at(line: EdgeLine, angle: float) -> float:
    """Thickness at the point of the edge whose angle is nearest, which is one of the two beside it."""
    after, count = bisect_left(line.points, (angle,)), len(line.points)
    beside = [line.points[at] for at in sorted(((after - 1) % count, after % count))]
    return min(beside, key=lambda p: abs((p[0] - angle + 180) % 360 - 180))[1]
