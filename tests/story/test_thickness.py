"""Thickness and weight: figures, places and verdicts, on both sides of each threshold."""

from __future__ import annotations

import re
from decimal import Decimal
from itertools import pairwise

import pytest
from msgspec.structs import replace

from explain.facts import data_file
from explain.order.model import Offer
from explain.story import thickness
from explain.story.edges import edge_figure, edge_place
from explain.story.pair import InMaterial
from explain.story.thickness import thickness_section
from explain.story.verdict import band_words, paid_for, verdict_text
from explain.story.wording import mm

BANDED = ("thickness_saved_mm", "weight_saved_g", "fringe_prism_dpt", "reflections_of_100")
BANDS = [
    (name, lower["below"], lower["words"], upper["words"])
    for name in BANDED
    for lower, upper in pairwise(data_file("verdicts")[name]["bands"])
]
PRICES = {
    "standard-plastic-1.50": "0.00",
    "polycarbonate-1.59": "35.00",
    "high-index-1.60": "55.00",
    "high-index-1.74": "140.00",
}
MINE = "100.00"


class Made(InMaterial):
    """Lenses of a stated thickness and weight, both lenses together."""

    thickest_mm = 0.0
    weight_g = 0.0


def made(of, thickest_mm, weight_g):
    lenses = type("Made", (Made,), {"thickest_mm": thickest_mm, "weight_g": weight_g})
    return lenses(of.material, of.lenses)


@pytest.fixture
def verdict_of(pair_of, place):
    """The verdict on a 1.67 pair, with thicknesses [mm] and weights [g] of our choosing for it and for others."""

    def verdict(mine, plainest, key="high-index-1.67", **others):
        pair = pair_of(lenses={"material": key})
        figures = {"standard-plastic-1.50": plainest, **others}
        offers = tuple(Offer(name, Decimal(PRICES.get(name, MINE))) for name in (*figures, key))
        instead = tuple(made(one, *figures[one.material.key]) for one in pair.others if one.material.key in figures)
        shop = replace(pair.shop, materials=offers)
        return verdict_text(replace(pair, shop=shop, chosen=made(pair.chosen, *mine), others=instead), place)

    return verdict


@pytest.mark.parametrize(("name", "edge", "below", "above"), BANDS)
def test_a_band_ends_just_below_its_threshold(name, edge, below, above):
    assert band_words(name, edge - 0.001) == below
    assert band_words(name, edge) == above


def materials_table(pair, place):
    tables = [block for block in thickness_section(pair, place).blocks if block.kind == "table"]
    return next(table for table in tables if table.columns[0] == "Material")


@pytest.mark.parametrize("name", BANDED)
def test_the_lowest_band_holds_nought_and_the_highest_any_lens(name):
    rows = data_file("verdicts")[name]["bands"]

    assert band_words(name, 0) == rows[0]["words"]
    assert band_words(name, 40) == rows[-1]["words"]


@pytest.mark.parametrize(
    ("saved_mm", "words"),
    [(0.3, "You would not notice"), (0.7, "In thickness, a little"), (1.4, "In thickness, yes")],
)
def test_the_verdict_gives_the_millimeters_and_what_they_mean(verdict_of, saved_mm, words):
    text = verdict_of((3.0, 18.0), (3.0 + saved_mm, 20.0))

    assert text.startswith(f"{words}: ")
    assert f"{saved_mm}\N{NO-BREAK SPACE}mm" in text


@pytest.mark.parametrize(
    ("saved_g", "start", "figures"),
    [
        (2.4, "You would not notice", "0.3 mm and 2 g"),
        (2.6, "In thickness, hardly", "0.3 mm"),
        (0.3, "You would not notice", "0.3 mm"),
        (-2.4, "You would not notice", "0.3 mm"),
        (-2.6, "In thickness, hardly", "0.3 mm"),
    ],
)
def test_nobody_would_notice_where_neither_thickness_nor_weight_reaches_its_threshold(
    verdict_of, saved_g, start, figures
):
    text = verdict_of((3.0, 18.0), (3.3, 18.0 + saved_g)).replace("\N{NO-BREAK SPACE}", " ")

    assert text.startswith(f"{start}: it saves {figures} against")


