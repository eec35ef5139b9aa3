"""An earlier order once more: frame, fit and lenses kept, the old powers moved to previous, new ones asked for.

The earlier order is read as any order is, so that nothing faulty is carried on. What was checked, accepted, paid and
charged belongs to that pair and stays there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from explain.draft.eye_lines import add_value, eye_line
from explain.draft.taken import SIDES, DraftError, Taken, Value
from explain.order import OrderError, read_order, read_shop
from explain.order.document import read_document
from explain.order.faults import Remark
from explain.order.keys import ORDER_KEYS
from explain.order.model import EyePrescription, Order
from explain.order.nodes import Group, Node, Series
from explain.order.nodes import Text as TypedText
from explain.order.pair import NEED_ADD
from explain.order.trace_file import is_file_name
from explain.order.typed import TypedEye

SHOP_NAME = "shop.yaml"
KEPT = ("for", "language", "frame", "lenses", "use", "wearer")
KEPT_OF_PRESCRIPTION = ("pd", "near-pd", "heights")


def earlier_path(given: str, folder: Path) -> Path:
    """The file of an earlier order, named by its path or its number."""
    path = Path(given)
    return path if path.suffix == ".yaml" or path.name != given else folder / f"{given}.yaml"


def read_earlier(path: Path, folder: Path) -> Taken:
    """What is carried on from an earlier order into one in a folder. Raises DraftError when it has faults."""
    try:
        order = read_order(path, read_shop(path.parent / SHOP_NAME)).order
        group, _ = read_document(path)
    except OrderError as error:
        raise DraftError(f"{error}\n\nThe earlier order has faults; nothing was written.") from None
    values = dict(_kept(group)) | dict(_previous(order))
    notes = [f"Frame, fit and lenses are those of order {order.number}; its bill and its check were not carried on."]
    outline = values.get("frame.outline")
    if isinstance(outline, str) and is_file_name(outline) and path.parent.resolve() != folder.resolve():
        raise DraftError(
            f"{path.as_posix()}: its trace file lies beside it, so the new order must lie there too.\n"
            "A trace file is named from the folder of the order.\n"
            f"Name that folder:   --to {(path.parent / 'NUMBER.yaml').as_posix()}"
        )
    return Taken(values, dict(_questions(order)), (), tuple(notes))


def _questions(order: Order) -> Iterator[tuple[str, Remark]]:
    for side in SIDES:
        yield f"prescription.{side}", _new_power(side)
    if order.lenses.design in NEED_ADD:
        key = ORDER_KEYS["prescription.add"]
        message = f"{order.lenses.design} lenses need an addition, and the new one is wanted"
        yield key.path, Remark(message, key.allowed, f"Type it, for example:   {key.example}")


def _new_power(side: str) -> Remark:
    return Remark(
        f"the new power of the {side} eye is wanted",
        "The old one stands under previous.",
        f"Type it, or none if no lens is ordered:   {side}: -3.25 -0.75 x 172",
    )


def _kept(group: Group) -> Iterator[tuple[str, Value]]:
    """The values that stay, exactly as they were typed, by their paths."""
    for name in KEPT:
        if name in group.entries:
            yield from _leaves(name, group.entries[name].value)
    prescription = group.entries["prescription"].value
    if isinstance(prescription, Group):
        for name in KEPT_OF_PRESCRIPTION:
            if name in prescription.entries:
                yield from _leaves(f"prescription.{name}", prescription.entries[name].value)


def _leaves(path: str, node: Node) -> Iterator[tuple[str, Value]]:
    if isinstance(node, Group):
        for entry in node.entries.values():
            yield from _leaves(f"{path}.{entry.name}", entry.value)
    else:
        yield path, _value(node)


def _value(node: Node) -> Value:
    if isinstance(node, TypedText):
        return node.text
    if isinstance(node, Series):
        return tuple(_value(item) for item in node.items)
    return {entry.name: _value(entry.value) for entry in node.entries.values()}


def _previous(order: Order) -> Iterator[tuple[str, Value]]:
    eyes: Mapping[str, EyePrescription | None] = {"right": order.right, "left": order.left}
    worn = {side: eye for side, eye in eyes.items() if eye is not None}
    for side, eye in worn.items():
        yield f"previous.{side}", eye_line(TypedEye(eye.power, eye.prisms))
    adds = add_value({side: eye.add_dpt for side, eye in worn.items() if eye.add_dpt is not None})
    if adds is not None:
        yield "previous.add", adds
    yield "previous.design", order.lenses.design
