"""Wearing them: which words a page takes, by lens kind and wearer."""

from __future__ import annotations

import pytest

from explain.story import wearing
from explain.story.wearing import frame_size_text

ADD = {"add": "1.75", "heights": "18 / 18"}
NO_POWER = {"right": None, "left": None}


def words_in(section):
    return [block.name for block in section.blocks if block.kind == "prose"]


def test_cleaning_is_drawn_step_by_step(pair_of):
    (steps,) = [block for block in wearing.care_section(pair_of()).blocks if block.kind == "pictured"]

    drawn = [sketch.name for step in steps.items for sketch in step.sketches]
    assert drawn == ["clean-rinse", "clean-drop", "clean-wipe", "lay-down"]


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
