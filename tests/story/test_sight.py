"""What you would see without them: how large the blur is, for whom there is no picture, and what is left out."""

from __future__ import annotations

import pytest

from explain.optics.power import SphereCylinder
from explain.story.sight import ARCMIN_PER_MRAD, far_error, sight_section, size_at_mm

PLANO = {
    "prescription": {"right": None, "left": None},
    "lenses": {"design": "plano", "material": "polycarbonate-1.59"},
}
SPACES = str.maketrans("\N{NO-BREAK SPACE}", " ")


def figures_of(section):
    return [block for block in section.blocks if block.kind == "figure"]


def test_the_power_missing_is_counted_at_the_pupil_and_something_far_asks_a_sixth_of_a_dioptre_more():
    """The pupil lies 13 + 3 mm behind the lens, so that -2.00 at the lens is -2 / (1 + 0.016 x 2) there."""
    error = far_error(SphereCylinder(-2.0, -1.0, 30))

    assert error.sphere_dpt == pytest.approx(-2 / 1.032 + 1 / 6)
    assert error.sphere_dpt + error.cylinder_dpt == pytest.approx(-3 / 1.048 + 1 / 6)
    assert error.axis_deg == 30


def test_an_angle_of_1_mrad_is_6_mm_at_6_m():
    assert size_at_mm(ARCMIN_PER_MRAD, 600.0) == pytest.approx(6.0)


def test_a_plano_pair_has_no_such_part(pair_of):
    assert sight_section(pair_of(**PLANO)) is None


def test_an_eye_that_is_sharp_without_its_lens_gets_no_picture(pair_of):
    assert sight_section(pair_of(prescription={"right": "plano", "left": "plano"})) is None
    assert sight_section(pair_of(prescription={"right": "plano", "left": "-3.00 DS"})) is not None


def test_the_blur_of_a_far_dot_grows_with_the_error_and_the_pupil(pair_of):
    (figure,) = figures_of(sight_section(pair_of(prescription={"left": "-4.00 DS"})))

    # at the pupil 4.00 is 3.76; a pupil of 4 mm and 3.76 - 1/6 dioptres: 14.4 mrad, 86 mm at 6 m
    assert "86 mm" in figure.finding.translate(SPACES)
    assert {row[1].translate(SPACES) for row in figure.table.rows} == {"86 mm"}


def test_unequal_eyes_give_a_span_from_the_smaller_to_the_larger(pair_of):
    (figure,) = figures_of(sight_section(pair_of(prescription={"right": "-4.00 DS", "left": "-1.00 DS"})))

    assert "20 to 86 mm" in figure.finding.translate(SPACES)


def test_an_astigmatic_eye_has_a_longer_and_a_shorter_way(pair_of):
    eyes = {"right": "-2.00 -1.50 x 30", "left": "none"}

    (figure,) = figures_of(sight_section(pair_of(prescription=eyes)))

    ((_, longest, shortest),) = figure.table.rows
    assert [longest.translate(SPACES), shortest.translate(SPACES)] == ["76 mm", "43 mm"]  # 24 mm for each dioptre


def test_near_is_shown_only_where_there_is_an_add(pair_of):
    lenses = {"design": "progressive", "material": "high-index-1.60"}
    with_add = sight_section(pair_of(prescription={"add": "2.00", "heights": "20 / 20"}, lenses=lenses))

    assert len(figures_of(with_add)) == 2
    assert "40 cm (16 in)" in figures_of(with_add)[1].measure.translate(SPACES)
    assert len(figures_of(sight_section(pair_of()))) == 1


def test_a_balance_lens_has_no_picture(pair_of):
    (figure,) = figures_of(sight_section(pair_of(prescription={"left": "balance"})))

    assert [picture.label for picture in figure.drawing.pictures] == ["Right eye"]


@pytest.mark.parametrize(("right", "said"), [("-4.00 DS", False), ("+2.00 DS", True), ("+1.00 -3.00 x 90", False)])
def test_only_a_far_sighted_eye_is_told_that_it_can_focus_through(pair_of, right, said):
    note = sight_section(pair_of(prescription={"right": right})).blocks[-1].text

    assert "pupil of 4 mm" in note.translate(SPACES)
    assert ("far-sighted" in note) == said


def test_the_picture_is_turned_to_how_the_wearer_sees_it(pair_of):
    (figure,) = figures_of(sight_section(pair_of(prescription={"right": "-2.00 -1.50 x 30", "left": "none"})))

    # most power lies at 120 degrees as others see the wearer, which the wearer sees at 60
    assert figure.drawing.pictures[0].long_direction_deg == pytest.approx(60)
