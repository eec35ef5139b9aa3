"""The line drawings as the story knows them: each has a file, words of its own, and a place on some page."""

from __future__ import annotations

import pytest

from explain.site.places import templates_folder
from explain.story.blocks import PicturedStep
from explain.story.fitting import CHILD_CHECKS, FIRST_CHECKS
from explain.story.getting_used import LOOK_STEPS
from explain.story.sketches import SKETCHES, sketches
from explain.story.wearing import CARE_STEPS
from tests.story.readability import sentences_of, words_of
from tests.story.test_words import BRITISH, banned_in

STEPS: list[PicturedStep] = [*FIRST_CHECKS, *CHILD_CHECKS, *CARE_STEPS, *LOOK_STEPS]


def test_every_sketch_has_its_file_and_every_file_its_words():
    assert sorted(SKETCHES) == sorted(path.stem for path in (templates_folder() / "drawings").iterdir())


def test_every_sketch_stands_on_some_page():
    assert {sketch.name for step in STEPS for sketch in step.sketches} == set(SKETCHES)


@pytest.mark.parametrize("sketch", SKETCHES.values(), ids=SKETCHES)
def test_what_a_sketch_shows_is_said_in_plain_sentences(sketch):
    assert sketch.caption
    assert [one for one in sentences_of(sketch.shows) if len(words_of(one)) > 20] == []
    assert banned_in(f"{sketch.caption} {sketch.shows}") == []
    assert BRITISH.findall(f"{sketch.caption} {sketch.shows}") == []


def test_no_2_sketches_are_described_alike():
    assert len({sketch.shows for sketch in SKETCHES.values()}) == len(SKETCHES)


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.what)
def test_a_step_says_what_to_do_in_under_12_words(step):
    assert 0 < len(words_of(step.what)) < 12


def test_a_sketch_we_do_not_have_is_an_error():
    with pytest.raises(KeyError):
        sketches("hold", "nowhere")
