"""Health records: the published examples, records made by somebody else's library, every trap, and no stumbling."""

from __future__ import annotations

import copy
import json
import random
from datetime import date
from decimal import Decimal

import pytest
from fhir.resources.R4B.visionprescription import VisionPrescription as PrescriptionR4B
from fhir.resources.visionprescription import VisionPrescription as PrescriptionR5
from hypothesis import given, settings
from hypothesis import strategies as st

from explain.draft.fhir import read_record
from explain.draft.sources import source_of
from explain.draft.start import Wish, drafts_from
from explain.draft.taken import DraftError
from explain.draft.understood import findings, sentences
from explain.order.typed import read_eye
from tests.conftest import REPOSITORY
from tests.order.test_typed import AXES, CYLINDERS, QUARTERS

FOLDER = REPOSITORY / "tests" / "data" / "fhir"
EXAMPLE = json.loads((FOLDER / "r4_glasses_33123.json").read_text(encoding="utf-8"))
READ = {
    "prescription.right": "-2.00 DS prism 0.5 down",
    "prescription.left": "-1.00 -0.50 x 180 prism 0.5 up",
    "prescription.add": "2.00",
}


def read(record):
    return read_record(json.dumps(record), "a record")


def record_with(right=None, left=None, **changes):
    """The published example with some elements of a lens or of the whole changed; None takes one out."""
    record = copy.deepcopy(EXAMPLE)
    for lens, change in zip(record["lensSpecification"], (right or {}, left or {}), strict=True):
        lens.update(change)
        for name in [name for name, value in lens.items() if value is None]:
            del lens[name]
    record.update(changes)
    return record


def asked(record):
    return {path.rpartition(".")[2] for path in read(record).questions}


@pytest.mark.parametrize("name", ["r4_glasses_33123", "before_r4_glasses_33123"])
def test_the_published_examples_are_read(name):
    taken = read_record((FOLDER / f"{name}.json").read_text(encoding="utf-8"), name)

    assert (taken.values, taken.questions, taken.warnings) == (READ, {}, ())
    assert ("older edition" in " ".join(taken.notes)) == name.startswith("before")


@pytest.mark.parametrize("edition", [PrescriptionR4B, PrescriptionR5])
def test_the_example_is_valid_by_a_library_of_others(edition):
    assert edition.model_validate(EXAMPLE).lensSpecification[1].axis == 180


def test_a_record_that_is_not_active_is_left_open_and_says_what_it_holds():
    taken = read_record((FOLDER / "r4_profile_draft_glasses.json").read_text(encoding="utf-8"), "draft")

    assert set(taken.questions) == {"prescription.right", "prescription.left"}
    assert taken.questions["prescription.right"].advice.endswith("right: -2.00 prism 0.5 down")
    assert "prescription.add" not in taken.values


@pytest.mark.parametrize("status", ["cancelled", "entered-in-error"])
def test_a_record_that_was_called_back_starts_nothing(status):
    with pytest.raises(DraftError, match=status):
        read(record_with(status=status))


@pytest.mark.parametrize("wrap", [
    lambda record: {"resourceType": "Bundle", "entry": [{"resource": {"x": "Patient"}}, {"resource": record}]},
    lambda record: [record],
    lambda record: {"resourceType": "DeviceRequest", "contained": [record]},
])  # fmt: skip
def test_a_record_is_found_inside_others(wrap):
    assert read(wrap(EXAMPLE)).values == READ


TRAPS = {
    "a cylinder without an axis": (record_with(left={"axis": None}), {"left"}),
    "no sphere": (record_with(right={"sphere": None}), {"right"}),
    "power in place of sphere": (record_with(right={"sphere": None, "power": -2.0}), {"right"}),
    "a number as text": (record_with(right={"sphere": "-2.00"}), {"right"}),
    "a truth value": (record_with(right={"sphere": True}), {"right"}),
    "an axis beyond half a turn": (record_with(left={"axis": 190}), {"left"}),
    "an axis below minus half a turn": (record_with(left={"axis": -181}), {"left"}),
    "another name for the eye": (record_with(right={"eye": "OD"}), {"right", "left"}),
    "capitals": (record_with(right={"eye": "Right"}), {"right", "left"}),
    "no product": (record_with(right={"product": None}), {"right"}),
    "a foreign product": (record_with(right={"product": {"coding": [{"code": "spectacles"}]}}), {"right"}),
    "a prism without a base": (record_with(right={"prism": [{"amount": 0.5}]}), {"right"}),
    "a prism with a base in degrees": (record_with(right={"prism": [{"amount": 0.5, "base": "90"}]}), {"right"}),
    "a prism below nothing": (record_with(right={"prism": [{"amount": -0.5, "base": "up"}]}), {"right"}),
    "an addition below nothing": (record_with(left={"add": -2.0}), {"add"}),
    "a power that no lens has": (record_with(right={"sphere": 75.1}), {"right"}),
    "two pairs": (EXAMPLE | {"lensSpecification": EXAMPLE["lensSpecification"] * 2}, {"right", "left"}),
    "one eye": (EXAMPLE | {"lensSpecification": EXAMPLE["lensSpecification"][:1]}, {"left"}),
    "no lens": (EXAMPLE | {"lensSpecification": []}, {"right", "left"}),
    "a lens that is no group": (EXAMPLE | {"lensSpecification": ["right"]}, {"right", "left"}),
    "an unknown status": (record_with(status="on-hold"), {"right", "left"}),
    "an extension that changes the meaning": (record_with(modifierExtension=[{"url": "x"}]), {"right", "left"}),
    "the same at one lens": (record_with(right={"modifierExtension": [{"url": "x"}]}), {"right"}),
}


