"""The bench runs small, compares like with like, and marks its aims. How long anything takes is never a failure."""

from __future__ import annotations

import re
import sys

import numpy as np
import pytest

from explain.charts import draw
from explain.order import read_order, read_shop
from explain.site.checking import check
from explain.story.blocks import Figure
from explain.story.drawings import SightDrawing
from explain.story.page import tell
from explain.story.pair import work_out
from tests.bench import many, page
from tests.bench.__main__ import Sizes, rows
from tests.bench.plain import plain_pictures
from tests.bench.processes import FailedError, run
from tests.bench.shop import lay_out_shop
from tests.bench.strokes import _Place as Place
from tests.bench.strokes import lights, strokes, way
from tests.bench.table import HEAD, Row, table

SMALL = Sizes(pages=2, cold=(2, 3), again=3, rounds=1, starts=1)
PICTURE = re.compile(r"\s*<svg.*?</svg>\s*", re.DOTALL)
CHART = re.compile(r'<div class="picture">(.*?)</div>', re.DOTALL)


@pytest.fixture(scope="module")
def measured(tmp_path_factory):
    return page.measure(tmp_path_factory.mktemp("page"), 3)


def test_the_bare_fill_gives_the_bytes_of_the_page(measured):
    _, pages = measured

    assert len({whole for whole, _, _ in pages}) == 3
    assert [bare for _, bare, _ in pages] == [whole for whole, _, _ in pages]


def test_the_plain_script_gives_the_page_but_for_how_its_pictures_are_written(measured):
    _, pages = measured

    assert [PICTURE.sub("", plain) for _, _, plain in pages] == [PICTURE.sub("", whole) for whole, _, _ in pages]
    assert [plain.count("<svg") for _, _, plain in pages] == [whole.count("<svg") for whole, _, _ in pages]


def test_the_plain_script_draws_every_line_and_word_of_a_chart(measured):
    _, pages = measured
    for whole, _, plain in pages:
        ours, theirs = CHART.findall(whole), CHART.findall(plain)
        assert len(ours) == len(theirs) > 0
        assert [chart.count("<text") for chart in theirs] == [chart.count("<text") for chart in ours]
        assert all(
            chart.count("<path") >= len([line for line in strokes(same).lines if line[1] or line[2]])
            for chart, same in zip(theirs, ours, strict=True)
        )


def test_the_plain_script_blurs_letters_as_we_do(tmp_path):
    """Light differs by 0.01 a pixel at most in the mean: ours has 16 greys, and its ellipse parts of pixels.

    Where blur is few pixels wide, an ellipse of whole ones is another shape, and a pixel may differ by 0.4.
    """
    paths = lay_out_shop(tmp_path / "orders", 20)
    shop = read_shop(tmp_path / "orders" / "shop.yaml")
    figures = [figure for path in paths for figure in figures_of(tell(work_out(read_order(path, shop).order, shop)))]
    sights = [(figure, draw(figure.drawing, "a")) for figure in figures if isinstance(figure.drawing, SightDrawing)]
    ours = [picture for _, svg in sights for picture in lights(svg)]
    theirs = [picture for figure, svg in sights for picture in plain_pictures(strokes(svg), figure)]

    assert len(ours) == len(theirs) > 30
    assert [picture.shape for picture in theirs] == [picture.shape for picture in ours]
    off = [picture - same for picture, same in zip(theirs, ours, strict=True)]
    assert max(np.abs(one).mean() for one in off) < 0.01
    assert max(abs(one.mean()) for one in off) < 0.002
    assert max(np.abs(one).max() for one in off) < 0.45


def figures_of(story):
    return [
        block
        for group in story.groups
        for section in group.sections
        for block in section.blocks
        if isinstance(block, Figure)
    ]


def test_each_step_of_each_page_is_timed(measured):
    timings, _ = measured

    assert set(timings.steps) == set(page.STEPS)
    assert all(len(seconds) == 3 for seconds in (*timings.steps.values(), timings.page, timings.bare, timings.plain))
    assert sum(map(sum, timings.steps.values())) == pytest.approx(sum(timings.page))


def test_a_path_is_read_in_both_of_its_spellings():
    assert way("M10 20l5 0 0 20z", Place(scale=0.5)) == [(5, 10), (7.5, 10), (7.5, 20), (5, 10)]
    assert way("M 1 2 L 3 4", Place(right=10)) == [(11, 2), (13, 4)]
    with pytest.raises(ValueError, match="straight"):
        way("M 1 2 C 1 2 3 4 5 6", Place())


def test_a_shop_of_many_orders_has_no_two_alike_and_no_faults(tmp_path):
    paths = lay_out_shop(tmp_path / "orders", 24)

    texts = [re.sub("order: .*", "", path.read_text(encoding="utf-8")) for path in paths]
    assert len(set(texts)) == 24
    assert [result.faults for result in check(paths) if result.faults] == []


@pytest.mark.parametrize("part", ["cold", "again", "start"])
def test_a_small_run_gives_rows_with_baselines(tmp_path, part):
    made = list(rows(tmp_path, SMALL, [part]))

    assert made
    assert all(row.value > 0 and row.against > 0 for row in made)
    assert any(row.aim for row in made)


def test_a_build_that_does_not_do_what_is_timed_is_no_figure(tmp_path):
    with pytest.raises(FailedError, match="ended with 3"):
        run([sys.executable, "-c", "raise SystemExit(3)"], tmp_path)
    lay_out_shop(tmp_path / "orders", 1)
    with pytest.raises(FailedError, match="was to say"):
        many._built(tmp_path, "Nothing changed")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="memory is asked of /proc")
def test_the_memory_of_a_process_and_of_what_it_starts_is_seen(tmp_path):
    inner = "import time; a = bytearray(60_000_000); time.sleep(1)"
    code = f"import subprocess, sys; subprocess.run([sys.executable, '-c', '{inner}'])"

    assert 60 < run([sys.executable, "-c", code], tmp_path, memory=True).peak_mb < 200


def test_an_aim_is_met_or_not_and_most_figures_have_none():
    met = Row("a", "2 ms", 2.0, "b", "1 ms", 1.0, most=3)
    missed = Row("a", "2 pages/s", 2.0, "b", "1 page/s", 1.0, least=30)
    none = Row("a", "2 ms", 2.0, "b", "1 ms", 1.0)

    assert [row.is_met for row in (met, missed, none)] == [True, False, None]
    assert [row.cells()[-3:] for row in (met, missed, none)] == [
        ("2.00", "at most 3", "yes"),
        ("2.00", "at least 30", "NO"),
        ("2.00", "", ""),
    ]


def test_the_columns_of_the_table_stand_under_each_other():
    lines = table([Row("a long name", "2 ms", 2.0), Row("b", "1000 ms", 1000.0)]).splitlines()

    assert len({len(line) for line in lines}) == 1
    assert len({tuple(at for at, sign in enumerate(line) if sign == "|") for line in lines}) == 1
    assert [cell.strip() for cell in lines[0].strip("|").split("|")] == list(HEAD)
