"""The true-size chart: 1 mm is 1 mm by the sheet's own width, and the cross stands where it belongs."""

from __future__ import annotations

import re

import pytest

from explain.charts import draw
from explain.charts.true_size import PUPIL_MM
from tests.charts.lens_samples import TRUE_SIZES
from tests.charts.reading import SVG, root_of, shapes

every_lens = pytest.mark.parametrize("drawing", TRUE_SIZES.values(), ids=TRUE_SIZES.keys())
MM = r"([0-9.]+)mm"


def mm_per_unit(svg):
    """Millimetres for one unit of the drawing, by the sheet's own width."""
    root = root_of(svg)
    return float(re.fullmatch(MM, root.get("width"))[1]) / float(root.get("viewBox").split()[2])


def size_mm(shape, svg):
    xs, ys = zip(*shape.points, strict=True)
    return (max(xs) - min(xs)) * mm_per_unit(svg), (max(ys) - min(ys)) * mm_per_unit(svg)


@every_lens
def test_the_sheet_gives_its_size_in_mm(drawing):
    root = root_of(draw(drawing, "a"))
    wide, high = (float(part) for part in root.get("viewBox").split()[2:])

    given = [float(re.fullmatch(MM, root.get(name))[1]) for name in ("width", "height")]
    assert given == pytest.approx([wide * 25.4 / 96, high * 25.4 / 96], abs=0.001)


@every_lens
def test_the_lens_is_as_large_as_its_box(drawing):
    svg = draw(drawing, "a")
    xs, ys = zip(*drawing.outline, strict=True)

    (lens,) = shapes(svg, "lens")

    assert size_mm(lens, svg) == pytest.approx((max(xs) - min(xs), max(ys) - min(ys)), abs=0.1)


@every_lens
def test_the_ruler_is_50_mm_with_a_tick_each_10(drawing):
    svg = draw(drawing, "a")
    (ruler,) = shapes(svg, "ruler")

    assert size_mm(ruler, svg)[0] == pytest.approx(50, abs=0.03)
    ticks = [piece[0][0] * mm_per_unit(svg) for piece in ruler.pieces[1:]]
    assert [b - ticks[0] for b in ticks] == pytest.approx([0, 10, 20, 30, 40, 50], abs=0.05)


@every_lens
def test_the_cross_stands_where_the_lens_is_centred(drawing):
    svg = draw(drawing, "a")
    (lens,), (cross,) = shapes(svg, "lens"), shapes(svg, "cross")
    left, low = min(x for x, _ in lens.points), max(y for _, y in lens.points)
    level, upright = cross.pieces

    x_mm = (upright[0][0] - left) * mm_per_unit(svg) + min(x for x, _ in drawing.outline)
    y_mm = (low - level[0][1]) * mm_per_unit(svg) + min(y for _, y in drawing.outline)
    assert (x_mm, y_mm) == pytest.approx(drawing.centre, abs=0.1)


@every_lens
def test_the_upright_is_as_long_as_the_height_it_tells(drawing):
    svg = draw(drawing, "a")
    (upright,) = shapes(svg, "upright")
    lowest = min(y for _, y in drawing.outline)
    top = drawing.centre[1] if drawing.height_label else max(y for _, y in drawing.outline)

    assert size_mm(upright, svg)[1] == pytest.approx(top - lowest, abs=0.1)


@every_lens
def test_a_ring_of_a_pupils_width_is_drawn_only_where_the_pupil_is_known(drawing):
    svg = draw(drawing, "a")
    rings = [one for one in root_of(svg).iter(f"{SVG}circle") if one.get("class") == "pupil"]

    assert len(rings) == drawing.has_pupil
    assert [2 * float(ring.get("r")) * mm_per_unit(svg) for ring in rings] == pytest.approx(
        [PUPIL_MM] * len(rings), abs=0.1
    )


def test_a_window_is_drawn_only_in_a_bifocal():
    drawn = {name: len(shapes(draw(drawing, "a"), "window")) for name, drawing in TRUE_SIZES.items()}

    assert {name for name, count in drawn.items() if count} == {"true size of a bifocal"}
