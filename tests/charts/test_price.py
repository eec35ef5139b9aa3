"""The price chart: bars as long as their amounts, reductions to the left."""

import pytest

from explain.charts import draw
from tests.charts.reading import lines_of_text, shapes
from tests.charts.samples import DRAWINGS, price

PRICES = {name: drawing for name, drawing in DRAWINGS.items() if name.startswith("price")}
every_price = pytest.mark.parametrize("drawing", PRICES.values(), ids=PRICES.keys())


def lengths(svg):
    """Signed length of each bar in units: its far end less the line at 0."""
    zero = shapes(svg, "fixed")[0].points[0][0]
    bars = shapes(svg, "bar")
    assert all(bar.points[0][0] == pytest.approx(zero, abs=0.1) for bar in bars)
    return [bar.points[1][0] - bar.points[0][0] for bar in bars]


@every_price
def test_bars_are_as_long_as_their_amounts(drawing):
    drawn = lengths(draw(drawing, "a"))
    amounts = [bar.amount for bar in drawing.bars]
    units_per_money = max(drawn) / max(amounts)
    assert [length / units_per_money for length in drawn] == pytest.approx(amounts, abs=0.15 / units_per_money)


@every_price
def test_bars_add_up_to_the_price(drawing):
    drawn = lengths(draw(drawing, "a"))
    units_per_money = max(drawn) / max(bar.amount for bar in drawing.bars)
    total = sum(bar.amount for bar in drawing.bars)
    assert sum(drawn) / units_per_money == pytest.approx(total, abs=0.1 * len(drawn) / units_per_money)


@every_price
def test_words_keep_off_the_bars_and_the_line_at_0(drawing):
    svg = draw(drawing, "a")
    for shape in (*shapes(svg, "bar"), *shapes(svg, "fixed")):
        for piece in shape.pieces:
            xs, ys = zip(*piece, strict=True)
            for word in lines_of_text(svg):
                box = word.box
                beside = box.right < min(xs) or box.left > max(xs)
                assert beside or box.bottom <= min(ys) or box.top >= max(ys), word


@every_price
def test_each_amount_stands_right_of_its_bar(drawing):
    svg = draw(drawing, "a")
    amounts = [word for word in lines_of_text(svg) if word.kind == "amount"]
    assert [word.text for word in amounts] == [bar.amount_label for bar in drawing.bars]
    for word, bar in zip(amounts, shapes(svg, "bar"), strict=True):
        xs, ys = zip(*bar.points, strict=True)
        assert max(xs) < word.box.left < max(xs) + 10
        assert min(ys) - 2 < word.box.top < max(ys)


@pytest.mark.parametrize("amounts", [(0.0,), (-20.0,), (0.0, 0.0), (5.0, -5.0)])
def test_prices_of_nothing_and_of_less_are_drawn(amounts):
    drawn = lengths(draw(price(*amounts), "a"))
    assert [(length > 0) - (length < 0) for length in drawn] == [(a > 0) - (a < 0) for a in amounts]
