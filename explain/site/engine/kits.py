"""Kits: what the orders of one folder share, and digests that tell when it changed."""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from explain.order.answer import Answer
from explain.site.address import SECRET_NAME
from explain.site.making import Kit, pack
from explain.site.places import as_text, templates_folder
from explain.site.publish import write_whole
from explain.site.shops import SHOP_NAME, Shops
from explain.site.survey import digest_of

PACKAGE = Path(__file__).resolve().parents[2]
ONLY_ANSWERS = ("faq.html", "faq-base.html", "faq-index.html", "faq/")
ONLY_DESK = ("desk.html", "desk.js", "begin/")
ONLY_PAGES = ("order.html", "order.css", "notice.html", "sealed.", "desk-", "desk.css")
WORDS = ("words/*", "words/*/*")
"""Not **, which passes over a folder that is a link."""
LIBRARIES = (
    *("babel", "icalendar", "jinja2", "markdown", "markupsafe", "matplotlib", "msgspec", "nh3", "numpy", "pyyaml"),
    "segno",
)
"""Those whose other version may write another page."""


def folder_parts(folder: Path, titles: str) -> dict[str, str]:
    """A digest of each thing that the pages of a folder are made from, their own orders left out, by its name.

    titles: digest of the answers for everyone as pages lead on to them.
    """
    files = _files(folder, (SHOP_NAME, SECRET_NAME, *WORDS, "parts/*"))
    return {**files, **program(ONLY_ANSWERS + ONLY_DESK), "titles of the answers": titles}


def whole(parts: Mapping[str, str]) -> str:
    """One digest for all parts."""
    return _digest(f"{name}\0{part}\n".encode() for name, part in sorted(parts.items()))


def titles_digest(answers: Sequence[Answer]) -> str:
    """How pages name the answers, as one digest."""
    return _digest(repr(answer).encode() for answer in _slim(answers))


def keep_titles(kept: Path, digest: str, answers: Sequence[Answer]) -> None:
    """Keep how pages name the answers, so that the next build need not read them all for it."""
    told = [[getattr(answer, name) for name in _NAMING] for answer in answers]
    write_whole(kept / _TITLES, json.dumps([digest, told], ensure_ascii=False))


def read_titles(kept: Path, digest: str) -> tuple[Answer, ...] | None:
    """The answers as pages name them; None where others were kept, or nothing that can be read."""
    try:
        of, told = json.loads((kept / _TITLES).read_text(encoding="utf-8"))
        return tuple(_named(*one) for one in told) if of == digest else None
    except (OSError, ValueError, TypeError):
        return None


_TITLES = "titles.json"
_NAMING = ("name", "title", "question", "also_asked", "subject")


def _named(name: str, title: str, question: str, also_asked: Sequence[str], subject: str) -> Answer:
    return Answer(name, title, question, tuple(also_asked), subject, "", date.min, None, (), "", 0, Path())


def kit_of(folder: Path, shops: Shops, answers: Sequence[Answer], today: date | None, kept: Path) -> bytes:
    """What the orders of a folder share, packed to be sent along. Raises OrderError with the faults of the shop."""
    inside = folder / "order.yaml"
    own = replace(shops.own_beside(inside), answers=())
    return pack(Kit(shops.beside(inside), own, _slim(answers), today, kept, f"{_code()} {_libraries()}"))


def _slim(answers: Sequence[Answer]) -> tuple[Answer, ...]:
    return tuple(_named(*(getattr(answer, name) for name in _NAMING)) for answer in answers)


def answers_digest(folder: Path) -> str:
    """What the answers for everyone are made from."""
    return whole({**_files(folder, (SHOP_NAME, *WORDS, "parts/*", "faq/*")), **program(ONLY_PAGES + ONLY_DESK)})


def changes(before: Mapping[str, str], now: Mapping[str, str]) -> list[str]:
    """Names of the parts that came, went or changed."""
    return sorted(name for name in before.keys() | now.keys() if before.get(name) != now.get(name))


def program(without: tuple[str, ...]) -> dict[str, str]:
    """A digest of each template but some, of the code with its facts and sentences, and of each library's version."""
    found = {f"templates/{name}": digest for name, digest in _templates().items() if not name.startswith(without)}
    return {**found, "the program": _code(), "its libraries": _libraries()}


def program_parts() -> dict[str, Any]:
    """What `program` gives, for the record: with it the next build need not open each file."""
    return {"templates": _templates(), "code": _code(), "libraries": _libraries()}


def recall(parts: Mapping[str, Any]) -> None:
    """Take what the record says of a program that looks as it did then; nothing, where it looks otherwise."""
    _recalled.clear()
    _recalled.update(parts)


_recalled: dict[str, Any] = {}


def _templates() -> dict[str, str]:
    found: dict[str, str] = _recalled.get("templates") or _templates_now()
    return found


def _code() -> str:
    return str(_recalled.get("code") or _code_now())


def _libraries() -> str:
    return str(_recalled.get("libraries") or _libraries_now())


@cache
def _templates_now() -> dict[str, str]:
    top = templates_folder()
    return {path.relative_to(top).as_posix(): _digest([path.read_bytes()]) for path in _all_files(top)}


@cache
def _code_now() -> str:
    inside = [path for path in _all_files(PACKAGE) if "templates" not in path.relative_to(PACKAGE).parts[:1]]
    return _digest(
        part for path in inside for part in (path.relative_to(PACKAGE).as_posix().encode(), path.read_bytes())
    )


@cache
def _libraries_now() -> str:
    import zlib  # noqa: PLC0415  slow to import
    from importlib import metadata  # noqa: PLC0415  as above

    versions = {name: metadata.version(name) for name in LIBRARIES}
    versions["zlib"] = zlib.ZLIB_RUNTIME_VERSION  # packs the pictures; each system brings its own
    return _digest([json.dumps([sys.version_info[:2], versions]).encode()])


def _files(folder: Path, patterns: Iterable[str]) -> dict[str, str]:
    """A digest of each file of a shop's own, as far as any reader reads it."""
    paths = sorted({path for pattern in patterns for path in folder.glob(pattern) if path.is_file()})
    return {as_text(path.relative_to(folder)).as_posix(): digest_of(path) for path in paths}


def _all_files(top: Path) -> list[Path]:
    found = (path for path in top.rglob("*") if path.is_file() and "__pycache__" not in path.parts)
    return sorted(path for path in found if not path.name.startswith("."))


def _digest(parts: Iterable[bytes]) -> str:
    digest = hashlib.blake2b(digest_size=16)
    for part in parts:
        digest.update(len(part).to_bytes(8, "big") + part)
    return digest.hexdigest()
