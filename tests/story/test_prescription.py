"""What the prescription says: every kind of eye, from none to prism, and the limits between the kinds."""

from __future__ import annotations

import pytest

from explain.optics.near import ReadyMadeReader
from explain.optics.power import SphereCylinder
from explain.order.model import EyePrescription, Prism
from explain.story import prescription
from explain.story.prescription import (
    eye_text,
    eyes_look_text,
    prescription_section,
    prism_text,
    slant_words,
    still_focuses,
    unlike_sizes_text,
)
from explain.story.reading import add_text, reader_text

MINUS = "\N{MINUS SIGN}"
PROGRESSIVE = {"design": "progressive", "material": "high-index-1.60"}


def eye(sphere, cylinder=0.0, axis=180.0, prisms=()):
    return EyePrescription("", SphereCylinder(sphere, cylinder, axis), prisms)


def names_of(section, kind):
    return [block.name for block in section.blocks if block.kind == kind]


def lines(section):
    return next(block for block in section.blocks if block.kind == "table")


@pytest.mark.parametrize(
    ("needs", "words"),
    [
        (eye(-2.0), ["near-sighted by 2.00 diopters", "51\N{NO-BREAK SPACE}cm"]),
        (eye(-0.25), ["near-sighted by 0.25 diopters", "4\N{NO-BREAK SPACE}m"]),
        (eye(2.0), ["far-sighted by 2.00 diopters"]),
        (eye(0.0), ["no power for far"]),
        (eye(-2.0, -1.0, 90), ["near-sighted", "2.00", "3.00", "41\N{NO-BREAK SPACE}cm", "1.00 is astig"]),
        (eye(0.0, -0.5, 90), ["near-sighted", "0.00", "0.50", "0.50 is astig"]),
        (eye(0.0, 0.5, 90), ["far-sighted", "0.00", "0.50", "0.50 is astig"]),
        (eye(1.0, -2.0, 90), ["near-sighted one way across and far-sighted the other", "2.00 is astig"]),
        (EyePrescription("balance", None), ["balance lens"]),
    ],
)
def test_each_kind_of_eye_has_its_own_sentence(needs, words):
    assert [word for word in words if word not in eye_text(needs)] == []


@pytest.mark.parametrize("needs", [eye(1.0, -2.5, 10), eye(0.25, -1.0, 90), eye(-0.75, 1.5, 90)])
def test_an_eye_that_is_sharp_at_no_distance_is_not_told_that_it_is(needs):
    assert "sharp" not in eye_text(needs)


def test_an_eye_without_astigmatism_hears_nothing_of_it():
    assert "astigmatism" not in eye_text(eye(-2.0))


def test_a_cylinder_that_rounds_to_nothing_is_none():
    assert "astigmatism" not in eye_text(eye(-2.0, -0.004))


@pytest.mark.parametrize(
    ("prisms", "expected"),
    [
        ((Prism(1.5, "down"),), ["1.50 base down"]),
        ((Prism(1.5, "up"), Prism(1.0, "in")), ["1.50 base up and 1.00 base in", "toward the nose"]),
        ((Prism(2.0, "out"),), ["2.00 base out", "toward the ear"]),
    ],
)
def test_prism_is_said_with_its_base_in_plain_words(prisms, expected):
    assert [words for words in expected if words not in prism_text(eye(-1.0, prisms=prisms))] == []


def test_a_plano_pair_has_no_part_about_a_prescription(pair_of):
    plano = {"design": "plano", "material": "polycarbonate-1.59"}

    assert prescription_section(pair_of(prescription={"right": None, "left": None}, lenses=plano)) is None


def test_the_lines_show_only_the_columns_that_the_order_needs(pair_of):
    table = lines(prescription_section(pair_of()))

    assert table.columns == ("Eye", "Sphere")
    assert table.rows == (("Right eye", f"{MINUS}4.00"), ("Left eye", f"{MINUS}3.00"))


def test_the_lines_are_shown_as_they_were_written(pair_of):
    eyes = {"right": "-3.00 +1.00 x 120", "left": "-3.00 DS", "add": "2.00", "heights": "20 / 20"}

    table = lines(prescription_section(pair_of(prescription=eyes, lenses=PROGRESSIVE)))

    assert table.columns == ("Eye", "Sphere", "Cylinder", "Axis", "Add")
    assert table.rows[0] == ("Right eye", f"{MINUS}3.00", "+1.00", "120", "+2.00")
    assert table.rows[1] == ("Left eye", f"{MINUS}3.00", "none", "none", "+2.00")


