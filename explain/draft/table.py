"""A table of orders: each row an order, as the shop file says which column holds what. All rows are drafted, or none.

Every cell is tried by the reader of orders itself, so a fault is the one a check would find, told with row and column.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path

from msgspec import Struct

from explain.draft.cells import Table, plain_heading, table_of
from explain.draft.eye_lines import eye_line
from explain.draft.taken import SIDES, DraftError, Taken, Value
from explain.draft.writing import open_paths, order_text
from explain.order import limits
from explain.order.additions import read_add
from explain.order.columns import PRICE
from explain.order.faults import Fault, Remark, UnclearError
from explain.order.keys import ORDER_KEYS
from explain.order.model import Shop
from explain.order.numbers import cut
from explain.order.order import faults_in, is_order_number
from explain.order.tokens import NO_CYLINDER
from explain.order.typed import read_eye

MOST_FAULTS = limits.TABLE_FAULTS
EYE_PARTS = ("sphere", "cylinder", "axis", "prism")
NO_COLUMNS = (
    "The shop file does not say which column of a table holds what.\nIt says so under csv.\n"
    "Add it, for example:   csv: {columns: {Order: order, Sph R: prescription.right.sphere}}"
)


class Row(Struct, frozen=True):
    """One order of a table, with its number, for its own file."""

    number: str
    taken: Taken


class _Cell(Struct, frozen=True):
    heading: str
    target: str
    text: str


def read_table(text: str, name: str, shop: Shop, folder: Path, today: date) -> list[Row]:
    """The orders of a table. Raises DraftError with every faulty cell of every row, and then drafts none."""
    if not shop.csv_columns:
        raise DraftError(NO_COLUMNS)
    table = table_of(text, [heading for heading, _ in shop.csv_columns], name)
    columns = _columns(table, shop, name)
    faults: list[str] = []
    rows: list[Row] = []
    for number, cells in zip(table.numbers, table.rows, strict=True):
        row = [_Cell(heading, target, cells[at]) for at, heading, target in columns]
        read = _Reading(row, f"{name}, row {number}", shop, decimal_comma=table.decimal_comma)
        faults += read.faults(folder, today, [one.number for one in rows])
        if len(faults) > MOST_FAULTS:
            break
        rows.append(Row(read.number, read.taken()))
    if faults:
        raise DraftError(_together(faults))
    return [_with_note(rows[0], table, columns), *rows[1:]]


def _with_note(row: Row, table: Table, columns: Sequence[tuple[int, str, str]]) -> Row:
    """How the table was read is said once, at the first order."""
    used = {at for at, _, _ in columns}
    unused = [cut(heading)[1:-1] for at, heading in enumerate(table.shown) if at not in used and heading]
    notes = (table.said, *([f"Columns not used: {', '.join(unused)}."] if unused else []))
    return Row(row.number, Taken(notes=notes).over(row.taken))


def _columns(table: Table, shop: Shop, name: str) -> list[tuple[int, str, str]]:
    """Place, heading and key of each column that is there, in the order of the shop file."""
    places = {heading: at for at, heading in enumerate(table.headings) if heading}
    columns = [
        (places[plain_heading(one)], one, target) for one, target in shop.csv_columns if plain_heading(one) in places
    ]
    if "order" not in (target for _, _, target in columns):
        wanted = next((heading for heading, target in shop.csv_columns if target == "order"), "Order")
        raise DraftError(
            f"{name}: no column holds the number of the order.\n"
            f"The headings are: {', '.join(cut(one)[1:-1] for one in table.shown[:20])}.\n"
            f"Name one {wanted}, or say in the shop file which it is:   csv: {{columns: {{Order: order}}}}"
        )
    twice = next((one for one in table.headings if one and table.headings.count(one) > 1), "")
    if twice:
        raise DraftError(
            f"{name}: the heading {cut(twice)} stands twice.\nEach heading stands once.\nRename one of them."
        )
    return columns


class _Reading:
    """One row: its cells by key, tried as an order."""

    def __init__(self, cells: Sequence[_Cell], place: str, shop: Shop, *, decimal_comma: bool) -> None:
        self._cells, self._place, self._shop, self._comma = cells, place, shop, decimal_comma
        self._values = dict(self._by_key())
        self.number = str(self._values.get("order", ""))

    def taken(self) -> Taken:
        """What goes into the order; eyes as one line, where they can be read."""
        values, warnings = dict(self._values), list[Remark]()
        for side in SIDES:
            path = f"prescription.{side}"
            line = _as_line(values.get(path))
            if line:
                try:
                    eye = read_eye(line, f"the {side} eye", side)
                except UnclearError:
                    continue
                values[path] = eye_line(eye)
                warnings += eye.remarks
        add = values.get("prescription.add")
        if isinstance(add, str):
            values["prescription.add"] = _plain_add(add)
        questions = {"for": _whole_name()} if self._is_whole_name() else {}
        return Taken(
            {path: value for path, value in values.items() if path not in questions}, questions, tuple(warnings)
        )

    def faults(self, folder: Path, today: date, earlier: Sequence[str]) -> list[str]:
        """Every fault of the row, each with its column, what is allowed and what to do."""
        found = list(self._faults_of_number(folder, earlier))
        halves = dict(self._half_filled())
        found += [self._told("", remark) for remark in halves.values()]
        start = Taken({"order": "A", "date": today.isoformat()})
        raw = Taken({path: value for path, value in self._values.items() if path != "order"}).over(start)
        text, left_open = order_text(raw, "a table"), set(open_paths(raw))
        faults = [
            fault
            for fault in faults_in(text, folder / "table.yaml", self._shop)
            if fault.key not in {*left_open, *halves}
        ]
        found += [
            self._told(self._heading_of(fault), Remark(fault.message, fault.allowed, fault.advice)) for fault in faults
        ]
        return list(dict.fromkeys(found))

    def _by_key(self) -> Iterator[tuple[str, Value]]:
        for target in dict.fromkeys(cell.target for cell in self._cells):
            cells = [cell for cell in self._cells if cell.target == target]
            _path, _, part = _eye_part(target)
            if target == PRICE:
                lines = tuple({"item": cell.heading, "amount": self._amount(cell.text)} for cell in cells if cell.text)
                yield from [("price", lines)] if lines else []
            elif part and part != "add":
                continue
            elif any(cell.text for cell in cells):
                yield target, _joined(target, [cell.text for cell in cells if cell.text])
        for side in SIDES:
            yield from self._eye(f"prescription.{side}")
            yield from self._eye(f"previous.{side}")
            yield from self._eye(f"checked.{side}")

    def _eye(self, path: str) -> Iterator[tuple[str, Value]]:
        parts = {
            cell.target[len(path) + 1 :]: cell.text
            for cell in self._cells
            if cell.target.startswith(f"{path}.") and cell.text
        }
        prism = {name.partition(".")[2]: text for name, text in parts.items() if name.startswith("prism.")}
        whole: dict[str, Value] = {name: text for name, text in parts.items() if not name.startswith("prism.")}
        if prism:
            whole["prism"] = dict(prism)
        if whole:
            yield path, whole

    def _amount(self, text: str) -> str:
        return text.replace(".", "").replace(",", ".") if self._comma and "," in text else text

    def _half_filled(self) -> Iterator[tuple[str, Remark]]:
        for target in dict.fromkeys(cell.target for cell in self._cells if cell.target != PRICE):
            cells = [cell for cell in self._cells if cell.target == target]
            empty = [cell.heading for cell in cells if not cell.text]
            if empty and len(empty) < len(cells) and ORDER_KEYS[target].kind == "distance":
                filled = next(cell.heading for cell in cells if cell.text)
                told = f"{filled} is filled in and {empty[0]} is not"
                yield target, Remark(told, "Both eyes are measured, or neither is.", "Fill in both.")

    def _faults_of_number(self, folder: Path, earlier: Sequence[str]) -> Iterator[str]:
        heading = next(cell.heading for cell in self._cells if cell.target == "order")
        key = ORDER_KEYS["order"]
        if not is_order_number(self.number):
            yield self._told(
                heading, Remark(f"{cut(self.number)} cannot be the number of an order", key.allowed, "Type a number.")
            )
        elif self.number.casefold() in (number.casefold() for number in earlier):
            yield self._told(
                heading, Remark(f"{self.number} stands in an earlier row too", key.allowed, "Give each order its own.")
            )
        elif (folder / f"{self.number}.yaml").exists():
            there = (folder / f"{self.number}.yaml").as_posix()
            yield self._told(
                heading, Remark(f"{there} is there already", "A draft never replaces a file.", "Take the row out.")
            )

    def _is_whole_name(self) -> bool:
        name = self._values.get("for")
        return isinstance(name, str) and len(re.split(r"[\s,;]+", name.strip())) > 1

    def _heading_of(self, fault: Fault) -> str:
        """The column of a fault: that of its key, or the first filled one below it; of several, the one it quotes."""
        key = PRICE if fault.key.startswith("price") else fault.key
        cells = [cell for cell in self._cells if cell.target == key and (cell.text or key != PRICE)]
        cells = cells or [cell for cell in self._cells if cell.target.startswith(f"{fault.key}.") and cell.text]
        quoted = [cell for cell in cells if cell.text and cut(self._amount(cell.text)) in fault.message]
        return (quoted or cells)[0].heading if cells else ""

    def _told(self, heading: str, remark: Remark) -> str:
        column = f", column {heading}" if heading else ""
        return "\n  ".join(
            part for part in (f"{self._place}{column}: {remark.message}", remark.allowed, remark.advice) if part
        )


def _eye_part(target: str) -> tuple[str, str, str]:
    """The eye a key is a part of, and the part; empty for any other key."""
    found = re.fullmatch(r"((?:prescription|previous|checked)\.(?:right|left))(\.)(.+)", target)
    return (found[1], found[2], found[3]) if found else (target, "", "")


def _joined(target: str, texts: Sequence[str]) -> Value:
    kind = ORDER_KEYS[target].kind
    if kind == "list":
        return tuple(part.strip() for text in texts for part in re.split(r"[,;]", text) if part.strip())
    return {"distance": " / ", "text": "-" if target == "frame.size" else " "}.get(kind, " ").join(texts)


def _as_line(value: Value | None) -> str:
    """An eye in parts as one labelled line; one that is a line already as it is."""
    if isinstance(value, str):
        return value
    if not isinstance(value, Mapping):
        return ""
    words = {name: value[name] for name in EYE_PARTS if name in value and not _is_no_cylinder(name, value[name])}
    prism = words.get("prism")
    if isinstance(prism, Mapping):
        words["prism"] = f"{prism.get('amount', '')} {prism.get('base', '')}"
    return " ".join(f"{name} {text}" for name, text in words.items())


def _is_no_cylinder(name: str, value: Value) -> bool:
    """True for words such as DS in the place of a cylinder, which a line says by leaving it out."""
    return name == "cylinder" and isinstance(value, str) and value.strip().lower() in NO_CYLINDER


def _plain_add(text: str) -> Value:
    """One addition with two places; two, or none that can be read, as they are."""
    try:
        add, _ = read_add(text, "the pair")
    except UnclearError:
        return text
    return f"{add:.2f}"


def _whole_name() -> Remark:
    return Remark(
        "the table gives a whole name",
        "The page calls the customer by a first name.",
        "Type it, for example:   for: Odile",
    )


def _together(faults: Sequence[str]) -> str:
    more = ["and more in the rows below"] if len(faults) > MOST_FAULTS else []
    count = f"More than {MOST_FAULTS} faults" if more else f"{len(faults)} fault{'' if len(faults) == 1 else 's'}"
    closing = f"{count} in the table; no order was written. Correct the table and run this again."
    return "\n\n".join([*faults[:MOST_FAULTS], *more, closing])
