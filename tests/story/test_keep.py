"""Keep this, and when to call: every figure another optician needs, every assumption, always the same order."""

from __future__ import annotations

import pytest

from explain.optics.power import SphereCylinder
from explain.order.model import EyePrescription, Prism
from explain.story.keep import assumptions, calling_section, keep_section, line_form

MINUS = "\N{MINUS SIGN}"
ADD = {"add": "2.00", "heights": "18 / 18"}


def figures(pair, place):
    table = next(block for block in keep_section(pair, place).blocks if block.kind == "table")
    return dict(table.rows)


def words_in(section):
    return [block.name for block in section.blocks if block.kind == "prose"]


@pytest.mark.parametrize(
    ("ordered", "line"),
    [
        (EyePrescription("", SphereCylinder(-3.25, -0.75, 172)), f"{MINUS}3.25 {MINUS}0.75 x 172"),
        (EyePrescription("", SphereCylinder(1.5)), "+1.50"),
        (EyePrescription("", SphereCylinder(0.0)), "0.00"),
        (EyePrescription("", None), "balance lens"),
        (EyePrescription("", SphereCylinder(-1.0), add_dpt=2.25), f"{MINUS}1.00, add +2.25"),
        (
            EyePrescription("", SphereCylinder(-1.0, 0.5, 5), (Prism(1.0, "up"),), 2.0),
            f"{MINUS}1.00 +0.50 x 5, prism 1.00 base up, add +2.00",
        ),
    ],
)
def test_an_eye_is_written_as_an_optician_would(ordered, line):
    assert line_form(ordered) == line


def test_another_optician_finds_every_figure_needed_for_new_lenses(pair_of, place):
    kept = figures(pair_of(prescription={"heights": "20 / 19"}), place)

    assert kept["Order"] == "T-0001, October 2, 2026"
    assert kept["Right eye"] == f"{MINUS}4.00"
    found = {name: text.replace("\N{NO-BREAK SPACE}", " ") for name, text in kept.items()}
    assert found["Pupil to middle of nose"] == "right 31.0 mm; left 31.0 mm"
    assert found["Height of the lens center"] == "right 20.0 mm; left 19.0 mm"
    assert "50.0 mm wide" in found["Frame"]
    assert "1.498" in found["Lens material"]
    assert "Front curve, ordered" not in found


def test_a_front_curve_and_a_thickness_are_given_only_where_ordered_or_measured(pair_of, place):
    """A curve that our rule chose is nobody's lens: a colleague must not copy it."""
    lenses, checked = {"base-curve": "4.25"}, {"right": "-4.00 DS", "centre": "2.1 / 2.0"}

    kept = figures(pair_of(lenses=lenses, checked=checked), place)

    assert kept["Front curve, ordered"] == "4.25 on the 1.530 scale"
    assert "2.1" in kept["Thickness"]


def test_a_reading_pair_gives_the_power_it_was_made_to(pair_of, place):
    eyes = {"right": "-0.50 DS", "left": "-0.25 DS", "add": "1.50"}

    kept = figures(pair_of(prescription=eyes, lenses={"design": "reading"}), place)

    assert kept["Right eye, power made"] == "+1.00"
    assert kept["Left eye, power made"] == "+1.25"


def test_one_lens_has_the_figures_of_one_lens(pair_of, place):
    kept = figures(pair_of(prescription={"left": "none"}), place)

    assert "Left eye" not in kept
    assert "left" not in kept["Pupil to middle of nose"]


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
