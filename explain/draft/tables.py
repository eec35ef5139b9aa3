"""A prescription typed as a table: headings above columns, or one column for each eye, turned into labelled lines."""

from __future__ import annotations

import re
from collections.abc import Iterator

from explain.draft.labels import LABEL, bare_side
from explain.order.numbers import DIGITS

COLUMNS = {
    "sph": r"sph(?:ere|\u00e4re|\u00e8re|\.)?|sf\.?|esf(?:era)?\.?|power",
    "cyl": r"cyl(?:inder|indre|\.)?|zyl(?:inder|\.)?|cil(?:indro)?\.?",
    "axis": r"ax(?:is|e|\.)?|ach(?:se|\.)?|eje",
    "near-add": r"(?:near |reading )?add(?:ition|\.)?|zusatz|nahzusatz|adici[o\u00f3]n",
    "prism": r"pris(?:m|ma|me|ms)",
    "base": r"base?|basis",
    "near-pd": r"near pd|npd",
    "pd": r"(?:mono |monocular |dist(?:ance)? )?pd|p\.d\.|ipd",
    "height": r"(?:seg |fitting )?(?:height|ht)|sh|fh",
    "other": r"eyes?|va|bvd|visus|notes?|vision|auge|\u0153il|oeil|ojo|near|distance|rx|mm",
}
HEADING = re.compile(
    "|".join(rf"(?P<{name.replace('-', '_')}>(?<![\\w.])(?:{words})(?![\\w]))" for name, words in COLUMNS.items())
)
CELL = re.compile(rf"[+-]\s*{DIGITS}|[^\s|]+")
EMPTY = ("", "-", "--", "nil", "none", "n/a", "/")
FIELDS = ("sph", "cyl", "axis")


def labelled(lines: list[str]) -> list[str]:
    """Plain lines with every table row turned into words: "od sph -2.00 cyl -0.50 axis 90 add +2.00".

    A row whose cells cannot be set below the headings with certainty is marked as such, so that it is asked about.
    """
    done: list[str] = []
    columns: list[str] = []
    sides: tuple[str, ...] = ()
    for line in lines:
        if _is_heading(line):
            columns, sides = _columns(line), ()
        elif two := _two_sides(line):
            columns, sides = [], two
        elif columns and _row_side(line):
            done.append(_row(line, columns))
        elif sides and (row := _row_of_two(line, sides)):
            done.append(row)
        else:
            columns, sides = (columns, sides) if not line.strip(" |-+=:_") else ([], ())
            done.append(line)
    return done


def _is_heading(line: str) -> bool:
    names = [name for name, _ in _named(line)]
    rest = HEADING.sub("", line).strip(" |/,;:()&-+=\u2022*#.")
    return "sph" in names and len(set(names)) > 1 and not rest


def _named(line: str) -> Iterator[tuple[str, int]]:
    for found in HEADING.finditer(line):
        yield str(found.lastgroup).replace("_", "-"), found.start()


def _columns(line: str) -> list[str]:
    """The columns after the one of the eye; with bars an empty heading keeps its place."""
    if "|" in line:
        cells = line.strip().strip("|").split("|")
        names = [next((name for name, _ in _named(cell)), "other") for cell in cells]
        return names if names[0] not in FIELDS else ["other", *names]
    names = [name for name, _ in _named(line)]
    return names if names[0] == "other" else ["other", *names]


def _row_side(line: str) -> str:
    found = LABEL.match(line.lstrip(" |*"))
    return str(found.lastgroup).rpartition("_")[2] if found else ""


def _row(line: str, columns: list[str]) -> str:
    side = _row_side(line)
    if "|" in line:
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if len(cells) == len(columns) - 1 and not bare_side(cells[0]):
            return line
    else:
        text = line.lstrip(" *")
        found = LABEL.match(text)
        cells = ["", *CELL.findall(text[found.end() if found else 0 :].lstrip(" :=()."))]
    if "|" in line and not bare_side(cells[0]):
        return line
    if len(cells) != len(columns):
        simple = set(columns[1:]) <= {*FIELDS, "other"}
        return line if simple else f"{side} {' '.join(cells[1:])} under {len(columns) - 1} headings"
    return f"{side} {_words(dict(zip(columns[1:], cells[1:], strict=True)))}"


def _cells(text: str) -> list[str]:
    """The cells behind the heading of a row, the empty ones too; the bars at both ends are not cells."""
    return [cell.strip() for cell in text.removeprefix("|").rstrip().removesuffix("|").split("|")]


def _words(cells: dict[str, str]) -> str:
    """The cells of one eye in words, as the reader of one line takes them."""
    power = " ".join(f"{name} {cells[name]}" for name in FIELDS if cells.get(name, "") and _says(name, cells[name]))
    if cells.get("sph") in EMPTY[1:]:
        power = " / ".join(cells.get(name) or "-" for name in FIELDS)
    words = [power]
    if cells.get("prism", "") not in EMPTY or cells.get("base", "") not in EMPTY:
        words.append(f"prism {cells.get('prism', '')} {cells.get('base', '')}".rstrip())
    for name, word in (("near-add", "add"), ("near-pd", "near pd"), ("pd", "pd"), ("height", "height")):
        if cells.get(name, "") not in EMPTY:
            words.append(f"{word} {cells[name]}")
    return " ".join(word for word in words if word)


def _says(name: str, cell: str) -> bool:
    return name == "sph" or cell not in (*EMPTY, "ds", "sph", "sphere")


def _two_sides(line: str) -> tuple[str, ...]:
    """Right and left in the order of two headings with nothing beside them; empty for any other line."""
    cells = [cell for cell in re.split(r"\||\s{2,}|\s", line) if cell.strip()]
    sides = tuple(bare_side(cell) for cell in cells if cell not in ("eye", "lens", "auge", "rx"))
    return sides if sorted(sides) == ["left", "right"] else ()


def _row_of_two(line: str, sides: tuple[str, ...]) -> str:
    """A row such as "sphere -2.00 -1.75" below right and left, as "right sph -2.00 left sph -1.75"."""
    found = HEADING.match(line.lstrip(" |*"))
    if not found or str(found.lastgroup) == "other":
        return ""
    text = line.lstrip(" |*")[found.end() :].lstrip(" :=.")
    cells = _cells(text) if "|" in text else CELL.findall(text)
    if len(cells) != len(sides):
        return ""
    name = str(found.lastgroup).replace("_", "-")
    told = [(side, _words({name: cell})) for side, cell in zip(sides, cells, strict=True)]
    return " ".join(f"{side} {words}" for side, words in told if words) or " "
