"""Getting used to them: what is noticed, where to look, what to take care of and whom to call, for each kind."""

from __future__ import annotations

import re

import pytest

from explain.facts import data_file
from explain.order.previous import eye_changes
from explain.story import getting_used, where
from explain.story.cautions import caution_blocks, is_first_of_kind
from explain.story.getting_used import can_compare_eyes, getting_used_section, notices, size_ratio, starts_slowly
from explain.story.where import clear_width_text, reaches, where_text
from tests.story.invented import sayings
from tests.story.readability import sentences_of, words_of
from tests.story.test_words import BRITISH, FACTS, banned_in, named_sources, sources_in

FACTS_HERE = data_file("getting_used")
ADD = {"add": "1.50", "heights": "18 / 18"}
FULL_ADD = {"add": "2.50", "heights": "18 / 18"}
NO_POWER = {"right": None, "left": None}
KINDS = {"single-vision": {}, "progressive": ADD, "bifocal": ADD, "reading": ADD, "plano": NO_POWER}


@pytest.fixture
def kind_of(pair_of):
    """A pair of one kind of lens."""
    return lambda design, **more: pair_of(**{"prescription": KINDS[design], "lenses": {"design": design}, **more})


def keys_of(pair):
    return [key for key, _ in notices(pair)]


def look(pair, use=0):
    return where_text(pair, pair.order.use[use])


# What you may notice


@pytest.mark.parametrize(
    ("design", "old", "keys"),
    [
        ("single-vision", None, ["any-lens", "tired", "mirror"]),
        ("progressive", None, ["side-blur-first", "any-lens", "tired", "mirror"]),
        ("progressive", "progressive", ["side-blur", "any-lens", "tired", "mirror"]),
        ("progressive", "bifocal", ["side-blur-first", "any-lens", "tired", "mirror"]),
        ("bifocal", None, ["line-jump", "any-lens", "tired", "mirror"]),
        ("reading", None, ["far-blur", "any-lens", "tired", "mirror"]),
        ("plano", None, ["rim"]),
    ],
)
def test_each_kind_of_lens_has_its_own_rows(kind_of, design, old, keys):
    pair = kind_of(design, previous={"design": old} if old else None)

    assert keys_of(pair) == keys


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("-4.00 DS", "-4.00 DS", "new-shape"),
        ("-3.75 DS", "-4.00 DS", "new-shape"),  # 0.4 in 100: too little for a row
        ("-3.50 DS", "-4.00 DS", "smaller"),
        ("-4.50 DS", "-4.00 DS", "larger"),
        ("-4.00 -0.25 x 90", "-4.00 DS", "new-shape"),
        ("-4.00 -0.50 x 90", "-4.00 DS", "lean"),
        ("-4.00 -1.00 x 90", "-4.00 -1.00 x 105", "lean"),
        ("-4.00 DS prism 1 up", "-4.00 DS prism 2 up", "slope"),
    ],
)
def test_a_change_brings_the_row_that_belongs_to_it(pair_of, old, new, key):
    pair = pair_of(prescription={"right": new, "left": "-3.00 DS"}, previous={"right": old, "left": "-3.00 DS"})

    rows = [one for one in keys_of(pair) if one in {"new-shape", "smaller", "larger", "lean", "slope"}]
    assert rows == [key]


def test_eyes_that_change_in_opposite_directions_have_no_row_about_size(pair_of):
    pair = pair_of(
        prescription={"right": "-4.00 DS", "left": "-3.00 DS"}, previous={"right": "-3.00 DS", "left": "-4.00 DS"}
    )

    assert not {"smaller", "larger"} & set(keys_of(pair))


def test_the_size_of_a_change_is_worked_out_from_both_powers(pair_of):
    (change,) = eye_changes(pair_of(previous={"right": "-3.00 DS"}).order)

    ratio = size_ratio(pair_of().order, change)

    # to the pupil 13 + 3 mm: (1 + 0.016 * 3) / (1 + 0.016 * 4) = 0.98496
    assert ratio == pytest.approx(0.98496, abs=1e-5)


@pytest.mark.parametrize(("old", "there"), [("1.50", False), ("1.25", True), (None, False)])
def test_another_add_moves_the_reading_distance(kind_of, old, there):
    previous = {"right": "-4.00 DS", "design": "progressive", "add": old}
    pair = kind_of("progressive", previous={key: value for key, value in previous.items() if value})

    found = dict(notices(pair))

    assert ("near-moves" in found) == there
    if there:
        assert found["near-moves"]["before"].startswith("80")
        assert found["near-moves"]["to"].startswith("67")