@pytest.mark.parametrize(("saved_mm", "words"), [(0.46, "a little"), (0.54, "a little"), (0.44, "not notice")])
def test_the_words_go_with_the_millimeters_as_they_are_printed(verdict_of, saved_mm, words):
    assert words in verdict_of((3.0, 18.0), (3.0 + saved_mm, 18.0))


@pytest.mark.parametrize("saved_mm", [0.0, 0.04, -0.6])
def test_a_material_that_saves_nothing_is_called_no_thinner(verdict_of, saved_mm):
    text = verdict_of((3.0, 18.0), (3.0 + saved_mm, 20.0))

    assert "no thinner" in text
    assert "notice" not in text


def test_the_verdict_names_a_cheaper_material_that_is_nearly_as_thin(verdict_of):
    text = verdict_of((3.0, 18.0), (4.0, 20.0), **{"high-index-1.60": (3.2, 18.0)})

    assert "1.60 would be only 0.2\N{NO-BREAK SPACE}mm thicker" in text
    assert "$45.00 less" in text


def test_a_cheaper_material_that_is_no_thicker_is_named_so(verdict_of):
    text = verdict_of((3.0, 18.0), (4.0, 20.0), **{"polycarbonate-1.59": (3.0, 18.0)})

    assert "no thicker" in text
    assert "$65.00 less" in text


@pytest.mark.parametrize(("thickest_mm", "named"), [(3.3, "High-index plastic 1.60"), (3.12, "Polycarbonate")])
def test_of_two_that_come_close_the_closer_is_named_and_of_two_alike_the_cheaper(verdict_of, thickest_mm, named):
    others = {"polycarbonate-1.59": (thickest_mm, 18), "high-index-1.60": (3.1, 18)}

    text = verdict_of((3.0, 18.0), (4.0, 20.0), **others)

    assert sum(name in text for name in ("High-index plastic 1.60", "Polycarbonate")) == 1
    assert named in text


@pytest.mark.parametrize("wearer", ["child", "one good eye"])
def test_nobody_who_needs_tough_lenses_is_told_to_save_on_them(pair_of, place, wearer):
    tough, other = (
        verdict_text(pair_of(lenses={"material": material}, wearer=[wearer]), place)
        for material in ("polycarbonate-1.59", "high-index-1.67")
    )

    assert "do not leave it off" in tough
    assert "$" not in tough
    assert "saves" in other


@pytest.mark.parametrize(
    ("key", "thickest_mm"),
    [("high-index-1.60", 3.51), ("high-index-1.74", 2.9)],
    ids=["cheaper but visibly thicker", "thinner but dearer"],
)
def test_no_other_material_is_named_where_none_is_both_cheaper_and_nearly_as_thin(verdict_of, key, thickest_mm):
    text = verdict_of((3.0, 18.0), (4.0, 20.0), **{key: (thickest_mm, 18.0)})

    assert "less" not in text


@pytest.mark.parametrize("key", ["polycarbonate-1.59", "urethane-1.53"])
def test_a_tough_material_has_its_strength_named(verdict_of, key):
    assert "strength" in verdict_of((3.0, 18.0), (4.0, 20.0), key)
    assert "strength" not in verdict_of((3.0, 18.0), (4.0, 20.0))


def test_the_plainest_material_is_compared_with_the_thinnest_offered(pair_of, place):
    pair = pair_of()
    best = min(pair.others, key=lambda other: other.thickest_mm)

    text = verdict_text(pair, place)

    assert "plainest" in text
    assert f"{140 / round(pair.chosen.thickest_mm - best.thickest_mm, 1):.2f} for 1\N{NO-BREAK SPACE}mm" in text
    assert f"{pair.chosen.thickest_mm - best.thickest_mm:.1f}\N{NO-BREAK SPACE}mm" in text
    assert "$140.00" in text


def test_the_plainest_material_stands_alone_where_no_other_is_offered(pair_of, place):
    assert "$" not in verdict_text(replace(pair_of(), others=()), place)