def test_a_lens_that_was_not_ordered_has_no_line(pair_of):
    section = prescription_section(pair_of(prescription={"left": "none"}))

    assert [row[0] for row in lines(section).rows] == ["Right eye"]
    assert "one-lens" in names_of(section, "prose")


def test_a_balance_lens_is_named_in_its_line_and_explained(pair_of):
    section = prescription_section(pair_of(prescription={"left": "balance"}))

    assert lines(section).rows[1] == ("Left eye", "balance")
    assert "balance" in names_of(section, "prose")


@pytest.mark.parametrize(
    ("eyes", "expected"),
    [
        ({}, ["prescription-sphere-minus"]),
        ({"right": "+2.00 DS", "left": "+1.00 DS"}, ["prescription-sphere-plus"]),
        ({"right": "+2.00 DS", "left": "-1.00 DS"}, ["prescription-sphere-minus", "prescription-sphere-plus"]),
        ({"right": "-2.00 -0.50 x 90"}, ["prescription-sphere-minus", "prescription-cylinder"]),
        ({"right": "plano", "left": "-1.00 DS"}, ["prescription-sphere-minus"]),
        (
            {"right": {"sphere": "-2.00", "prism": "1 in"}},
            ["prescription-sphere-minus", "prescription-prism"],
        ),
    ],
    ids=["minus", "plus", "both", "cylinder", "plano eye", "prism"],
)
def test_only_the_terms_of_this_order_are_explained(pair_of, eyes, expected):
    named = names_of(prescription_section(pair_of(prescription=eyes)), "prose")

    assert [name for name in named if name.startswith("prescription-") and name != "prescription-pd"] == expected


def test_prism_is_explained_only_where_it_was_ordered(pair_of):
    with_prism = prescription_section(pair_of(prescription={"left": {"sphere": "-3.00", "prism": "2 out"}}))

    assert "prism" in names_of(with_prism, "prose")
    assert lines(with_prism).rows[0][-1] == "none"
    assert lines(with_prism).rows[1][-1].startswith("2.00 base out")
    assert "prism" not in names_of(prescription_section(pair_of()), "prose")


def test_the_directions_of_power_are_drawn_only_for_astigmatic_eyes(pair_of):
    none = prescription_section(pair_of())
    one = prescription_section(pair_of(prescription={"left": "-2.00 -1.00 x 30"}))

    assert names_of_figures(none) == []
    (figure,) = (block for block in one.blocks if block.kind == "figure")
    assert [drawn.label for drawn in figure.drawing.eyes] == ["Left eye"]
    assert "left" in figure.finding


def names_of_figures(section):
    return [block for block in section.blocks if block.kind == "figure"]


def test_light_is_bent_most_across_the_axis_of_a_minus_lens(pair_of):
    section = prescription_section(pair_of(prescription={"right": "-2.00 -1.00 x 30"}))

    (drawn,) = names_of_figures(section)[0].drawing.eyes

    assert (drawn.first_deg, drawn.first_dpt) == (120, -3.0)
    assert (drawn.second_deg, drawn.second_dpt) == (30, -2.0)


@pytest.mark.parametrize(
    ("direction_deg", "words"),
    [
        (180, "level"),
        (10, "level"),
        (11, "rising to the right"),
        (79, "rising to the right"),
        (80, "upright"),
        (100, "upright"),
        (101, "rising to the left"),
        (169, "rising to the left"),
        (170, "level"),
    ],
)
def test_a_direction_has_a_plain_name(direction_deg, words):
    assert slant_words(direction_deg) == words


@pytest.mark.parametrize(
    ("add_dpt", "distance", "missing"), [(1.75, "57", "0.75"), (1.0, "1\N{NO-BREAK SPACE}m", "1.50")]
)
def test_an_add_says_where_it_is_sharp_and_what_the_eye_adds_itself(add_dpt, distance, missing):
    text = add_text(add_dpt, 40.0)

    assert f"{add_dpt:.2f}" in text
    assert distance in text or "100\N{NO-BREAK SPACE}cm" in text
    assert f"the last {missing}" in text


@pytest.mark.parametrize(
    ("add_dpt", "asks"),
    [(2.0, "the last 0.50"), (2.24, "the last 0.26"), (2.25, "0.25 short"), (2.375, "little"), (3.0, "little")],
)
def test_an_add_that_comes_near_the_reading_distance_asks_little_of_the_eye(add_dpt, asks):
    assert asks in add_text(add_dpt, 40.0)


