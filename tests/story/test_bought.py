"""The first screen: whose the glasses are, whether they match, what they are, and three things to do."""

from __future__ import annotations

import re

import pytest

from explain.story.bought import first_screen
from explain.story.have import have_text
from explain.story.matching import message_text

MATCHING = {"right": "-4.00 DS", "left": "-3.00 DS", "on": "2026-10-09"}
PLANO = {
    "prescription": {"right": None, "left": None},
    "lenses": {"design": "plano", "material": "polycarbonate-1.59"},
}
SUN = PLANO | {"lenses": PLANO["lenses"] | {"add-ons": ["sun-tint"], "tint": {"colour": "brown", "category": "3"}}}
FINE = re.compile(r"\b(match|is within it|as ordered)\b")


def screen_words(screen):
    return " ".join((screen.message, screen.have, *(said(step) for step in screen.first))).split()


def said(step):
    return f"{step.what} {step.how}".strip()


@pytest.fixture
def message_of(pair_of, place):
    return lambda **changes: message_text(pair_of(**changes), place)


def test_a_pair_that_matches_says_so_and_when_it_was_measured(message_of):
    message = message_of(checked=MATCHING)

    assert "Odile" in message
    assert "October 9, 2026" in message
    assert FINE.search(message)


def test_a_pair_that_was_not_checked_claims_no_measuring(message_of):
    message = message_of()

    assert "Odile" in message
    assert "measured" not in message
    assert not FINE.search(message)


def test_a_check_that_measured_nothing_claims_nothing(message_of):
    assert "measured" not in message_of(checked={"on": "2026-10-09"})


def test_a_check_without_a_day_names_none(message_of):
    message = message_of(checked=MATCHING | {"on": None})

    assert "measured" in message
    assert "2026" not in message


@pytest.mark.parametrize(
    ("measured", "where"),
    [
        ({"right": "-4.50 DS"}, "the right lens is outside"),
        ({"left": "-3.50 DS"}, "the left lens is outside"),
        ({"right": "-4.50 DS", "left": "-3.50 DS"}, "the right and left lenses are outside"),
        ({"pd": "36 / 36"}, "the pair is outside"),
    ],
)
def test_a_pair_outside_says_which_lens_differs(message_of, measured, where):
    message = message_of(checked=measured, accepted={"by": "Odile, by phone", "why": "She asked for it."})

    assert where in message
    assert not FINE.search(message)


@pytest.mark.parametrize(
    ("by", "who"), [("Odile, by phone", "you accepted"), ("Odile", "you accepted"), ("Dr. Lind", "Dr. Lind accepted")]
)
def test_who_accepted_a_pair_is_named(message_of, by, who):
    message = message_of(checked={"right": "-4.50 DS"}, accepted={"by": by, "why": "She asked for it."})

    assert who in message


def test_lenses_without_power_are_not_called_a_prescription(message_of):
    for changes in (PLANO, PLANO | {"checked": {"right": "plano", "left": "plano"}}, PLANO | {"wearer": ["child"]}):
        message = message_of(**changes)

        assert re.search("without a prescription|no power", message)
        assert "made to" not in message


def test_the_line_of_what_you_have_names_kind_frame_and_use(pair_of):
    lenses = {"design": "progressive", "add-ons": ["light-reactive"]}
    pair = pair_of(
        prescription={"add": "2.00", "heights": "20 / 20"}, lenses=lenses, use=["all day", "desk at 70 cm", "reading"]
    )

    have = have_text(pair.order)

    assert have.startswith("Light-reactive ")
    assert "progressive" in have
    assert "Rowan (slate)" in have
    assert "all day, your desk and reading" in have


def test_a_pair_for_one_thing_names_its_distance(pair_of):
    assert "for your desk at 70\N{NO-BREAK SPACE}cm (28\N{NO-BREAK SPACE}in)." in have_text(
        pair_of(use=["desk at 70 cm"]).order
    )


def test_a_frame_without_a_colour_and_a_pair_without_a_use_leave_no_gap(pair_of):
    have = have_text(pair_of(frame={"colour": None}).order)

    assert "single-vision" in have.lower()
    assert have.endswith("in the frame Rowan.")


def test_a_tint_is_named(pair_of):
    lenses = PLANO["lenses"] | {"add-ons": ["sun-tint"], "tint": {"colour": "brown", "category": "3"}}

    assert "brown" in have_text(pair_of(prescription=PLANO["prescription"], lenses=lenses).order)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "at home"),
        (
            {"prescription": {"add": "2.00", "heights": "20 / 20"}, "lenses": {"design": "progressive"}},
            "sitting",
        ),
        ({"prescription": {"add": "2.00", "heights": "17 / 17"}, "lenses": {"design": "bifocal"}}, "line"),
        ({"prescription": {"add": "1.50"}, "lenses": {"design": "reading"}}, "seated"),
        (PLANO, "at home"),
        (SUN, "daylight"),
        ({"wearer": ["one good eye"]}, "good eye"),
    ],
    ids=["single-vision", "progressive", "bifocal", "reading", "plano", "sunglasses", "one good eye"],
)
def test_the_second_step_suits_the_kind_of_lens(pair_of, place, changes, words):
    assert words in said(first_screen(pair_of(**changes), place).first[1])


def test_a_childs_page_speaks_of_the_childs_face(pair_of, place):
    assert "your child's face" in first_screen(pair_of(wearer=["child"]), place).first[0].what
    assert "child" not in first_screen(pair_of(), place).first[0].what


VERBS = {"Call", "Check", "Keep", "Look", "Read", "Use", "Wear"}


def test_the_first_screen_of_a_demo_page_is_at_most_70_words(demo_page):
    assert len(screen_words(demo_page.first)) <= 70


def test_a_demo_page_starts_with_three_things_to_do_each_a_verb_and_short(demo_page):
    steps = demo_page.first.first

    assert len(steps) == 3
    assert {step.what.split()[0] for step in steps} <= VERBS
    assert [said(step) for step in steps if len(said(step).split()) >= 12] == []


def test_the_first_things_to_do_lead_to_parts_that_are_on_the_page(demo_page):
    parts = {section.id for group in demo_page.groups for section in group.sections}
    leads = [step.leads_to for step in demo_page.first.first if step.leads_to]

    assert "phone" in leads
    assert set(leads) - {"phone"} <= parts


def test_a_demo_page_names_its_customer_and_says_what_to_do_in_an_emergency(demo_page):
    assert demo_page.order.first_name in demo_page.first.message
    assert "today" in demo_page.first.urgent


MESSAGES = {"QH-2104": re.compile("the right lens is outside"), "QH-2110": re.compile("none, as ordered")}


def test_a_demo_page_says_whether_the_pair_is_right(demo_order, demo_page):
    message = demo_page.first.message

    assert MESSAGES.get(demo_order.stem, FINE).search(message)
    assert "measured" in message
