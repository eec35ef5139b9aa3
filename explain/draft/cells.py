"""A table (CSV) as rows of cells: which sign parts the cells, which the decimals, found out and said."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence

from msgspec import Struct

from explain.draft.taken import DraftError
from explain.order import limits

DELIMITERS = {"\t": "tabs", ";": "semicolons", ",": "commas", "|": "bars"}
MOST_ROWS = limits.TABLE_ROWS
LONGEST_CELL = limits.TABLE_CELL
SAYS_DELIMITER = re.compile(r"\s*\"?sep=([\t;,|])\"?[\t;,| ]*(?=[\r\n])", re.IGNORECASE)
"""A first line in which a spreadsheet says what parts its cells."""
KEPT_AS_TEXT = re.compile(r"""=\s*"([^"]*)"|'([^']+)""")
WITH_COMMA = re.compile(r"\s*[+\-\u2212\u2013]?\s*[0-9]+,[0-9]{1,3}\s*")
WITH_POINT = re.compile(r"\s*[+\-\u2212\u2013]?\s*[0-9]+\.[0-9]{1,3}\s*")


class Table(Struct, frozen=True):
    """Headings and rows, counted from 1 with the headings as a spreadsheet does.

    rows hold as many cells as there are headings, numbers with a decimal point; numbers: their rows in a spreadsheet.
    shown: the headings as they are written. said: how it was read.
    """

    headings: tuple[str, ...]
    shown: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...]
    decimal_comma: bool
    said: str


def table_of(text: str, known: Sequence[str], name: str) -> Table:
    r"""The table in a text. known: the headings that are looked for. Raises DraftError.

    >>> table_of("Order;Sph R\nA-1;-1,25\n", ["Order"], "orders.csv").said
    'Read with semicolons between the cells and a comma in the numbers.'
    """
    text = text.removeprefix("\ufeff")
    said_first = SAYS_DELIMITER.match(text)
    delimiter = said_first[1] if said_first else _delimiter(text, known)
    rest_of_text = text[said_first.end() :].lstrip("\r\n") if said_first else text  # a spreadsheet shows no row for it
    lines = _lines(rest_of_text, delimiter, name)
    if len(lines) < 2:
        raise DraftError(
            f"{name}: there is no row below the headings.\nThe first row holds the headings.\nAdd the orders below it."
        )
    if len(lines) - 1 > MOST_ROWS:
        raise DraftError(
            f"{name}: there are {len(lines) - 1} rows.\nAt most {MOST_ROWS} are read at once.\nSplit the table."
        )
    (_, headings), *rest = lines
    headings = _without_empty_end(headings)
    width = len(headings)
    _refuse_ragged(rest, width, name)
    rows = tuple(tuple(_as_meant(cell) for cell in row[:width]) + ("",) * (width - len(row)) for _, row in rest)
    comma, words = _decimals(rows, name)
    if comma:
        rows = tuple(tuple(_with_point(cell) for cell in row) for row in rows)
    said = f"Read with {DELIMITERS[delimiter]} between the cells and {words} in the numbers."
    shown = tuple(" ".join(one.split()) for one in headings)
    return Table(tuple(map(plain_heading, shown)), shown, rows, tuple(number for number, _ in rest), comma, said)


def _without_empty_end(headings: list[str]) -> list[str]:
    """Headings without the empty ones that a spreadsheet leaves at the end of a row."""
    filled = [at for at, heading in enumerate(headings) if heading.strip()]
    return headings[: filled[-1] + 1]


def _as_meant(cell: str) -> str:
    """A cell without what a spreadsheet writes to keep a text as it is: ="..." round it, or ' before it.

    >>> _as_meant('="A-0001"'), _as_meant("'-3,25 ")
    ('A-0001', '-3,25')
    """
    kept = KEPT_AS_TEXT.fullmatch(cell.strip())
    return (kept[1] or kept[2] or "").strip() if kept else cell.strip()


def _with_point(cell: str) -> str:
    return cell.replace(",", ".") if WITH_COMMA.fullmatch(cell) else cell


def plain_heading(text: str) -> str:
    """A heading as it is compared: small letters, single spaces.

    >>> plain_heading(" Sph  R ")
    'sph r'
    """
    return " ".join(text.split()).casefold()


def _delimiter(text: str, known: Sequence[str]) -> str:
    """The sign that makes the most known headings of the first line; among equals the one that makes most cells."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    looked_for = {plain_heading(heading) for heading in known}

    def found(delimiter: str) -> tuple[int, int]:
        cells = [plain_heading(cell.strip('" ')) for cell in first.split(delimiter)]
        return sum(cell in looked_for for cell in cells), len(cells)

    return max(DELIMITERS, key=found)


def _lines(text: str, delimiter: str, name: str) -> list[tuple[int, list[str]]]:
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error as error:
        raise DraftError(
            f"{name}: this is not a whole table ({error}).\n"
            "A quotation mark that is opened in a cell is closed in it.\nSave it again as CSV."
        ) from None
    numbered = [(number, row) for number, row in enumerate(rows, 1) if any(cell.strip() for cell in row)]
    longest = max((len(cell) for _, row in numbered for cell in row), default=0)
    if longest > LONGEST_CELL:
        raise DraftError(
            f"{name}: a cell holds {longest} letters.\nAt most {LONGEST_CELL} fit.\n"
            "Look for a quotation mark that is not closed."
        )
    return numbered


def _refuse_ragged(rows: Sequence[tuple[int, list[str]]], width: int, name: str) -> None:
    wide = [number for number, row in rows if any(cell.strip() for cell in row[width:])]
    if wide:
        raise DraftError(
            f"{name}, row {wide[0]}: there are more cells than headings.\n"
            "A cell that holds the sign between the cells stands in quotation marks.\nCorrect it, or add a heading."
        )


def _decimals(rows: Sequence[Sequence[str]], name: str) -> tuple[bool, str]:
    commas = sum(bool(WITH_COMMA.fullmatch(cell)) for row in rows for cell in row)
    points = sum(bool(WITH_POINT.fullmatch(cell)) for row in rows for cell in row)
    if commas and points:
        raise DraftError(
            f"{name}: {commas} numbers have a comma and {points} a point.\n"
            "One table has one decimal sign, so that 1,250 is not read for 1.250.\nWrite all numbers the same way."
        )
    return bool(commas), "a comma" if commas else "a point"