@pytest.mark.parametrize(("add_ons", "mirror"), [(None, True), (["hard-layer"], True), (["anti-reflective"], False)])
def test_a_pair_without_a_layer_against_reflections_shows_lamps(pair_of, add_ons, mirror):
    pair = pair_of(lenses={"add-ons": add_ons} if add_ons else {})

    assert ("mirror" in keys_of(pair)) == mirror


def test_a_child_has_one_row_and_a_heading_of_its_own(pair_of, place):
    pair = pair_of(wearer=["child"], previous="none")

    assert keys_of(pair) == ["child"]
    assert "What your child may notice" in sayings(getting_used_section(pair, place))


def test_a_tint_is_noticed_in_a_pair_without_power(kind_of):
    lenses = {"design": "plano", "add-ons": ["sun-tint"], "tint": {"colour": "gray", "category": "3"}}

    assert keys_of(kind_of("plano", lenses=lenses)) == ["rim", "colors"]


def test_every_notice_of_the_data_can_be_asked_for():
    code = getting_used.__loader__.get_source(getting_used.__name__)

    assert [key for key in FACTS_HERE["notices"] if f'"{key}"' not in code] == []


def test_every_fact_names_known_sources_and_a_known_span():
    assert [key for key in named_sources(sources_in(FACTS_HERE)) if key not in FACTS and "judgement" not in key] == []
    assert {entry["span"] for entry in FACTS_HERE["notices"].values()} <= set(FACTS_HERE["spans"])
    assert all(entry["sources"] for entry in FACTS_HERE["notices"].values())


@pytest.mark.parametrize("design", KINDS)
def test_where_sources_differ_the_page_says_so(kind_of, place, design):
    text = " ".join(sayings(getting_used_section(kind_of(design), place)))

    assert ("Sources differ" in text) == (design != "plano")
    assert ("1 to 2 months in others" in text) == (design == "progressive")


# Where to look


@pytest.mark.parametrize(
    ("add", "cm", "is_reached"),
    [(1.50, 65, True), (1.50, 66.7, True), (1.50, 80, False), (2.50, 40, True), (2.50, 43, True), (2.50, 44, False)],
)
def test_an_add_reaches_as_far_as_its_focus_and_a_blur_that_goes_unnoticed(add, cm, is_reached):
    assert reaches(add, cm) == is_reached


@pytest.mark.parametrize(
    ("design", "use", "words"),
    [
        ("reading", "desk at 65 cm", "The whole lens: it is clear up to 67"),
        ("reading", "desk at 90 cm", "Not with this pair: it is clear up to 67"),
        ("reading", "reading at 30 cm", "nearer, your eyes must add focus"),
        ("reading", "driving", "Never in this pair"),
        ("reading", "all day", "Not this pair"),
        ("bifocal", "desk at 65 cm", "In the window."),
        ("bifocal", "desk at 80 cm", "Not with this pair: the window is clear up to 67"),
        ("bifocal", "desk at 120 cm", "Above the line, with a little focus of your own"),
        ("bifocal", "reading", "prop yourself up"),
        ("bifocal", "driving", "above the line"),
        ("progressive", "desk at 65 cm", "a 24 in screen is 53 cm wide"),
        ("progressive", "desk at 65 cm", "A pair set for 65"),
        ("progressive", "music stand at 80 cm", "Turn your head"),
        ("progressive", "reading", "Point your nose"),
        ("progressive", "reading at 30 cm", "It is set for 40"),
        ("progressive", "driving", "level with your pupils"),
        ("progressive", "all day", "Turn your head to look sideways"),
        ("single-vision", "desk at 50 cm", "add 2.00 diopters of focus"),
        ("single-vision", "sport", "not sports glasses"),
        ("plano", "sport", "not sports glasses"),
    ],
)
def test_each_use_is_told_where_to_look_or_that_this_pair_is_not_for_it(kind_of, design, use, words):
    assert words in look(kind_of(design, use=[use])).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("design", "use"), [("single-vision", "all day"), ("single-vision", "driving"), ("plano", "driving")]
)
def test_where_the_whole_lens_serves_nothing_is_said(kind_of, design, use):
    assert look(kind_of(design, use=[use])) == ""
    assert where.where_blocks(kind_of(design, use=[use])) == []


