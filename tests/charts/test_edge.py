"""The edge chart: numbers drawn, marks, and labels that keep off the lines."""

from itertools import pairwise

import pytest

from explain.charts import draw
from explain.charts.edge import whole_turn
from explain.charts.spacing import Box
from explain.charts.style import axis_end_mm
from tests.charts.reading import SVG, lines_of_text, root_of, shapes
from tests.charts.samples import DRAWINGS, edge, line_of

EDGES = {name: drawing for name, drawing in DRAWINGS.items() if name.startswith("edge")}
every_edge = pytest.mark.parametrize("drawing", EDGES.values(), ids=EDGES.keys())


def axes(drawing, svg):
    """Undo the drawing with its own grid: functions from units to degrees and to mm."""
    grid = [shape.points for shape in shapes(svg, "fixed")]
    level = [line for line in grid if len(line) == 2 and line[0][1] == line[1][1]]
    zero, top = max(line[0][1] for line in level), min(line[0][1] for line in level)
    left, right = min(line[0][0] for line in level), max(line[1][0] for line in level)
    end = axis_end_mm(max(mm for line in drawing.lines for _, mm in line.points))
    return lambda x: (x - left) / (right - left) * 360, lambda y: (zero - y) / (zero - top) * end


@every_edge
def test_every_thickness_is_drawn_where_it_belongs(drawing):
    svg = draw(drawing, "a")
    degrees, mm = axes(drawing, svg)
    for line, drawn in zip(drawing.lines, shapes(svg, "line"), strict=True):
        expected = whole_turn(line.points)
        assert len(drawn.points) == len(expected)
        for (x, y), (angle, thickness) in zip(drawn.points, expected, strict=True):
            assert degrees(x) == pytest.approx(angle, abs=0.2)
            assert mm(y) == pytest.approx(thickness, abs=0.05)


@every_edge
def test_the_thickest_point_is_marked(drawing):
    svg = draw(drawing, "a")
    _, mm = axes(drawing, svg)
    circle = root_of(svg).find(f"{SVG}circle")
    marked = [float(circle.get("cy"))]
    marked += [sum(y for _, y in square.points) / 4 for square in shapes(svg, "mark")]
    largest = [max(thickness for _, thickness in line.points) for line in drawing.lines]
    assert [mm(y) for y in marked] == pytest.approx(largest, abs=0.05)


@every_edge
def test_labels_keep_off_all_lines(drawing):
    svg = draw(drawing, "a")
    for word in (word.box for word in lines_of_text(svg) if word.kind == "label"):
        for line in shapes(svg, "line"):
            for (x, y), _ in pairwise(line.points):
                assert not (word.left < x < word.right and word.top < y < word.bottom)


@every_edge
def test_each_label_leads_to_the_mark_of_its_line(drawing):
    svg = draw(drawing, "a")
    degrees, mm = axes(drawing, svg)
    words = [word for word in lines_of_text(svg) if word.kind == "label"]
    for line, leader in zip(drawing.lines, shapes(svg, "leader"), strict=True):
        angle, thickness = max(line.points, key=lambda point: point[1])
        (x, y), end = leader.points
        assert (degrees(x), mm(y)) == pytest.approx((angle, thickness), abs=0.2)
        assert any(Box(*end, *end).meets(word.box, 6.0) for word in words if word.text in line.label)


@every_edge
def test_leaders_do_not_run_through_labels(drawing):
    svg = draw(drawing, "a")
    for leader in shapes(svg, "leader"):
        (x0, y0), (x1, y1) = leader.points
        for share in range(1, 10):
            x, y = x0 + (x1 - x0) * share / 10, y0 + (y1 - y0) * share / 10
            crossed = [
                word.text
                for word in lines_of_text(svg)
                if word.kind == "label" and word.box.left < x < word.box.right and word.box.top < y < word.box.bottom
            ]
            assert not crossed


def test_the_lines_differ_in_colour_dash_and_mark():
    svg = draw(DRAWINGS["edge of two"], "a")
    first, second = shapes(svg, "line")
    assert first.given["stroke"] != second.given["stroke"]
    assert "stroke-dasharray" not in first.given
    assert "stroke-dasharray" in second.given


def test_more_lines_than_can_be_told_apart_are_refused():
    with pytest.raises(ValueError, match="3 lines"):
        draw(edge(*[line_of("Lens", ((0.0, 2.0), (180.0, 3.0)))] * 3), "a")


def test_a_turn_is_closed_with_what_lies_on_the_other_side():
    assert whole_turn(((10.0, 2.0), (350.0, 4.0))) == [(0.0, 3.0), (10.0, 2.0), (350.0, 4.0), (360.0, 3.0)]


def test_a_closed_turn_is_left_alone():
    points = ((0.0, 2.0), (90.0, 3.0), (360.0, 2.0))
    assert whole_turn(points) == list(points)


def test_charts_of_like_thickness_have_the_same_axis():
    frames = []
    for largest in (4.3, 5.9):
        svg = draw(edge(line_of("Lens", ((0.0, 2.0), (180.0, largest), (360.0, 2.0)))), "a")
        frames.append([shape.given["d"] for shape in shapes(svg, "fixed")])
    assert frames[0] == frames[1]
