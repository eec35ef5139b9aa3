"""Two thousand letters put together from the ways in which people write: none is ever read to another lens."""

from __future__ import annotations

import random

from explain.draft.typed_text import read_text
from explain.order.typed import read_eye

NAMES = [
    *("R|L", "R:|L:", "OD|OS", "OD:|OS:", "O.D.|O.S.", "RE|LE", "RA|LA", "OD|OI", "D:|G:", "Rt|Lt", "(R)|(L)", "R/|L/"),
    *("R=|L=", "R.E.|L.E.", "Right|Left", "Rechts:|Links:", "Right eye:|Left eye:", "Œil droit :|Œil gauche :"),
    *("Right (OD)|Left (OS)", "* R|* L", "1. OD|2. OS"),
]
WITH_CYLINDER = [
    "{s} {c} x {a}", "{s} / {c} x {a}", "{s}/{c}x{a}", "{s} {c} {a}", "{s} ({c}) {a}°", "sph {s} cyl {c} ax {a}",
    "SPH: {s} CYL: {c} AXIS: {a}", "{s} DS / {c} DC x {a}", "{s} sph {c} cyl {a} axis", "S {s} C {c} A {a}",
    "{s} cyl {c} axis {a}", "sph. {s} zyl. {c} A. {a}", "{s} | {c} | {a}", "{s}; {c}; {a}", "{s}, {c}, {a}",
    "{s} {c} X{a:03d}", "{s} {c} @ {a}",
]  # fmt: skip
SPHERE_ONLY = ["{s}", "{s} DS", "{s} sph", "sph {s}", "{s} / - / -", "{s} D", "Sph: {s} Cyl: - Axis: -", "{s} 0.00"]
BETWEEN = ["\n", " ", "; ", ", ", " / ", "\n\n", " | ", " and "]
ADDS = ["", "add {d}", "ADD: +{d}", "Add +{d} both", "Near add +{d}", "addition {d}", "Nahzusatz {d}", "+{d} add"]
PUPILS = ["", "PD 63", "PD: 63mm", "PD 31.5/31.5", "pd=63", "PD R 31.5 L 31.5", "63 PD", "Pupillary distance: 63"]
ENDS = ["", "\nThanks, Ann\nTel 01632 960 123", "\nDate: 12/03/2026", "\nexpires 5 May 2027", " Kind regards"]
MINUS = ["-", "\u2212", "\u2013", "- "]


def one_eye(chance, minus, mark):
    """The text of an eye in some form, and the sphere, cylinder and axis it stands for."""
    form = chance.choice(WITH_CYLINDER + SPHERE_ONLY)
    sphere, cylinder = (chance.choice((-1, 1)) * chance.randint(1, most) / 4 for most in (40, 16))
    axis = chance.randint(1, 180)
    typed = [f"{minus if power < 0 else '+'}{abs(power):.2f}".replace(".", mark) for power in (sphere, cylinder)]
    power = (sphere, cylinder, float(axis)) if "{c}" in form else (sphere, 0.0, None)
    return form.format(s=typed[0], c=typed[1], a=axis), power


def letter(chance):
    """A letter, and what it says: the power of each side, the addition, the pupils."""
    right_name, left_name = chance.choice(NAMES).split("|")
    minus, mark, between = chance.choice(MINUS), chance.choice(".,"), chance.choice(BETWEEN)
    (right, right_power), (left, left_power) = one_eye(chance, minus, mark), one_eye(chance, minus, mark)
    add = f"{chance.choice((1, 1.25, 2, 2.5, 3)):.2f}"
    add_form, pd_form = chance.choice(ADDS), chance.choice(PUPILS)
    beside = chance.choice(("\n", ", "))
    text = beside.join([f"{right_name} {right}{between}{left_name} {left}", add_form.format(d=add), pd_form])
    said = {"right": right_power, "left": left_power, "add": add if add_form else None}
    return text + chance.choice(ENDS), said, bool(pd_form)


def power_of(line, side):
    power = read_eye(line, eye=side).power
    return (power.sphere_dpt, power.cylinder_dpt, power.axis_deg if power.cylinder_dpt else None)


def test_a_letter_in_any_of_these_forms_is_read_to_its_lens_or_asked_about():
    chance = random.Random(20261125)  # noqa: S311  repeatable, nothing secret
    whole = 0
    for _ in range(2000):
        text, said, with_pd = letter(chance)
        taken = read_text(text)
        for side in ("right", "left"):
            line = taken.text(f"prescription.{side}")
            assert line is None or power_of(line, side) == said[side], text
        assert taken.values.get("prescription.add", said["add"] if taken.questions else None) == said["add"], text
        assert taken.values.get("prescription.pd", "63") in ("63", "31.5 / 31.5"), text
        assert with_pd == ("prescription.pd" in taken.values) or taken.questions, text
        whole += not taken.questions

    assert (
        whole >= 1700
    )  # the rest is asked about: a cylinder at a direction (@), and names set off by a slash and a dash
