"""Forewarnings: each on both sides of its threshold, with its line, and only while the lenses are not made."""

from __future__ import annotations

import pytest

from explain.facts import data_file
from explain.optics.progressive import has_little_reading_part, is_cut_short
from explain.optics.window import LEAST_WINDOW_MM
from explain.site.checking import check
from explain.site.forewarnings import forewarnings
from explain.story.window import window_of
from tests.story.invented import pair_in

PROGRESSIVE = {"design": "progressive", "material": "high-index-1.60"}
BIFOCAL = {"design": "bifocal", "material": "high-index-1.60"}


@pytest.fixture
def pair_of(tmp_path):
    return lambda **changes: pair_in(tmp_path, **changes)


def messages(pair):
    return [remark.message for _, remark in forewarnings(pair)]


def advice(pair):
    return [remark.advice for _, remark in forewarnings(pair)]


def test_a_usual_order_is_not_warned_about(pair_of):
    assert messages(pair_of()) == []


def test_a_lens_is_doubted_from_the_first_tenth_it_needs_beyond_the_largest_blank(pair_of):
    needed = max(eye.smallest_blank_mm for eye in pair_of().eyes)

    enough, short = (pair_of(shop={"largest-blank": f"{size:.3f}"}) for size in (needed + 0.001, needed - 0.001))

    assert messages(enough) == []
    assert messages(short) == [
        f"each lens will not cut out of a blank of {round(needed - 0.001, 3):g} mm: it needs {needed:.1f} mm"
    ]
    assert advice(short)[0].endswith(f"in shop.yaml   largest-blank: {int(needed) + 1}")


def test_the_blank_that_the_order_names_counts_before_the_shops(pair_of):
    ((key, remark),) = forewarnings(pair_of(shop={"largest-blank": "80"}, lenses={"blank": "50"}))

    assert key == "lenses.blank"
    assert "blank of 50 mm" in remark.message
    assert remark.advice == "Choose a smaller frame, or a blank of 60 mm or more."
    assert "The order names the blank." in remark.allowed


@pytest.mark.parametrize(
    ("shop", "whence"),
    [({"largest-blank": "50"}, "The shop file names the largest."), ({"largest-blank": None}, "from memory")],
)
def test_a_warning_says_where_its_largest_blank_is_from(pair_of, shop, whence):
    large = {"size": "60-12-140", "depth": "58", "outline": "square"}

    blanks = [remark for _, remark in forewarnings(pair_of(shop=shop, frame=large)) if "will not cut" in remark.message]

    assert whence in blanks[0].allowed


def test_a_blank_larger_than_a_file_may_name_is_not_advised(pair_of):
    huge = {"size": "72-14-140", "depth": "65", "outline": "square"}

    found = [pair_of(lenses={"blank": blank}, frame=huge, prescription={"pd": "30 / 30"}) for blank in (None, "85")]

    assert [advice(pair)[0] for pair in found] == ["Choose a smaller frame."] * 2


@pytest.mark.parametrize(("pd", "warned"), [("29 / 29", False), ("28.9 / 28.9", True), ("39.1 / 39.1", True)])
def test_a_centre_is_doubted_from_more_than_5_mm_off_the_middle(pair_of, pd, warned):
    """Lens width 50 and bridge 18: the middles lie 34 mm from that of the nose."""
    assert data_file("advice")["far_from_middle_mm"]["use"] == 5.0

    assert any("from its middle" in message for message in messages(pair_of(prescription={"pd": pd}))) is warned


def test_a_centre_off_the_middle_says_which_way_and_by_how_much(pair_of):
    inwards = messages(pair_of(prescription={"pd": "31 / 27.5"}))
    outwards = messages(pair_of(prescription={"pd": "40 / 31"}))

    assert inwards == ["the centre of the left lens lies 6.5 mm towards the nose from its middle"]
    assert outwards == ["the centre of the right lens lies 6.0 mm away from the nose from its middle"]


def test_a_lens_without_power_is_cut_from_the_middle_of_its_blank(pair_of):
    plano = {"right": None, "left": None}
    needed = [
        pair_of(prescription={**plano, "pd": pd}, lenses={"design": "plano"}).eyes[0].smallest_blank_mm
        for pd in ("28 / 28", "34 / 34")
    ]

    assert needed[0] == needed[1]


def test_lenses_without_power_have_no_centre_to_doubt(pair_of):
    pair = pair_of(prescription={"right": None, "left": None, "pd": "27 / 27"}, lenses={"design": "plano"})

    assert messages(pair) == []


CUT_AWAY = [
    *([-20, 22], [-7, 22], [7, 22], [20, 22], [25, 15], [25, 5], [25, -4]),
    *([15, -8.9], [0, -16.2], [-12, -22], [-18, -22], [-25, -10], [-25, 0], [-25, 10]),
]
"""A lens, 50 x 44 mm, whose lower edge rises towards the nose, where its wearer reads."""


def with_add(pair_of, lenses, height, outline=CUT_AWAY):
    eyes = {"add": "2.00", "heights": f"{height} / {height}"}
    return pair_of(prescription=eyes, lenses=lenses, frame={"outline": outline, "depth": "44"})


@pytest.mark.parametrize("outline", [CUT_AWAY, "rounded"], ids=["cut away", "rounded"])
@pytest.mark.parametrize("height", [x / 2 for x in range(20, 54)])
def test_a_reading_part_cut_short_or_little_is_doubted_and_a_usual_one_is_not(pair_of, height, outline):
    """A height below 14 alone is doubted when the order is read."""
    pair = with_add(pair_of, PROGRESSIVE, height, outline)
    sketch = pair.eyes[0].sketch

    said = " ".join(messages(pair))

    assert ("full reading power would begin" in said) is is_cut_short(sketch)
    assert ("full reading power has only" in said) is (has_little_reading_part(sketch) and height >= 14)


def test_the_heights_tried_lie_on_both_sides_of_every_threshold(pair_of):
    sketches = [with_add(pair_of, PROGRESSIVE, height).eyes[0].sketch for height in (16, 22.5, 26.5)]

    assert [is_cut_short(sketch) for sketch in sketches] == [True, False, False]
    assert [has_little_reading_part(sketch) for sketch in sketches] == [False, True, False]


@pytest.mark.parametrize("height", [x / 2 for x in range(20, 44)])
def test_a_reading_window_that_the_outline_cuts_short_is_doubted(pair_of, height):
    """A height below 12 alone is doubted when the order is read."""
    pair = with_add(pair_of, BIFOCAL, height)
    window = window_of(pair, pair.eyes[0])

    said = any("of the reading window" in message for message in messages(pair))

    assert said is (window is not None and window.tall_mm < LEAST_WINDOW_MM and height >= 12)


def test_a_reading_window_is_tried_on_both_sides_of_its_threshold(pair_of):
    tall = [window_of(pair, pair.eyes[0]).tall_mm for pair in (with_add(pair_of, BIFOCAL, x) for x in (13, 21))]

    assert tall[0] < LEAST_WINDOW_MM < tall[1]


def test_the_doubts_stand_at_their_line_until_the_pair_was_checked(shop):
    far = {"prescription": {"pd": "28 / 28"}}
    (asked,) = check([shop.order(**far)])
    (made,) = check([shop.order(**far, checked={"right": "-4.00 DS", "left": "-3.00 DS"})])

    (doubt,) = asked.doubts
    assert doubt.line > 1
    assert doubt.excerpt.strip() == "size: 50-18-140"
    assert made.doubts == ()
