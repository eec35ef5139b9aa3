"""Links: what to send for each published order, as a table to read, as JSON, or as CSV for a mail merge."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from explain.site.desk.rows import LED_ON, OPEN, RETIRED, SHOP_NAME, Row, desk_rows

COLUMNS = ("order", "first_name", "link", "follow_up", "subject", "message")
HEADINGS = ("Order", "First name", "Link", "Call on")


class Links(Struct, frozen=True):
    """Orders that have something to send, newest first; remarks: why the others have not, in words.

    is_faulty: a file among them has faults or is not there.
    """

    rows: tuple[Row, ...]
    remarks: tuple[str, ...]
    is_faulty: bool


def links_of(files: Sequence[Path], out: Path) -> Links:
    """What to send for these order files, by the pages that are built in a folder."""
    there = [path for path in files if path.is_file()]
    rows = desk_rows(there, out)
    remarks = [f"{path.as_posix()}: there is no such file." for path in files if path not in there]
    if there and not rows:
        remarks.append(f"{(there[0].parent / SHOP_NAME).as_posix()}: is missing or has faults. See:   explain check")
    is_faulty = bool(remarks) or any(row.state == OPEN for row in rows)
    paths = {path.name: path for path in there}
    remarks += [_remark(row, paths[row.file]) for row in rows if row.message is None or row.state == OPEN]
    return Links(tuple(row for row in rows if row.message and row.state != OPEN), tuple(remarks), is_faulty)


def links_table(links: Links) -> str:
    """The links as lines for a terminal, each column as wide as it needs."""
    cells = [HEADINGS, *((row.number, row.first_name, row.link, _day(row) or "no date") for row in links.rows)]
    widths = [max(len(line[at]) for line in cells) for at in range(len(HEADINGS))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in cells
    )


def links_json(links: Links) -> str:
    """The links as a JSON list of objects; a day that is not known is null."""
    return json.dumps([_fields(row) | {"follow_up": _day(row)} for row in links.rows], indent=1, ensure_ascii=False)


def links_csv(links: Links) -> str:
    """The links as CSV with a heading for each column; a day that is not known is empty."""
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows({name: _no_formula(text) for name, text in _fields(row).items()} for row in links.rows)
    return text.getvalue()


def _fields(row: Row) -> dict[str, str | None]:
    assert row.message is not None  # noqa: S101  links_of leaves those out
    values = (row.number, row.first_name, row.link, _day(row) or "", row.message.subject, row.message.text)
    return dict(zip(COLUMNS, values, strict=True))


def _no_formula(text: str | None) -> str | None:
    """A cell that a spreadsheet takes for words: with an apostrophe before a sign that would start a formula.

    >>> _no_formula("=1+1"), _no_formula("Odile")
    ("'=1+1", 'Odile')
    """
    return f"'{text}" if text and text.startswith(("=", "+", "-", "@", "\t", "\r")) else text


def _day(row: Row) -> str | None:
    return None if row.follow_up is None else row.follow_up.isoformat()


def _remark(row: Row, file: Path) -> str:
    if row.state == OPEN:
        return f"{row.number}: has faults. See:   explain check {file.as_posix()}"
    if row.state == RETIRED:
        on = f" on {row.goes_on}" if row.goes_on else ""
        return f"{row.number}: its page was put away{on}. To bring it back:   explain retire {row.number} --undo"
    if row.state == LED_ON:
        return f"{row.number}: its page leads on to {row.led_to}. Send that link instead."
    if row.address is None:
        return f"{row.number}: has no page yet. Write it:   explain build"
    return f"{row.number}: its page is in {row.link}, but the shop file has no web-address to make a link of it."
