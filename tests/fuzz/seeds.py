"""What the fuzzers start from: the files that the other tests and the demo have, and the words that readers know."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import Any

import yaml

from explain.order.keys import ORDER_KEYS, SHOP_KEYS
from tests.conftest import REPOSITORY

TESTS = REPOSITORY / "tests"
ORDERS = REPOSITORY / "orders"
COMMANDS = ("build", "check", "draft", "links", "schema", "retire", "begin", "watch", "completion")
TRACE_WORDS = (
    *("TRCFMT=1;", "REQ=FIL", "R=", "A=", "HBOX=", "VBOX=", "DBL=", "FED=", "CIRC=", "SPH=", "CYL=", "AX=", "ADD="),
    *("IPD=", "NPD=", "OCHT=", "SEGHT=", "LIND=", "BVD=", "DO=B", "DO=R", "PRVM=", "PRVIN=", "ZTILT=", "FCRV=", "Z="),
)
EYE_WORDS = (
    *("OD", "OS", "sphere", "cyl", "axis", "add", "prism", "up", "down", "in", "out", "plano", "DS", "balance", "PD"),
    *("none", " x ", "°", "½", "\u2212", "\u00a0", "base", "R:", "L:", "near", "deg"),
)
RECORD_WORDS = (
    *('"resourceType"', '"VisionPrescription"', '"Bundle"', '"lensSpecification"', '"eye"', '"sphere"', '"cylinder"'),
    *('"axis"', '"prism"', '"amount"', '"base"', '"add"', '"entry"', '"resource"', '"status"', '"dispense"', "null"),
)


def seeds(reader: str) -> list[bytes]:
    """Inputs to start from for a reader: some that it takes, some that it refuses."""
    return list(dict.fromkeys(_FOUND[reader]()))


def words(reader: str) -> list[str]:
    """Words that the reader knows, for a fuzzer to splice in."""
    return list(dict.fromkeys(_WORDS.get(reader, EYE_WORDS)))


def _bytes(*globs: tuple[Path, str]) -> Iterator[bytes]:
    for folder, pattern in globs:
        for path in sorted(folder.glob(pattern)):
            yield path.read_bytes()


def _orders() -> Iterator[bytes]:
    yield from (path.read_bytes() for path in sorted(ORDERS.glob("*.yaml")) if path.name != "shop.yaml")
    yield from (data for data in _bytes((TESTS / "errors", "*.yaml"), (TESTS / "order", "p*.yaml")) if len(data) < 4000)


def _shops() -> Iterator[bytes]:
    yield (ORDERS / "shop.yaml").read_bytes()
    yield from _bytes((TESTS / "order", "shop.yaml"), (TESTS / "errors", "shop*.yaml"))


def _traces() -> Iterator[bytes]:
    yield from _bytes((TESTS / "data" / "traces", "*_*.txt"), (ORDERS / "traces", "*"), (TESTS / "errors", "*.oma"))


def _typed() -> Iterator[bytes]:
    yield from (case["typed"].encode() for case in _said("order/rx_as_typed.yaml") if isinstance(case["typed"], str))


def _letters() -> Iterator[bytes]:
    yield from (letter["text"].encode() for letter in _said("draft/letters.yaml"))
    yield from _typed()


def _records() -> Iterator[bytes]:
    for data in _bytes((TESTS / "data" / "fhir", "*.json")):
        yield json.dumps(json.loads(data), indent=0).encode()


def _tables() -> Iterator[bytes]:
    data = (TESTS / "draft" / "orders.csv").read_bytes()
    yield from (data, data.replace(b",", b".").replace(b";", b","), data.replace(b";", b"\t"))


def _anything() -> Iterator[bytes]:
    for data in chain(_letters(), _records(), _tables(), _traces()):
        yield data
        if len(data) < 500:
            yield from (data.decode().encode(form) for form in ("utf-16", "utf-16-le", "utf-8-sig"))


def _command_lines() -> Iterator[bytes]:
    yield from (f"{command}\n--help".encode() for command in COMMANDS)
    yield from (
        b"build\n--out\nx\na.yaml",
        b"check\n--json",
        b"draft\n--order\nA-1\nOD -2.00 OS plano",
        b"links\n--csv",
    )


def _said(name: str) -> list[Any]:
    found: list[Any] = yaml.safe_load((TESTS / name).read_text(encoding="utf-8"))
    return found


_FOUND = {
    "order": _orders,
    "shop": _shops,
    "answer": lambda: _bytes((REPOSITORY / "templates" / "faq", "[a-d]*.md"), (TESTS / "errors", "answer*.md")),
    "trace": _traces,
    "trace-order": _traces,
    "typed-eye": _typed,
    "typed-text": _letters,
    "record": _records,
    "table": _tables,
    "source": _anything,
    "flags": _command_lines,
}
_WORDS = {
    "order": [*(f"{key.name}: " for key in ORDER_KEYS.keys), *(key.example for key in ORDER_KEYS.keys), *EYE_WORDS],
    "shop": [*(f"{key.name}: " for key in SHOP_KEYS.keys), *(key.example for key in SHOP_KEYS.keys)],
    "answer": [
        "title: ",
        "question: ",
        "subject: ",
        "reviewed: ",
        "example:",
        "{{ ",
        " }}",
        "---\n",
        "## ",
        "<script>",
    ],
    "trace": list(TRACE_WORDS),
    "trace-order": [*TRACE_WORDS, *EYE_WORDS],
    "record": list(RECORD_WORDS),
    "flags": ["--out", "--json", "--order", "--again", "--to", "--compare", "--csv", "--report", "\n"],
}