@pytest.mark.parametrize(
    ("outwards", "upwards", "place"),
    [
        (1, 0, "the outer side"),
        (-1, 0, "the nose side"),
        (0, 1, "the top"),
        (0, -1, "the bottom"),
        (1, 0.14, "the outer side"),
        (1, 0.15, "the outer side, slightly above the middle"),
        (1, 0.49, "the outer side, slightly above the middle"),
        (1, 0.5, "the outer side, well above the middle"),
        (1, -0.5, "the outer side, well below the middle"),
        (-0.9, -0.2, "the nose side, slightly below the middle"),
        (0.2, 0.9, "the top, slightly toward the outer side"),
        (-0.6, -0.9, "the bottom, well toward the nose"),
        (0.8, 0.8, "the outer side, well above the middle"),
    ],
)
def test_a_place_on_the_edge_is_named_from_the_wearers_face(outwards, upwards, place):
    assert edge_place(outwards, upwards) == place


def test_a_minus_lens_is_thickest_at_its_edge_and_a_plus_lens_in_the_middle(pair_of):
    minus, plus = pair_of(), pair_of(prescription={"right": "+4.00 DS", "left": "+3.00 DS"})

    assert "in the middle" not in thickness.lens_text(minus, minus.eyes[0])
    assert "thickest in the middle" in thickness.lens_text(plus, plus.eyes[0])


def test_the_thickest_place_is_on_the_outer_side_where_the_eyes_sit_close_together(pair_of):
    pair = pair_of(prescription={"pd": "28 / 28"})

    for eye in pair.eyes:
        assert "thickest at the outer side" in thickness.lens_text(pair, eye)


def test_the_thickest_place_is_on_the_nose_side_where_the_eyes_sit_far_apart(pair_of):
    pair = pair_of(prescription={"pd": "38 / 38"})

    for eye in pair.eyes:
        assert "thickest at the nose side" in thickness.lens_text(pair, eye)


def test_one_lens_is_weighed_as_one(pair_of):
    assert "2 lenses" in thickness.weight_text(pair_of())
    assert "2 lenses" not in thickness.weight_text(pair_of(prescription={"left": "none"}))


def test_the_table_of_materials_has_a_row_for_each_and_marks_the_chosen_one(demo_pair, place):
    table = materials_table(demo_pair, place)

    names = [row[0] for row in table.rows]

    assert len(names) == 1 + len(demo_pair.others)
    assert [name for name in names if name.endswith("(yours)")] == [f"{demo_pair.chosen.material.name} (yours)"]


def test_the_table_gives_the_thickness_and_weight_worked_out_for_the_chosen_one(demo_pair, place):
    table = materials_table(demo_pair, place)
    (mine,) = [row for row in table.rows if row[0].endswith("(yours)")]

    assert float(mine[1].split("\N{NO-BREAK SPACE}")[0]) == pytest.approx(demo_pair.chosen.thickest_mm, abs=0.05)
    assert float(mine[2].split("\N{NO-BREAK SPACE}")[0]) == pytest.approx(demo_pair.chosen.weight_g, abs=0.5)


def test_the_cut_lens_is_shown_in_at_most_four_materials_with_the_chosen_and_the_plainest(demo_pair):
    shown = thickness._shown(demo_pair)

    assert len(shown) <= 4
    assert demo_pair.chosen in shown
    assert demo_pair.plainest in shown


@pytest.mark.parametrize("side", ["right", "left"])
def test_the_nose_of_a_cut_lens_seen_from_above_is_toward_the_other_eye(pair_of, side):
    other = "left" if side == "right" else "right"
    pair = pair_of(prescription={side: "-6.00 DS", other: "-1.00 DS"})

    rows = thickness._section_figure(pair).drawing.rows

    assert {row.nose_side for row in rows} == {other}


@pytest.mark.parametrize("side", ["right", "left"])
def test_the_ends_of_a_cut_minus_lens_are_labelled_by_their_own_thickness(pair_of, side):
    other = "left" if side == "right" else "right"
    pair = pair_of(prescription={side: "-6.00 DS", other: "-1.00 DS", "pd": "28 / 28"})

    (row,) = [row for row in thickness._section_figure(pair).drawing.rows if row.is_chosen]

    outer, middle, nose = (float(re.match(r"[\d.]+", text)[0]) for text in _labels(row))
    assert outer > nose > middle  # eyes close together: the outer end is farther from the optical centre


def _labels(row):
    return row.outer_label, row.middle_label, row.nose_label


