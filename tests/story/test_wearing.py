"""Wearing them: which words a page takes, by lens kind and wearer, and what changed since the old pair."""

from __future__ import annotations

import pytest

from explain.optics.power import SphereCylinder
from explain.story import wearing
from explain.story.wearing import change_sentence, frame_size_text

ADD = {"add": "1.75", "heights": "18 / 18"}
NO_POWER = {"right": None, "left": None}


def words_in(section):
    return [block.name for block in section.blocks if block.kind == "prose"]


@pytest.mark.parametrize(
    ("design", "eyes", "where"),
    [
        ("single-vision", {}, []),
        ("progressive", ADD, ["where-to-look-progressive"]),
        ("bifocal", ADD, ["where-to-look-bifocal"]),
        ("reading", ADD, ["where-to-look-reading"]),
        ("plano", NO_POWER, []),
    ],
)
def test_each_kind_of_lens_has_its_own_words(pair_of, design, eyes, where):
    section = wearing.getting_used_section(pair_of(prescription=eyes, lenses={"design": design}))

    assert words_in(section) == [f"getting-used-{design}", *where]


def test_a_child_has_words_of_its_own(pair_of):
    pair = pair_of(wearer=["child"])

    assert words_in(wearing.getting_used_section(pair)) == ["getting-used-child"]


def test_only_a_progressive_shows_where_to_look_in_3_drawings(pair_of):
    pictured = {
        design: [
            [sketch.name for step in block.items for sketch in step.sketches]
            for block in wearing.getting_used_section(pair_of(prescription=ADD, lenses={"design": design})).blocks
            if block.kind == "pictured"
        ]
        for design in ("progressive", "bifocal", "reading")
    }

    assert pictured == {"progressive": [["look-far", "look-arm", "look-near"]], "bifocal": [], "reading": []}


def test_cleaning_is_drawn_step_by_step(pair_of):
    (steps,) = [block for block in wearing.care_section(pair_of()).blocks if block.kind == "pictured"]

    drawn = [sketch.name for step in steps.items for sketch in step.sketches]
    assert drawn == ["clean-rinse", "clean-drop", "clean-wipe", "lay-down"]


def test_a_desk_pair_has_words_about_the_desk(pair_of):
    lenses = {"design": "reading"}

    assert "desk" in words_in(wearing.getting_used_section(pair_of(prescription=ADD, lenses=lenses, use=["desk"])))
    assert "desk" not in words_in(wearing.getting_used_section(pair_of(prescription=ADD, lenses=lenses)))


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (SphereCylinder(-1.0), SphereCylinder(-1.25), "0.25"),
        (SphereCylinder(-1.25), SphereCylinder(-1.0), "0.25"),
        (SphereCylinder(-1.0), SphereCylinder(-1.0), "the same"),
        (SphereCylinder(-1.0), SphereCylinder(-1.004), "the same"),
        (SphereCylinder(-2.0, -1.0, 30), SphereCylinder(-3.0, 1.0, 120), "the same"),
        (SphereCylinder(-2.0), SphereCylinder(-2.0, -0.75, 90), "0.75"),
        (SphereCylinder(0.0, -1.0, 180), SphereCylinder(0.0, -1.0, 90), "1.00"),
    ],
)
def test_a_change_is_given_in_the_direction_it_changed_most(old, new, words):
    assert words in change_sentence("right", old, new)


def test_both_eyes_are_compared_with_the_old_pair(pair_of):
    pair = pair_of(previous={"right": "-3.50 DS", "left": "-3.00 DS"})

    first = wearing.getting_used_section(pair).blocks[0]

    assert "Right eye: 0.50" in first.text
    assert "Left eye: the same" in first.text


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"previous": {"design": "single-vision"}},
        {"previous": {"left": "-3.00 DS"}, "prescription": {"left": "balance"}},
    ],
    ids=["no old pair", "only the same kind", "no power to compare"],
)
def test_nothing_is_said_about_a_change_that_is_not_known(pair_of, changes):
    assert wearing.getting_used_section(pair_of(**changes)).blocks[0].kind == "prose"


@pytest.mark.parametrize(
    ("old", "new", "first"), [("progressive", "progressive", False), ("bifocal", "progressive", True)]
)
def test_another_kind_of_lens_than_before_is_named_and_a_first_progressive_warned_of(pair_of, old, new, first):
    pair = pair_of(prescription=ADD, lenses={"design": new}, previous={"right": "-4.00 DS", "design": old})

    texts = [block.text for block in wearing.getting_used_section(pair).blocks if block.kind == "paragraph"]

    assert any(f"from {old} to {new}" in text for text in texts) == first
    assert any("first progressives" in text for text in texts) == first


@pytest.mark.parametrize(("use", "warned"), [(["sport"], True), (["driving"], False)])
def test_a_pair_for_sport_is_told_that_it_is_no_sports_eyewear(pair_of, use, warned):
    kinds = [block.kind for block in wearing.getting_used_section(pair_of(use=use)).blocks]

    assert ("caution" in kinds) == warned


@pytest.mark.parametrize(
    ("wearer", "there"), [(None, False), (["over 65"], False), (["child"], True), (["one good eye"], True)]
)
def test_a_child_and_a_wearer_with_one_good_eye_have_a_part_about_protection(pair_of, wearer, there):
    section = wearing.good_eye_section(pair_of(wearer=wearer).order)

    assert (section is not None) == there
    assert section is None or "injury-child-one-eye" in words_in(section)
    assert section is None or "2.0" in section.blocks[0].text


@pytest.mark.parametrize("add_ons", [[], ["hard-layer"], ["light-reactive"]])
def test_light_reactive_lenses_have_a_part_of_their_own(pair_of, add_ons):
    section = wearing.light_reactive_section(pair_of(lenses={"add-ons": add_ons} if add_ons else {}))

    assert (section is not None) == ("light-reactive" in add_ons)
    if section is not None:
        assert words_in(section) == ["light-reactive"]
        assert {"steps", "figure"} <= {block.kind for block in section.blocks}
        assert [block.caption for block in section.blocks if block.kind == "table"][-1] == "How dark, and driving"


@pytest.mark.parametrize(
    ("add_ons", "layers"), [([], False), (["blue-filter"], False), (["hard-layer"], True), (["anti-reflective"], True)]
)
def test_care_of_layers_is_explained_only_where_there_are_any(pair_of, add_ons, layers):
    section = wearing.care_section(pair_of(lenses={"add-ons": add_ons} if add_ons else {}))

    assert ("care-layers" in words_in(section)) == layers


def test_words_about_driving_in_sunglasses_stand_on_the_page_of_a_tinted_pair_only(page_of):
    def words(page):
        return [name for group in page.groups for section in group.sections for name in words_in(section)]

    lenses = {"design": "plano", "add-ons": ["sun-tint"], "tint": {"colour": "gray", "category": "3"}}
    assert "sunglasses" in words(page_of(prescription=NO_POWER, lenses=lenses))
    assert "sunglasses" not in words(page_of())


def test_a_frame_is_described_by_its_box_and_its_side(pair_of):
    whole, short = pair_of(), pair_of(frame={"size": "50-18"})

    assert frame_size_text(whole.order).replace("\N{NO-BREAK SPACE}", " ").split(", ") == [
        "lens 50.0 mm wide and 38.0 mm deep",
        "bridge 18.0 mm",
        "side 140.0 mm",
    ]
    assert "side" not in frame_size_text(short.order)
