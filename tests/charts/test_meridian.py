"""The meridian chart: directions drawn, the stronger one firmer, words outside the dial."""

import math

import pytest

from explain.charts import draw
from explain.charts.meridian import RADIUS
from explain.charts.spacing import Box
from tests.charts.reading import lines_of_text, shapes
from tests.charts.samples import DRAWINGS, meridian


def direction_deg(shape):
    """Direction of a straight line, counter-clockwise from level, 0 up to 180."""
    (x0, y0), (x1, y1) = shape.points
    return math.degrees(math.atan2(y0 - y1, x1 - x0)) % 180


def middle(shape):
    (x0, y0), (x1, y1) = shape.points
    return (x0 + x1) / 2, (y0 + y1) / 2


@pytest.mark.parametrize("axis", [1, 20, 45, 80, 89, 90])
def test_directions_are_drawn_as_given(axis):
    svg = draw(meridian(("Right eye", -4.0, -5.0, axis)), "a")
    assert direction_deg(shapes(svg, "weaker")[0]) == pytest.approx(axis, abs=0.1)
    assert direction_deg(shapes(svg, "stronger")[0]) == pytest.approx((axis + 90) % 180, abs=0.1)


@pytest.mark.parametrize(("first", "second", "strong"), [(-4, -5, 120), (3, 1, 30), (0.5, -2, 120), (2, -2, 30)])
def test_the_larger_power_of_either_sign_is_the_firm_line(first, second, strong):
    svg = draw(meridian(("Right eye", first, second, 30)), "a")
    firm, faint = shapes(svg, "stronger")[0], shapes(svg, "weaker")[0]
    assert direction_deg(firm) == pytest.approx(strong, abs=0.1)
    assert float(firm.given["stroke-width"]) > float(faint.given["stroke-width"])
    assert "stroke-dasharray" in faint.given
    assert "stroke-dasharray" not in firm.given


@pytest.mark.parametrize("axis", range(1, 91, 4))
def test_words_stay_outside_the_dial_on_the_sheet_and_apart(axis):
    svg = draw(meridian(("Right eye", -10.25, -11.75, axis)), "a")
    x, y = middle(shapes(svg, "stronger")[0])
    words = lines_of_text(svg)
    for box in (word.box for word in words):
        nearest = math.hypot(max(box.left - x, 0, x - box.right), max(box.top - y, 0, y - box.bottom))
        assert nearest >= RADIUS
        assert box.left >= 0
        assert box.right <= 350
    assert not [(a, b) for i, a in enumerate(words) for b in words[:i] if a.box.meets(b.box)]


@pytest.mark.parametrize("axis", [5, 30, 45, 60, 85])
def test_each_label_lies_beyond_an_end_of_its_line(axis):
    svg = draw(meridian(("Right eye", -4.0, -5.0, axis)), "a")
    x, y = middle(shapes(svg, "stronger")[0])
    for text, degrees in (("-4.00", axis), ("-5.00", axis + 90)):
        box = next(word.box for word in lines_of_text(svg) if text in word.text)
        across = math.degrees(math.atan2(y - (box.top + box.bottom) / 2, (box.left + box.right) / 2 - x)) - degrees
        assert min(across % 180, -across % 180) < 25


def test_two_eyes_lie_one_below_the_other_in_the_order_given():
    svg = draw(DRAWINGS["meridian of two"], "a")
    labels = {word.text: word.box.top for word in lines_of_text(svg)}
    assert labels["Right eye"] < labels["Left eye"]
    dials = [shape for shape in shapes(svg, "fixed") if len(shape.points) > 100]
    boxes = [Box(0, min(y for _, y in dial.points), 350, max(y for _, y in dial.points)) for dial in dials]
    assert len(boxes) == 2
    assert not boxes[0].meets(boxes[1])


def test_the_dial_is_a_circle_about_the_crossing():
    svg = draw(DRAWINGS["meridian weak"], "a")
    centre = middle(shapes(svg, "stronger")[0])
    dial = next(shape for shape in shapes(svg, "fixed") if len(shape.points) > 100)
    assert [math.dist(centre, point) for point in dial.points] == pytest.approx([RADIUS] * len(dial.points), abs=0.15)