def test_the_rows_of_the_edge_are_its_thickness_at_the_nearest_point_and_its_ends(pair_of):
    figure = edge_figure(pair_of(prescription={"left": "-2.50 -0.75 x 120", "pd": "28 / 30"}))
    for column, line in enumerate(figure.drawing.lines, start=1):
        nearest = [min(line.points, key=lambda p: abs((p[0] - at + 180) % 360 - 180))[1] for at in (0, 90, 180, 270)]
        thin, thick = min(mm for _, mm in line.points), max(mm for _, mm in line.points)
        assert [row[column] for row in figure.table.rows] == [mm(one) for one in (thin, *nearest, thick)]


def test_the_edge_starts_at_the_nose_for_both_lenses(pair_of):
    pair = pair_of(prescription={"left": "-4.00 DS", "pd": "28 / 28"})

    right, left = (line.points for line in edge_figure(pair).drawing.lines)

    assert [thick_mm for _, thick_mm in right] == pytest.approx([thick_mm for _, thick_mm in left])
    assert right[0][0] == 0
    assert dict(right)[0] < dict(right)[180]  # eyes close together: the nose is nearer to the optical centre


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {
                "prescription": {"add": "2.00", "heights": "20 / 20"},
                "lenses": {"design": "progressive", "material": "high-index-1.60"},
            },
            "reading part",
        ),
        (
            {
                "prescription": {"add": "2.00", "heights": "17 / 17"},
                "lenses": {"design": "bifocal", "material": "high-index-1.60"},
            },
            "window",
        ),
        ({"prescription": {"left": "balance"}}, "balance lens"),
    ],
    ids=["progressive", "bifocal", "balance"],
)
def test_the_page_says_what_the_estimate_leaves_out(pair_of, place, changes, words):
    def note(pair):
        return thickness_section(pair, place).blocks[-1].text

    assert words in note(pair_of(**changes))
    assert words not in note(pair_of())


def test_what_was_paid_for_a_choice_is_the_sum_of_its_lines(pair_of):
    lines = [
        {"item": "Lenses", "amount": "80.00", "choice": "single-vision"},
        {"item": "Lenses, second part", "amount": "5.50", "choice": "single-vision"},
    ]
    pair = pair_of(price=lines)

    assert paid_for(pair, "single-vision") == Decimal("85.50")
    assert paid_for(pair, "hard-layer") is None


def test_a_material_that_is_not_on_the_shop_s_list_has_no_price_there_and_is_not_called_the_plainest(pair_of, place):
    pair = pair_of(shop={"materials": None}, lenses={"material": "high-index-1.74"})

    table = materials_table(pair, place)

    assert table.rows[0][-1] == "not on our list"
    assert "plainest material" not in verdict_text(pair, place).replace("no plainer material", "")


def test_lenses_from_finished_rounds_are_thicker_and_the_page_says_why(pair_of, place):
    plus = {"right": "+4.00 DS", "left": "+3.00 DS"}
    ground, stock = (pair_of(prescription=plus, lenses={"blank": size}) for size in (None, "70"))

    def notes(pair):
        return " ".join(block.text for block in thickness_section(pair, place).blocks if block.kind == "note")

    assert stock.chosen.thickest_mm > ground.chosen.thickest_mm + 0.5
    assert stock.others[0].thickest_mm > ground.others[0].thickest_mm
    assert "ready-made round lenses (blanks), 70\N{NO-BREAK SPACE}mm across" in notes(stock)
    assert "ready-made" not in notes(ground)


@pytest.mark.parametrize("power", ["-4.00 DS", "-3.00 -1.50 x 90", "-3.00 -1.50 x 180", "-2.00 -1.00 x 35"])
def test_the_chart_marks_the_place_that_the_words_name(pair_of, power):
    pair = pair_of(prescription={"right": power, "left": power})

    for eye, line in zip(pair.eyes, edge_figure(pair).drawing.lines, strict=True):
        named = pair.chosen.lenses[eye.side].thickest_edge
        angle = named.angle_deg if eye.nose_sign > 0 else (180 - named.angle_deg) % 360
        assert line.thickest == pytest.approx((angle % 360, named.thickness_mm), abs=1e-9)
        assert line.thickest in line.points
