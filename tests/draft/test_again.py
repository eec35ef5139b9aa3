"""An earlier order once more: what is kept, what moves to previous, what is asked for, and what stays behind."""

from __future__ import annotations

import re

import pytest
import yaml

from explain.cli import main
from explain.draft.again import read_earlier
from explain.draft.eye_lines import eye_line
from explain.draft.taken import DraftError
from explain.order import OrderError, read_order, read_shop
from explain.order.order import read_plan
from explain.order.typed import TypedEye
from tests.story.invented import copy_demo

LEFT_BEHIND = ("checked", "accepted", "total", "paid", "balance", "price")


@pytest.fixture
def orders(tmp_path, monkeypatch):
    """The demo orders, in a folder in which we stand."""
    monkeypatch.chdir(tmp_path)
    return copy_demo(tmp_path / "orders")


def test_frame_fit_lenses_and_name_stay_as_they_were_typed(orders, demo_order):
    old = yaml.safe_load(demo_order.read_text(encoding="utf-8"))

    assert main(["draft", "--order", "NEW-1", "--again", demo_order.stem]) == 0

    new = yaml.safe_load((orders / "NEW-1.yaml").read_text(encoding="utf-8"))
    for name in ("for", "frame", "lenses", "use", "wearer"):
        assert new.get(name) == old.get(name), name
    for name in ("pd", "near-pd", "heights"):
        assert new["prescription"].get(name) == old["prescription"].get(name), name
    assert [name for name in LEFT_BEHIND if new.get(name) is not None] == []


def test_the_old_powers_move_to_previous_and_the_new_ones_are_asked_for(orders, demo_order):
    main(["draft", "--order", "NEW-1", "--again", demo_order.stem])
    shop = read_shop(orders / "shop.yaml")
    old = read_order(orders / demo_order.name, shop).order
    new = yaml.safe_load((orders / "NEW-1.yaml").read_text(encoding="utf-8"))

    for side in ("right", "left"):
        eye = getattr(old, side)
        assert new["previous"].get(side) == (eye and eye_line(TypedEye(eye.power, eye.prisms)))
    assert new["previous"]["design"] == old.lenses.design
    with pytest.raises(OrderError) as caught:
        read_plan(orders / "NEW-1.yaml", shop)
    add = {"prescription.add"} if old.lenses.design in ("progressive", "bifocal", "reading") else set()
    assert {fault.key for fault in caught.value.faults} == {"prescription.right", "prescription.left", *add}


def test_with_a_new_prescription_nothing_is_left_to_type_but_the_bill(orders, capsys):
    assert main(["draft", "--order", "NEW-1", "--again", "orders/QH-2105.yaml", "R +1.75 L +2.00 add 2.50"]) == 0

    assert "0 lines in it to type" in capsys.readouterr().out
    text = (orders / "NEW-1.yaml").read_text(encoding="utf-8")
    (orders / "NEW-1.yaml").write_text(
        re.sub(r"^# price:.*$", "price: [{item: Lenses, amount: 80.00}]", text, flags=re.MULTILINE), encoding="utf-8"
    )
    order = read_order(orders / "NEW-1.yaml", read_shop(orders / "shop.yaml")).order
    assert (order.right.power.sphere_dpt, order.left.add_dpt) == (1.75, 2.5)
    assert (order.previous.right.power.sphere_dpt, order.previous.right.add_dpt) == (1.5, 2.25)


def test_a_faulty_earlier_order_starts_nothing(orders, capsys):
    (orders / "QH-2101.yaml").write_text("order: X\n", encoding="utf-8")

    assert main(["draft", "--order", "NEW-1", "--again", "QH-2101"]) == 2

    assert not (orders / "NEW-1.yaml").exists()
    assert "The earlier order has faults" in capsys.readouterr().err


@pytest.mark.parametrize("again", ["NOWHERE", "nowhere/at-all.yaml", "\0.yaml", "../orders/shop.yaml"])
@pytest.mark.usefixtures("orders")
def test_an_earlier_order_that_is_not_there_is_said(capsys, again):
    assert main(["draft", "--order", "NEW-1", "--again", again]) == 2
    assert ".yaml:" in capsys.readouterr().err


@pytest.mark.usefixtures("orders")
def test_nothing_to_start_from_is_said(capsys):
    assert main(["draft", "--order", "NEW-1"]) == 2
    assert "nothing to start from" in capsys.readouterr().err


def test_a_traced_order_is_carried_on_only_beside_its_trace(orders, tmp_path):
    with pytest.raises(DraftError, match="lies beside it"):
        read_earlier(orders / "QH-2107.yaml", tmp_path)
