"""What a draft is started from: a file, the standard input or the words themselves; bounded, and of a known kind."""

from __future__ import annotations

import re
from pathlib import Path
from typing import BinaryIO

from msgspec import Struct

from explain.draft.taken import DraftError
from explain.order import limits
from explain.order.faults import Remark
from explain.order.numbers import cut

LARGEST_BYTES = limits.SOURCE_BYTES
NAMES_A_FILE = re.compile(r"\S*\.(?:txt|json|csv|tsv|eml|html?|xml|ya?ml|md|dat|oma|vca|lds)", re.IGNORECASE)
LINE_START = r"(?:^|\r)[\"\x00-\x09\x0b\x0c\x0e-\x20]{0,8}"
RECORD = re.compile(rf"{LINE_START}[A-Z][A-Z0-9_]{{1,9}}=", re.MULTILINE)
OUTLINE = re.compile(rf"{LINE_START}TRCFMT {{0,4}}=", re.MULTILINE | re.IGNORECASE)
NAMES_AN_EYE = re.compile(rf"{LINE_START}(?:OD|OS|OI|OG|OU|RE|LE|RT|LT|RIGHT|LEFT) {{0,4}}=", re.MULTILINE)
"""Labels that no trace order has: somebody typed a prescription with equals signs."""
SPACED_FILE = re.compile(r".*\w\.(?:txt|json|csv|tsv|eml|html?|xml|ya?ml|oma|vca|lds)", re.IGNORECASE)
ORDER_FILE = re.compile(r"^prescription:", re.MULTILINE)
WAYS = "A draft starts from words, a text file, a health record (JSON), a trace order or a table (CSV)."


class SourceError(DraftError):
    """A source that cannot be used, in words: what it is, what is allowed, what to do."""

    def __init__(self, place: str, remark: Remark) -> None:
        super().__init__(
            "\n".join(part for part in (f"{place}: {remark.message}", remark.allowed, remark.advice) if part)
        )


class Source(Struct, frozen=True):
    """What a draft is started from. kind: text, record, trace or table. path: its file, where it is one."""

    kind: str
    text: str
    data: bytes
    name: str
    path: Path | None = None


def source_of(given: str, standard_input: BinaryIO) -> Source:
    """The source that was named: a file, "-" for the standard input, or the words themselves. Raises SourceError."""
    if given == "-":
        return _known(standard_input.read(LARGEST_BYTES + 1), "standard input", None)
    path = Path(given) if len(given) < 300 and "\n" not in given else None
    if path is not None and _is_there(path):
        return _known(_bytes_of(path), path.as_posix(), path)
    if NAMES_A_FILE.fullmatch(given) or (path is not None and SPACED_FILE.fullmatch(given)):
        raise SourceError(given, Remark("there is no such file", WAYS, "Check its name and its folder."))
    return _known(given.encode("utf-8", errors="replace"), "the command line", None)


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False


def _bytes_of(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = (
            "this is a folder" if path.is_dir() else f"the file cannot be opened ({getattr(error, 'strerror', error)})"
        )
        raise SourceError(path.as_posix(), Remark(reason, WAYS, "Check its name and its folder.")) from None


def _known(data: bytes, name: str, path: Path | None) -> Source:
    if len(data) > LARGEST_BYTES:
        allowed = f"At most {LARGEST_BYTES} bytes are read."
        raise SourceError(
            name, Remark("this is too large for a prescription", allowed, "Check that it is the right file.")
        )
    text = _text_of(data, name)
    if not text.strip():
        raise SourceError(name, Remark("there is nothing in it", WAYS, "Check that it is the right file."))
    kind = _kind(text, path)
    if kind == "order":
        advice = f"To start another from it:   explain draft --again {name}"
        raise SourceError(name, Remark("this is an order file already", WAYS, advice))
    if kind == "markup":
        raise SourceError(name, Remark("this is a health record as XML, which is not read", WAYS, "Export it as JSON."))
    return Source(kind, text, data, name, path)


def _text_of(data: bytes, name: str) -> str:
    if data.startswith((b"%PDF", b"\x89PNG", b"\xff\xd8\xff", b"PK\x03\x04")):
        what = "a picture, a PDF or a packed file"
        raise SourceError(name, Remark(f"this is {what}, not text", WAYS, "Copy the prescription out of it as text."))
    for encoding in _encodings(data):
        try:
            return data.decode(encoding).replace("\0", "")
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1").replace("\0", "")


def _encodings(data: bytes) -> tuple[str, ...]:
    """How bytes may be text, the likeliest first. Text piped on Windows is often UTF-16, and may not say so."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return ("utf-16",)
    pairs = len(data) // 2
    for encoding, zeros in (("utf-16-le", data[1::2].count(0)), ("utf-16-be", data[::2].count(0))):
        if pairs > 1 and zeros > 0.7 * pairs:
            return (encoding,)
    return ("utf-8-sig", "cp1252")


def _kind(text: str, path: Path | None) -> str:
    start = text.lstrip("\ufeff \t\r\n")
    ending = path.suffix.lower() if path else ""
    if start.startswith(("{", "[{")) or ending == ".json":
        return "record"
    if re.match(r"<\?xml|<(?:VisionPrescription|Bundle)\b", start):
        return "markup"
    if ending in (".csv", ".tsv"):
        return "table"
    if ORDER_FILE.search(text) and re.search(r"^order:", text, re.MULTILINE):
        return "order"
    if OUTLINE.search(text) or (len(RECORD.findall(text)) >= 3 and not NAMES_AN_EYE.search(text)):
        return "trace"
    return "text"


def kind_in_words(source: Source) -> str:
    """The source in a few words, for the head of the order. Nothing of its content is in them.

    >>> kind_in_words(Source("text", "R -2.00", b"", "the command line"))
    'a prescription as typed'
    """
    name = "" if source.path is None else f" ({cut(source.path.name, 60)[1:-1]})"
    return {
        "text": "a prescription as typed",
        "record": "a health record",
        "trace": "a trace order",
        "table": "a table",
    }[source.kind] + name