@pytest.mark.parametrize("trap", TRAPS)
def test_what_must_not_be_guessed_is_asked_about(trap):
    record, sides = TRAPS[trap]

    assert asked(record) == sides


def test_contact_lenses_are_left_out_and_said():
    contact = {"product": {"coding": [{"code": "contact"}]}, "eye": "right", "power": -1.75}
    taken = read(EXAMPLE | {"lensSpecification": [contact, *EXAMPLE["lensSpecification"]]})

    assert taken.values == READ
    assert "contact lenses" in " ".join(taken.notes)


@pytest.mark.parametrize(("axis", "turned"), [(0, "180"), (-10, "170"), (-180, "180"), (1, "1"), (180, "180")])
def test_an_axis_is_brought_to_the_usual_half_turn_and_said(axis, turned):
    taken = read(record_with(left={"axis": axis}))

    assert taken.values["prescription.left"].startswith(f"-1.00 -0.50 x {turned} ")
    assert any("is the same as" in note for note in taken.notes) == (axis <= 0)


def test_a_lost_point_and_an_odd_step_are_warned_about():
    assert "decimal point" in read(record_with(right={"sphere": -75})).warnings[0].allowed
    assert "step" in read(record_with(right={"sphere": -2.1})).warnings[0].message


def test_an_eye_in_a_coded_object_and_another_address_of_the_list_are_read():
    coded = {"coding": [{"system": "http://hl7.org/fhir/ex-visionprescriptionproduct", "code": "lens"}]}

    assert (
        read(record_with(right={"eye": {"coding": [{"code": "right"}]}, "product": coded}, intent="order")).values
        == READ
    )


def test_nothing_about_the_patient_reaches_the_order():
    record = record_with(
        patient={"reference": "Patient/777", "display": "Odile Secret"}, prescriber={"display": "Dr Secret"},
        contained=[{"resourceType": "Patient", "name": [{"family": "Secret"}]}], identifier=[{"value": "Secret-15013"}],
        right={"note": [{"text": "Secret hard coating"}]}, text={"status": "generated", "div": "Secret -9.00"},
    )  # fmt: skip
    source = source_of(json.dumps(record), None)
    (draft,) = drafts_from(source, Wish("A-1"), date(2026, 10, 2))

    assert draft.taken.values["prescription.right"] == READ["prescription.right"]
    assert "Secret" not in draft.text
    assert "777" not in draft.text
    assert "for" in draft.open_paths


@settings(max_examples=60)
@given(QUARTERS, CYLINDERS, AXES, st.sampled_from([PrescriptionR4B, PrescriptionR5]))
def test_a_record_made_by_a_library_of_others_reads_back_to_its_powers(sphere, cylinder, axis, edition):
    record = record_with(left={"sphere": Decimal(str(sphere)), "cylinder": Decimal(str(-cylinder)), "axis": axis})
    taken = read_record(edition.model_validate(record).model_dump_json(), "made")
    power = read_eye(taken.values["prescription.left"]).power

    assert (power.sphere_dpt, power.cylinder_dpt, power.axis_deg) == (sphere, -cylinder, axis)
    assert taken.values["prescription.right"] == READ["prescription.right"]


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("{", "not whole JSON"),
        ('{"resourceType": "Patient"}', "no prescription"),
        ("[" * 60 + "]" * 60, "more than 50 brackets"),
        ('{"resourceType": "VisionPrescription", "status": NaN}', "NaN"),
        ('{"resourceType": "VisionPrescription", "status": "active", "status": "draft"}', "twice"),
        (json.dumps([EXAMPLE, EXAMPLE]), "2 prescriptions"),
        ("3", "no prescription"),
    ],
)
def test_a_record_that_cannot_be_used_says_why(text, word):
    with pytest.raises(DraftError, match=word) as caught:
        read_record(text, "received.json")
    assert len(str(caught.value).splitlines()) == 3


def test_two_thousand_spoilt_records_are_read_asked_about_or_refused_in_words():
    chance = random.Random(20261125)  # noqa: S311  repeatable spoiling, nothing secret
    text = json.dumps(EXAMPLE)
    refused = 0
    for _ in range(2000):
        letters = list(text)
        for _ in range(chance.randint(1, 4)):
            place = chance.randrange(len(letters))
            letters[place] = chance.choice([*'"{]9-e,', "null", "[]", "1e999", chr(chance.randrange(0x300))])
        try:
            taken = read_record("".join(letters), "spoilt")
        except DraftError:
            refused += 1
            continue
        assert {"prescription.right", "prescription.left"} <= {*taken.values, *taken.questions}
        assert [*sentences(taken), *findings(taken)]
    assert 0 < refused < 2000


WORDS = st.sampled_from(["right", "lens", "active", "up"])
NAMES = st.sampled_from(
    [
        *[
            "eye",
            "product",
            "coding",
            "code",
            "sphere",
            "cylinder",
            "axis",
            "prism",
            "amount",
            "base",
            "add",
            "note",
            "text",
        ]
    ]
)
SCRAPS = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5) | WORDS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(NAMES, inner, max_size=5),
    max_leaves=12,
)


@given(st.lists(SCRAPS, max_size=3), SCRAPS)
def test_any_lens_is_read_or_asked_about(lenses, status):
    record = {
        "resourceType": "VisionPrescription",
        "status": status,
        "lensSpecification": lenses,
        "dateWritten": status,
    }
    try:
        taken = read_record(json.dumps(record), "scraps")
    except DraftError:
        return
    assert {"prescription.right", "prescription.left"} <= {*taken.values, *taken.questions}
