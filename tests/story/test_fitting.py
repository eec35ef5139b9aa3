"""Fitting: the home check by lens kind and wearer, what each sign means, and how to reach us."""

from __future__ import annotations

import pytest

from explain.story.fitting import CHILD_CHECKS, SIGNS, checks, fit_section, photo_text
from tests.story.invented import sayings
from tests.story.readability import sentences_of, words_of

ADD = {"add": "1.75", "heights": "18 / 18"}
NO_POWER = {"right": None, "left": None}
CHILD = {"wearer": ["child"]}


def of_kind(section, kind):
    return [block for block in section.blocks if block.kind == kind]


def text_of(section):
    return " ".join(sayings(section)).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize("changes", [{}, CHILD, {"prescription": NO_POWER, "lenses": {"design": "plano"}}])
def test_the_home_check_has_5_steps(pair_of, changes):
    (check,) = of_kind(fit_section(pair_of(**changes)), "checks")

    assert len(check.items) == 5


@pytest.mark.parametrize("step", [*CHILD_CHECKS], ids=lambda step: step.what)
def test_a_step_for_a_child_is_short(step):
    assert len(words_of(step.what)) < 12
    assert all(len(words_of(sentence)) <= 20 for sentence in sentences_of(step.how))


def test_each_step_of_a_demo_page_says_what_to_do_in_under_12_words(demo_pair):
    assert [step.what for step in checks(demo_pair) if len(words_of(step.what)) >= 12] == []


def test_the_first_4_steps_have_drawings(pair_of):
    assert [bool(step.sketches) for step in checks(pair_of())] == [True] * 4 + [False]


def test_a_child_has_words_of_its_own(pair_of):
    child, other = fit_section(pair_of(**CHILD)), fit_section(pair_of(wearer=["over 65"]))

    assert [block.name for block in of_kind(child, "prose")] == ["sits-right-child", "adjusting"]
    assert [block.name for block in of_kind(other, "prose")] == ["sits-right", "adjusting"]
    assert "your child" in text_of(child)
    assert "lashes" not in text_of(child)


@pytest.mark.parametrize(
    ("design", "eyes", "words"),
    [
        ("single-vision", {"heights": "20 / 19"}, "A ruler shows each pupil as high"),
        ("progressive", ADD, "A ruler shows each pupil as high"),
        ("single-vision", {}, "on the broken line"),
        ("reading", {"add": "1.50"}, "on the broken line"),
        ("bifocal", ADD, "level with your lower lid"),
        ("plano", NO_POWER, "the same way in their lenses"),
    ],
)
def test_the_last_step_asks_for_what_the_order_knows(pair_of, design, eyes, words):
    assert words in checks(pair_of(prescription=eyes, lenses={"design": design}))[-1].how


@pytest.mark.parametrize(
    ("changes", "count"),
    [
        ({}, 1),
        ({"prescription": NO_POWER, "lenses": {"design": "plano"}}, 0),
        (CHILD, 0),
        (CHILD | {"prescription": {"heights": "18 / 18"}}, 1),
    ],
    ids=["adult", "no power", "child", "child with heights"],
)
def test_the_lens_is_drawn_where_a_check_looks_at_it(pair_of, changes, count):
    assert len(of_kind(fit_section(pair_of(**changes)), "figure")) == count


def test_a_height_that_was_not_measured_is_named_an_assumption(pair_of):
    (note,) = of_kind(fit_section(pair_of()), "note")

    assert "No height" in note.text
    assert of_kind(fit_section(pair_of(prescription={"heights": "20 / 19"})), "note") == []


def test_every_sign_has_words_to_ask_with_and_a_photo_to_send(pair_of):
    (table,) = of_kind(fit_section(pair_of()), "table")

    assert table.rows == SIGNS
    assert all(ask.startswith("Please ") and ask.endswith(".") for _, ask, _ in SIGNS)
    assert {photo for _, _, photo in SIGNS} <= {"Front", "Side", "Above"}


def test_the_pair_is_sent_back_to_the_address_of_the_shop_with_its_order_number(pair_of):
    text = text_of(fit_section(pair_of()))

    assert "Quill Harbor Opticians, 3 Ropewalk Lane, Quill Harbor." in text
    assert "T-0001" in text


def test_photos_go_to_the_email_of_the_shop_or_the_phone_tells_where(demo_shop):
    from msgspec.structs import replace

    assert demo_shop.email in photo_text(demo_shop)
    assert demo_shop.phone in photo_text(replace(demo_shop, email=None))
