"""Ninety ways to type a prescription: each is read to what it says or left open, never to something else."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from explain.draft.typed_text import read_text

VARIANTS = yaml.safe_load((Path(__file__).parent / "variants.yaml").read_text(encoding="utf-8"))


def short(path):
    return path.rpartition(".")[2]


@pytest.mark.parametrize("variant", VARIANTS, ids=lambda variant: variant["text"][:40])
def test_a_variant_is_read_to_what_it_says_or_left_open(variant):
    taken = read_text(variant["text"])

    assert {short(path): value for path, value in taken.values.items()} == variant["values"]
    assert sorted(map(short, taken.questions)) == variant.get("asks", [])
    assert len(taken.warnings) == variant.get("warns", 0)


@pytest.mark.parametrize(
    "text",
    ["OD -3.00 OS -3.25 BC 8.6 DIA 14.2", "R -3,00 8,6 14,2\nL -3,25 8,6 14,2", "OD -3.00\nOS -3.25\nB.C.: 8.4"],
)
def test_the_power_of_a_contact_lens_is_never_that_of_glasses(text):
    taken = read_text(text)

    assert not {"prescription.right", "prescription.left"} & set(taken.values)


def test_glasses_are_read_where_contact_lenses_are_only_spoken_of():
    taken = read_text("I usually wear contacts.\nGlasses: OD -3.00 OS -3.25 PD 62")

    assert taken.values["prescription.left"] == "-3.25 DS"
