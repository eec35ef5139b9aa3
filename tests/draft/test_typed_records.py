"""Every listed form of a typed prescription, inside a whole text: read, read with a warning, or asked about."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from explain.draft.eye_lines import add_value
from explain.draft.typed_text import read_text
from explain.order.distances import read_pd
from explain.order.typed import read_eye

RECORDS = yaml.safe_load((Path(__file__).parent.parent / "order" / "rx_as_typed.yaml").read_text(encoding="utf-8"))
AROUND = {
    "eye": "Right: {}\nLeft: plano\n",
    "pair": "{}",
    "add": "R plano\nL plano\nAdd {}",
    "pair_add": "R plano\nL plano\nAdd {}",
    "prism": "R plano\nL plano, prism {}",
    "pd": "R plano\nL plano\nPD {}",
    "axis": "R: sph -1.00 cyl -0.50 {}\nL: plano",
    "sphere": "R: {}\nL: plano",
    "base": "R: plano\nL: plano prism 2 {}",
}


def whole_text(record):
    """A record as it would stand in a letter."""
    typed = record["typed"]
    kind = typed.partition(":")[0] if record["of"] == "yaml line" else record["of"]
    if kind == "add" and "add" in typed.lower():
        return f"R plano\nL plano\n{typed}"
    if typed.startswith("left eye:"):
        return f"R plano\nL plano\n{typed}"
    return AROUND[kind].format(typed)


def expected_values(record):
    """What the order should hold, from what the record expects."""
    expect = record["expect"]
    adds = {side: expect.get(f"add_{side}", expect.get("add")) for side in ("right", "left")}
    adds = (
        {side: add or expect.get(side, {}).get("add") for side, add in adds.items()} if record["of"] == "pair" else adds
    )
    return {"add": add_value({side: add for side, add in adds.items() if add})}


def eye_of(values, side):
    eye = read_eye(values[f"prescription.{side}"], eye=side)
    if eye.is_balance:
        return {"balance": True}
    found = {"sphere": eye.power.sphere_dpt, "cylinder": eye.power.cylinder_dpt}
    found["axis"] = eye.power.axis_deg if eye.power.cylinder_dpt else None
    prisms = [{"amount": prism.amount_prism_dpt, "base": prism.base} for prism in eye.prisms]
    return found | ({"prism": prisms} if prisms else {})


def found_values(record, values):  # noqa: PLR0911  one way for each kind of record
    """What the order holds, in the words of the record."""
    expect, kind = record["expect"], record["of"]
    if kind == "pair":
        eyes = {side: eye_of(values, side) for side in ("right", "left")}
        add = {"add": float(values["prescription.add"])} if "prescription.add" in values else {}
        pd = {"pd_mm": float(values["prescription.pd"])} if "prescription.pd" in values else {}
        return {side: eye | add for side, eye in eyes.items()} | pd
    if kind == "eye":
        return eye_of(values, "right")
    if kind == "prism":
        return {"prism": eye_of(values, "left")["prism"]}
    if kind == "yaml line":
        return {name: eye_of(values, "right")[name] for name in expect}
    if kind == "pd":
        pd = read_pd(values["prescription.pd"])
        if not pd.was_split:
            return {"pd_right_mm": pd.right_mm, "pd_left_mm": pd.left_mm}
        return {"pd_mm": pd.right_mm * 2} | ({"near_pd_mm": pd.near.right_mm * 2} if pd.near else {})
    adds = values.get("prescription.add", "0")
    return {"add": float(adds)} if isinstance(adds, str) else {f"add_{side}": float(add) for side, add in adds.items()}


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record["id"])
def test_each_listed_form_is_read_warned_about_or_asked_about_in_a_whole_text(record):
    taken = read_text(whole_text(record))

    if record["outcome"] == "ask":
        assert taken.questions
        return
    assert {path: remark.message for path, remark in taken.questions.items()} == {}
    assert found_values(record, taken.values) == record["expect"]
    assert bool(taken.warnings) == (record["outcome"] == "warn"), [remark.message for remark in taken.warnings]
