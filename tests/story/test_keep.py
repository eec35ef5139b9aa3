"""Keep this, and when to call: every assumption of the page, and always the same order of calling."""

from __future__ import annotations

import pytest

from explain.story.keep import assumptions, calling_section

ADD = {"add": "2.00", "heights": "18 / 18"}


def words_in(section):
    return [block.name for block in section.blocks if block.kind == "prose"]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"prescription": {"pd": "62"}}, "halved"),
        ({}, "No height was given"),
        ({"prescription": ADD, "lenses": {"design": "bifocal"}}, "far part"),
        ({}, "front curve"),
        ({"prescription": {"add": "1.50"}, "lenses": {"design": "reading"}}, "for near was worked out"),
        ({"prescription": ADD, "lenses": {"design": "progressive"}}, "Reading distance"),
    ],
    ids=["one pd", "no height", "bifocal", "no base curve", "no near pd", "reading distance"],
)
def test_everything_the_order_left_open_is_named_an_assumption(pair_of, changes, words):
    assert any(words in one for one in assumptions(pair_of(**changes)))


def test_what_the_order_does_say_is_no_assumption(pair_of):
    pair = pair_of(prescription={"heights": "20 / 20"}, lenses={"base-curve": "4.00"})

    assert len(assumptions(pair)) == 1
    assert f"{max(one.lens.centre_mm for one in pair.chosen.lenses.values()):.1f}" in assumptions(pair)[0]


def test_the_assumptions_of_a_demo_page_are_at_most_seven(demo_pair):
    assert 1 <= len(assumptions(demo_pair)) <= 7


@pytest.mark.parametrize(
    "changes", [{}, {"wearer": ["child"]}, {"wearer": ["one good eye"]}, {"lenses": {"add-ons": ["light-reactive"]}}]
)
def test_the_three_levels_of_calling_stand_in_the_same_order_on_every_page(pair_of, changes):
    section = calling_section(pair_of(**changes))

    assert words_in(section) == ["call-us", "ask-your-prescriber", "see-someone-today"]


def test_a_pair_without_a_prescription_has_no_prescriber_to_ask(pair_of):
    section = calling_section(pair_of(prescription={"right": None, "left": None}, lenses={"design": "plano"}))

    assert words_in(section) == ["call-us", "see-someone-today"]