@pytest.mark.parametrize(
    ("more", "served"),
    [
        ({}, True),
        ({"wearer": ["over 65"]}, False),
        ({"previous": {"design": "progressive"}}, False),
        ({"previous": {"right": "-4.00 DS add 2.00"}}, False),
        ({"previous": {"design": "single-vision"}}, True),
    ],
)
def test_a_pair_for_far_does_not_serve_a_desk_where_reading_power_is_needed(pair_of, more, served):
    text = look(pair_of(use=["desk at 65 cm"], **more))

    assert text.startswith("Not with this pair") != served
    assert "65" in text


def test_a_child_focuses_by_itself(pair_of):
    assert look(pair_of(use=["reading"], wearer=["child"])) == ""


def test_a_frame_too_shallow_for_the_part_says_so(pair_of):
    pair = pair_of(
        prescription={"add": "2.50", "heights": "10 / 10"}, lenses={"design": "progressive"}, use=["reading at 40 cm"]
    )

    assert look(pair).startswith("Not with this pair: your frame ends")


def test_a_distance_that_nobody_gave_is_said_to_be_taken(kind_of):
    pair = kind_of("progressive", use=["desk", "reading at 35 cm"])

    names = [where.use_name(use, pair).replace("\N{NO-BREAK SPACE}", " ") for use in pair.order.use]
    assert names == ["Desk, taken as 60 cm (24 in)", "Reading at 35 cm (14 in)"]


@pytest.mark.parametrize("design", ["progressive", "bifocal", "reading"])
def test_a_lens_with_reading_power_explains_itself_though_no_use_is_named(kind_of, design):
    assert where.where_blocks(kind_of(design)) != []


def test_only_a_desk_is_held_against_a_screen():
    assert "screen" in clear_width_text("desk", 65, 8.0)
    assert "screen" not in clear_width_text("music stand", 65, 8.0)


# Cautions


@pytest.mark.parametrize(
    ("design", "more", "watched"),
    [
        ("single-vision", {}, ["Stairs.", "Driving."]),
        ("single-vision", {"use": ["reading"]}, ["Stairs."]),
        ("single-vision", {"use": ["driving"]}, ["Stairs.", "Driving."]),
        ("single-vision", {"wearer": ["child"]}, ["Stairs."]),
        ("progressive", {}, ["Stairs and curbs.", "Driving."]),
        ("bifocal", {}, ["Stairs and curbs.", "Driving."]),
        ("reading", {}, ["Stairs, walking and driving."]),
        ("plano", {}, []),
    ],
)
def test_each_pair_has_its_cautions_once(kind_of, design, more, watched):
    assert [caution.watch for caution in caution_blocks(kind_of(design, **more).order)] == watched


@pytest.mark.parametrize(
    ("previous", "words"),
    [
        ({"design": "progressive"}, "Drive when all of it is clear"),
        ({"design": "single-vision"}, "Do not drive in them until"),
        ("none", "Do not drive in them until"),
        (None, "If these are your first progressives, do not drive"),
    ],
)
def test_nobody_drives_in_first_progressives_until_they_are_comfortable(kind_of, previous, words):
    _, driving = caution_blocks(kind_of("progressive", previous=previous).order)

    assert driving.now.startswith(words)
    assert "check the rule where you live" in driving.now


@pytest.mark.parametrize(("wearer", "words"), [(["over 65"], "Over 65, keep"), (None, "If you are unsteady, keep")])
def test_stairs_name_whom_the_advice_is_for(kind_of, wearer, words):
    stairs, _ = caution_blocks(kind_of("progressive", wearer=wearer).order)

    assert words in stairs.who


def test_after_a_large_change_stairs_are_taken_with_care_for_longer(pair_of):
    (large, _), (small, _) = (
        caution_blocks(pair_of(previous={"right": old}).order) for old in ("-3.00 DS", "-3.25 DS")
    )

    assert "Keep to it" in large.now
    assert "Keep to it" not in small.now


# Two weeks, and when to call


