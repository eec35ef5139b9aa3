"""Figures typed into the answers for everyone: those of the optics and of the data files, not of someone's memory."""

from __future__ import annotations

import re

import pytest

from explain.facts import data_file
from explain.optics.near import far_point_m
from explain.optics.power import SphereCylinder, transposed
from explain.optics.prism import prentice_prism_dpt
from explain.optics.reflection import two_surface_transmittance
from explain.optics.vertex import vertex_compensated_dpt
from tests.story.test_answers_words import ANSWERS

MATERIALS = data_file("materials")["materials"]
SAID = {answer.name: " ".join(answer.prose.split()) for answer in ANSWERS}
US_ROWS = data_file("tolerances")["us"]["rows"]
NAMED = {
    "urethane 1.53": "urethane-1.53",
    "polycarbonate 1.59": "polycarbonate-1.59",
    "standard plastic 1.50": "standard-plastic-1.50",
    "plastic 1.74": "high-index-1.74",
    "glass": "crown-glass-1.52",
}


def test_the_contact_lens_for_minus_6_is_minus_5_60() -> None:
    on_the_eye_dpt = vertex_compensated_dpt(-6.00, 12.0)

    assert f"about −{abs(on_the_eye_dpt):.2f}, which is then made as −5.50" in SAID["prescription-contact-lenses"]
    assert round(on_the_eye_dpt * 4) / 4 == -5.50


def test_the_line_written_in_2_ways_is_1_lens() -> None:
    assert "The line +1.00 −2.00 at 180 becomes −1.00 +2.00 at 90" in SAID["prescription-two-forms"]
    assert transposed(SphereCylinder(1.00, -2.00, 180)) == SphereCylinder(-1.00, 2.00, 90)


@pytest.mark.parametrize(("power", "clear_to_cm"), [(-2.50, 40), (-1.00, 100), (-5.00, 20)])
def test_how_far_a_near_sighted_eye_sees(power: float, clear_to_cm: int) -> None:
    far = far_point_m(power)

    assert far is not None
    assert 100 * far == pytest.approx(clear_to_cm)
    assert f"up to {clear_to_cm} cm" in SAID["how-bad-is-my-sight"].replace("about ", "")


@pytest.mark.parametrize(
    ("name", "power", "off_mm", "says"),
    [
        ("pd-differs", 1.00, 2, "a power of 1.00: {}."),
        ("pd-differs", 6.00, 2, "a power of 6.00: {}."),
        ("measuring-pd-at-home", 5.00, 2, "2 mm makes a shift of {}."),
        ("prism-left-out-or-unordered", 5.00, 4, "4 mm makes {} prism diopters"),
    ],
)
def test_shifts_follow_from_distance_and_power(name: str, power: float, off_mm: float, says: str) -> None:
    assert says.format(f"{abs(prentice_prism_dpt(power, off_mm)):.1f}") in SAID[name]


def test_views_of_very_different_eyes_part_as_said() -> None:
    assert f"the views part by {abs(prentice_prism_dpt(3.00, 10)):.0f} cm at 1 meter" in SAID["very-different-eyes"]


def test_weights_of_materials_are_those_of_the_materials_file() -> None:
    printed = re.findall(r"(?<=\s)([a-z ]*?[\d.]*\d|glass)(?:, [a-z ]+)?: (\d\.\d\d)", SAID["heavy-glasses"])

    assert {name: float(figure) for name, figure in printed} == {
        name: MATERIALS[key]["density_g_per_cm3"]["use"] for name, key in NAMED.items()
    }


@pytest.mark.parametrize(
    ("says", "key"),
    [
        ("Standard plastic has {}", "standard-plastic-1.50"),
        ("plastic 1.67 about {}", "high-index-1.67"),
        ("a tough plastic, about {}", "polycarbonate-1.59"),
    ],
)
def test_color_numbers_are_those_of_the_materials_file(says: str, key: str) -> None:
    assert says.format(MATERIALS[key]["abbe_number"]["use"]) in SAID["colored-edges"]


def test_bare_standard_plastic_throws_back_as_much_as_computed() -> None:
    index = MATERIALS["standard-plastic-1.50"]["index_at_587_6_nm"]["use"]
    per_100 = round(100 * (1 - two_surface_transmittance(index)))

    assert f"Bare standard plastic throws back about {per_100} in 100" in SAID["video-calls-and-photos"]


def test_tint_categories_are_those_of_the_tints_file() -> None:
    printed = {
        int(n): [int(low), int(high)] for n, low, high in re.findall(r"(\d): (\d+) to (\d+)", SAID["choosing-a-tint"])
    }

    assert printed == data_file("tints")["let_through_of_100"]


def test_the_allowed_difference_is_that_of_the_us_standard() -> None:
    row = next(row for row in US_ROWS if row["id"] == "us-single-meridian-low")

    says = f"up to {row['power_up_to_dpt']:.2f}, a US standard allows {row['allowed_dpt']:.2f} diopters"
    assert says in SAID["having-glasses-checked-elsewhere"]
