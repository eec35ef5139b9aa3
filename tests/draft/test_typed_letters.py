"""Whole letters: what is read from them, what is asked, what is warned about, and that nothing makes it stumble."""

from __future__ import annotations

import random
import time
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from explain.draft.eye_lines import eye_line, power_line
from explain.draft.letters import without_noise
from explain.draft.typed_text import read_text
from explain.draft.understood import findings, sentences
from explain.optics.power import SphereCylinder
from explain.order.model import Prism
from explain.order.typed import TypedEye, read_eye
from tests.order.test_typed import AXES, CYLINDERS, QUARTERS

LETTERS = yaml.safe_load((Path(__file__).parent / "letters.yaml").read_text(encoding="utf-8"))


def short(path):
    return path.rpartition(".")[2]


@pytest.mark.parametrize("letter", LETTERS, ids=lambda letter: letter["id"])
def test_a_letter_is_read_to_what_it_says(letter):
    taken = read_text(letter["text"])
    warned = " ".join(remark.message for remark in taken.warnings)

    assert {short(path): value for path, value in taken.values.items()} == letter["values"]
    assert sorted(map(short, taken.questions)) == sorted(letter.get("asks", []))
    assert (letter["warns"] in warned) if "warns" in letter else not warned


@pytest.mark.parametrize("letter", LETTERS, ids=lambda letter: letter["id"])
def test_each_eye_is_said_in_one_sentence_or_left_open(letter):
    taken = read_text(letter["text"])
    said = sentences(taken)

    for side, sentence in zip(("right", "left"), said[:2], strict=True):
        assert sentence.startswith(f"{side.capitalize()} eye: ")
        assert ("left open" in sentence) == (side not in letter["values"])
    assert sum("To ask" in finding for finding in findings(taken)) <= len(taken.questions)


def test_a_slip_shows_in_the_sentence():
    taken = read_text("OD -3.25 -0.75 x 172 prism 2 up OS +3.00 add 2.25")

    assert sentences(taken)[:2] == [
        "Right eye: sphere minus 3.25, cylinder minus 0.75 along 172, prism 2 base up; plus 2.25 more for reading.",
        "Left eye: sphere plus 3.00, no cylinder; plus 2.25 more for reading.",
    ]


@pytest.mark.parametrize(
    "line",
    [
        "-2.25 / -0.75 / 27",
        "+125 -050 x 090",
        "-225 -075 x 180",
        "+2.00 -1.00 x 90",
        "-1.00 -0.50 x 10 mar",
        "63/60",
        "31.5/32",
    ],
)
def test_a_power_is_not_taken_for_a_date_or_a_phone_number(line):
    assert without_noise(line) == line


@given(QUARTERS, CYLINDERS, AXES, st.sampled_from(["", "prism 2 up & 1.5 in"]))
def test_the_line_that_is_written_reads_back_to_the_same_lens(sphere, cylinder, axis, prism):
    eye = TypedEye(SphereCylinder(sphere, cylinder, axis), (Prism(2.0, "up"), Prism(1.5, "in")) if prism else ())

    assert read_eye(eye_line(eye)).power == eye.power
    assert read_eye(eye_line(eye)).prisms == eye.prisms


@given(
    QUARTERS, CYLINDERS.map(lambda power: -power), AXES, QUARTERS,
    st.sampled_from(["OD {} OS {}", "R: {}\nL: {}", "RE {} / LE {}", "right eye {}; left eye {}", "D: {} G: {}"]),
)  # fmt: skip
def test_any_pair_in_any_form_reads_back_to_its_powers(sphere, cylinder, axis, other, form):
    right, left = SphereCylinder(sphere, cylinder, axis), SphereCylinder(other)
    taken = read_text(form.format(power_line(right), power_line(left)))

    assert (taken.values["prescription.right"], taken.values["prescription.left"]) == (
        power_line(right),
        power_line(left),
    )
    assert not taken.questions


@pytest.mark.parametrize("gap", [" ", "\t", "\u00a0"])
def test_a_long_gap_is_passed_over_at_once(gap):
    started = time.process_time()
    taken = read_text(f"OD -2.00 DS OS -1.75 DS{gap * 100_000}\n" * 5)

    assert time.process_time() - started < 1
    assert {"prescription.right", "prescription.left"} <= {*taken.values, *taken.questions}


@given(st.text(alphabet="+-0123456789.,/ xX°()@DSCadprism&uninoutbaseRLOG:|\n\t<>=−×o½", max_size=120))
def test_any_text_is_read_or_asked_about(text):
    taken = read_text(text)

    assert {"prescription.right", "prescription.left"} <= {*taken.values, *taken.questions}


def test_two_thousand_spoilt_letters_are_read_or_asked_about():
    chance = random.Random(20261125)  # noqa: S311  repeatable spoiling, nothing secret
    for _ in range(2000):
        letters = list(chance.choice(LETTERS)["text"])
        for _ in range(chance.randint(1, 8)):
            place = chance.randrange(len(letters))
            letters[place] = chance.choice(
                ["", "\n", "\0", "-", "9", "R", "|", "<td>", "=", chr(chance.randrange(0x2500))]
            )
        taken = read_text("".join(letters))
        assert {"prescription.right", "prescription.left"} <= {*taken.values, *taken.questions}
        assert sentences(taken)