@pytest.mark.parametrize(
    ("design", "more", "slow"),
    [
        ("single-vision", {}, False),
        ("single-vision", {"previous": "none"}, True),
        ("single-vision", {"previous": "none", "wearer": ["child"]}, False),
        ("single-vision", {"previous": {"right": "-3.25 DS"}}, False),
        ("single-vision", {"previous": {"right": "-3.00 DS"}}, True),
        ("progressive", {"previous": {"design": "bifocal"}}, True),
        ("progressive", {"previous": {"design": "progressive"}}, False),
        ("progressive", {}, False),
        ("reading", {"previous": "none"}, False),
    ],
)
def test_hours_are_printed_where_the_step_is_a_large_one(kind_of, place, design, more, slow):
    pair = kind_of(design, **more)

    (told,) = [block for block in getting_used_section(pair, place).blocks if block.kind == "diary"]

    assert starts_slowly(pair.order) == slow
    assert ("Hours" in told.columns) == slow
    assert ("Sources differ on hours" in " ".join(sayings(getting_used_section(pair, place)))) == slow


def test_a_pair_without_power_has_no_diary(kind_of, place):
    assert "diary" not in {block.kind for block in getting_used_section(kind_of("plano"), place).blocks}


@pytest.mark.parametrize(
    ("more", "can"),
    [
        ({}, True),
        ({"prescription": {"left": "none"}}, False),
        ({"prescription": {"left": "balance"}}, False),
        ({"wearer": ["one good eye"]}, False),
        ({"wearer": ["child"]}, False),
    ],
)
def test_covering_one_eye_is_asked_only_where_it_tells_something(pair_of, place, more, can):
    pair = pair_of(**more)

    assert can_compare_eyes(pair.order) == can
    assert any("Cover 1 eye" in text for text in sayings(getting_used_section(pair, place))) == can


@pytest.mark.parametrize(("wearer", "name"), [(None, "not-right"), (["child"], "not-right-child")])
def test_the_order_of_checks_starts_with_the_fit_and_ends_with_the_prescriber(pair_of, place, wearer, name):
    blocks = getting_used_section(pair_of(wearer=wearer), place).blocks

    (steps,) = [block for block in blocks if block.kind == "steps"]
    assert [what for what, _ in steps.items] == ["How they sit.", "Centering.", "Powers.", "The prescription."]
    assert name in [block.name for block in blocks if block.kind == "prose"]


@pytest.mark.parametrize(
    ("first", "design"), [("none", "progressive"), ({"design": "bifocal"}, "progressive"), ("none", "bifocal")]
)
def test_the_first_of_its_kind_is_known_from_the_order(kind_of, first, design):
    assert is_first_of_kind(kind_of(design, previous=first).order)


def test_a_pair_of_the_same_kind_or_of_one_power_is_not_the_first_of_its_kind(kind_of):
    assert not is_first_of_kind(kind_of("bifocal", previous={"design": "bifocal"}).order)
    assert not is_first_of_kind(kind_of("single-vision", previous="none").order)


def test_the_words_of_a_demo_page_are_short_and_plain(demo_pair, place):
    section = getting_used_section(demo_pair, place)
    tables = [block for block in section.blocks if block.kind == "table"]
    texts = [cell for table in tables for row in table.rows for cell in row]

    sentences = [sentence for text in texts for sentence in sentences_of(text)]
    assert [sentence for sentence in sentences if len(words_of(sentence)) > 20] == []
    assert [(word, text) for text in texts for word in (*banned_in(text), *BRITISH.findall(text))] == []
    assert [text for text in texts if re.search(r"[{}]|  |!", text)] == []


def test_nobody_drives_in_a_near_only_pair(kind_of):
    (caution,) = caution_blocks(kind_of("reading").order)

    assert "Never drive in them" in caution.now


def test_where_little_changed_only_the_new_shape_is_named(pair_of):
    pair = pair_of(previous={"right": "-4.00 DS", "left": "-3.00 DS"}, lenses={"add-ons": ["anti-reflective"]})

    assert keys_of(pair) == ["new-shape"]


def test_the_figures_of_each_use_are_kept_in_full(kind_of):
    desk, reading = where.where_numbers(kind_of("progressive", use=["all day", "desk at 65 cm", "reading"]))

    assert desk["focus_needed_dpt"] == pytest.approx(100 / 65)
    assert desk["screen_width_cm"] == pytest.approx(53.13, abs=0.01)  # 24 in, 16 to 9
    assert 0 < desk["below_pupil_mm"] < reading["below_pupil_mm"]
    assert desk["clear_up_to_cm"] == pytest.approx(100 / 1.5)
    assert where.where_numbers(kind_of("plano", use=["reading"])) == []