@pytest.mark.parametrize(
    ("readers", "said", "unsaid"),
    [
        ([ReadyMadeReader(1.25, SphereCylinder(0.0))], ["+1.25"], ["astigmatism"]),
        ([ReadyMadeReader(2.0, SphereCylinder(0.5, -1.0, 90))], ["+2.00", "1.00 of astigmatism"], []),
        ([ReadyMadeReader(2.0, SphereCylinder(0.0, -c, 9)) for c in (1.0, 0.5)], ["0.50 and 1.00 of astigmatism"], []),
        ([ReadyMadeReader(2.0, SphereCylinder(0.0, -c, 9)) for c in (0.5, 0.5)], ["leave 0.50 of"], [" and "]),
        ([None], ["No ready-made"], ["astigmatism"]),
    ],
    ids=["whole", "astigmatic", "two eyes", "two eyes alike", "none sold"],
)
def test_a_ready_made_reader_is_named_with_what_it_leaves_uncorrected(readers, said, unsaid):
    text = reader_text("your left eye", readers)

    assert [words for words in said if words not in text] == []
    assert [words for words in unsaid if words in text] == []


def test_both_eyes_are_told_about_readers_once_where_the_same_pair_comes_closest(pair_of):
    def told(left):
        eyes = {"right": "-0.50 DS", "left": left, "add": "1.50"}
        section = prescription_section(pair_of(prescription=eyes, lenses={"design": "reading"}))
        return [block.text for block in section.blocks if "ready-made" in getattr(block, "text", "").lower()]

    assert len(told("-0.50 DS")) == 1
    assert len(told("+1.00 DS")) == 2


def test_a_strong_minus_eye_finds_no_ready_made_reader(pair_of):
    eyes = {"right": "-6.00 DS", "left": "-6.00 DS", "add": "2.00"}
    section = prescription_section(pair_of(prescription=eyes, lenses={"design": "reading"}))

    assert any(getattr(block, "text", "").startswith("No ready-made") for block in section.blocks)


@pytest.mark.parametrize(
    ("changes", "focuses"),
    [
        ({}, True),
        ({"wearer": ["over 65"]}, False),
        ({"prescription": {"add": "1.75", "heights": "20 / 20"}, "lenses": PROGRESSIVE}, True),
        ({"prescription": {"add": "2.00", "heights": "20 / 20"}, "lenses": PROGRESSIVE}, False),
    ],
    ids=["young", "over 65", "small add", "large add"],
)
def test_an_eye_past_focusing_is_not_told_to_focus(pair_of, changes, focuses):
    assert still_focuses(pair_of(**changes).order) == focuses
    assert ("focus harder" in eye_text(eye(2.0), focuses=focuses)) == focuses
    assert "far-sighted" in eye_text(eye(2.0), focuses=focuses)


def test_a_pd_given_as_one_number_is_said_to_be_halved(pair_of):
    def texts(pair):
        return " ".join(block.text for block in prescription_section(pair).blocks if block.kind == "paragraph")

    assert "halved" in texts(pair_of(prescription={"pd": "63"}))
    assert "31.5\N{NO-BREAK SPACE}mm" in texts(pair_of(prescription={"pd": "63"}))
    assert "halved" not in texts(pair_of())
    assert "62.0\N{NO-BREAK SPACE}mm in all" in texts(pair_of())


def test_a_reading_pair_says_where_its_lenses_are_centred_for_near(pair_of):
    eyes = {"right": "-0.50 DS", "left": "-0.25 DS", "add": "1.50", "near-pd": "29.5 / 30"}
    lenses = {"design": "reading", "material": "standard-plastic-1.50"}

    last = prescription._pd_part(pair_of(prescription=eyes, lenses=lenses))[-1].text

    assert "29.5\N{NO-BREAK SPACE}mm (right) and 30.0\N{NO-BREAK SPACE}mm (left)" in last


@pytest.mark.parametrize(
    ("sizes", "said"),
    [
        ([0.93, 0.97], ["differ in size by 4 in 100"]),
        ([1.02, 0.99], ["differ in size by 3 in 100"]),
        ([0.950, 0.954], []),
        ([0.95], []),
    ],
    ids=["both smaller", "one bigger", "as one", "one eye"],
)
def test_how_far_the_two_pictures_differ_in_size_is_said_where_it_shows(sizes, said):
    texts = unlike_sizes_text(sizes)

    assert [words for words, text in zip(said, texts, strict=True) if words not in text] == []


@pytest.mark.parametrize(
    ("sizes", "word"),
    [([0.9, 1.0], "look smaller behind"), ([1.0, 1.1], "look bigger"), ([0.9, 1.1], "smaller or bigger")],
)
def test_how_the_eyes_look_to_others_follows_the_lenses(sizes, word):
    assert word in eyes_look_text(sizes)
