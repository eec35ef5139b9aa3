"""The catalogues of sentences: what the code, the templates and the data say, and what each language has for it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import yaml
from babel.messages import Catalog, Message
from babel.messages.extract import extract_python
from babel.messages.pofile import read_po, write_po
from jinja2.ext import babel_extract

from tests.conftest import REPOSITORY

LOCALE = REPOSITORY / "explain" / "locale"
LANGUAGES = sorted(folder.name for folder in LOCALE.iterdir() if folder.is_dir())
PYTHON_KEYWORDS = {"_": None, "later": None, "plural": (1, 2), "in_context": ((1, "c"), 2)}
JINJA_KEYWORDS = {"_": None, "gettext": None, "ngettext": (1, 2), "pgettext": ((1, "c"), 2)}
WORDS_IN_DATA: dict[str, set[str] | None] = {
    "getting_used": {"spans", "what", "why"},
    "options": {"name", "what", "for", "against", "not_worth", "evidence"},
    "verdicts": {"words", "sentence", "figure", "answer", "answer_with_price", "for_1_mm"},
    "left_off": None,
    "light_reactive": {"who"},
    "materials": {"name"},
}
"""Files of explain/data and the keys whose text stands on a page; None: all of it."""
PLACEHOLDER = re.compile(r"\{(\w+)\}|%\((\w+)\)s")

SAME_DAY = datetime(2026, 1, 1, tzinfo=UTC)
"""The catalogue's own date says nothing: the same sentences give the same bytes."""


def said() -> Catalog:
    """Every sentence that a page may say, in English."""
    catalogue = Catalog()
    for path, line, ids, context in _everything():
        catalogue.add(ids, locations=[(path, line)], context=context)
    return catalogue


def _everything() -> Iterator[tuple[str, int, Any, str | None]]:
    for path in sorted((REPOSITORY / "explain").rglob("*.py")):
        with path.open("rb") as code:
            yield from _named(path, extract_python(code, PYTHON_KEYWORDS, [], {}), PYTHON_KEYWORDS)
    for path in sorted((REPOSITORY / "templates").rglob("*.html")):
        with path.open("rb") as template:
            yield from _named(path, babel_extract(template, JINJA_KEYWORDS, [], {}), JINJA_KEYWORDS)
    for name, keys in WORDS_IN_DATA.items():
        path = REPOSITORY / "explain" / "data" / f"{name}.yaml"
        for text in _texts(yaml.safe_load(path.read_text(encoding="utf-8")), keys, inside=keys is None):
            yield str(path.relative_to(REPOSITORY)), 0, text, None


def _named(path: Path, found: Iterable[Any], keywords: dict[str, Any]) -> Iterator[tuple[str, int, Any, str | None]]:
    for line, function, message, _ in found:
        arguments = message if isinstance(message, tuple) else (message,)
        where = str(path.relative_to(REPOSITORY))
        shape = keywords.get(function)
        if shape is None:
            if isinstance(arguments[0], str):
                yield where, line, arguments[0], None
        elif isinstance(shape[0], tuple):
            yield where, line, arguments[1], arguments[0]
        else:
            yield where, line, (arguments[0], arguments[1]), None


def _texts(thing: Any, keys: set[str] | None, *, inside: bool) -> Iterator[str]:
    """Every text below the named keys, in the order of the file."""
    if isinstance(thing, dict):
        for key, value in thing.items():
            yield from _texts(value, keys, inside=inside or key in (keys or ()))
    elif isinstance(thing, list):
        for value in thing:
            yield from _texts(value, keys, inside=inside)
    elif isinstance(thing, str) and inside and thing:
        yield thing


def sentences_of(module: str) -> set[str]:
    """What a module of the story may say, in English; of two forms the first."""
    with (REPOSITORY / "explain" / "story" / f"{module}.py").open("rb") as code:
        found = list(extract_python(code, PYTHON_KEYWORDS, [], {}))
    texts = [(name, text if isinstance(text, tuple) else (text,)) for _, name, text, _ in found]
    return {text[1 if name == "in_context" else 0] for name, text in texts} - {None}


def po_path(code: str) -> Path:
    return LOCALE / code / "LC_MESSAGES" / "explain.po"


def kept(code: str) -> Catalog:
    """The catalogue of a language as it is in the repository."""
    with po_path(code).open("rb") as text:
        return read_po(text, locale=code)


def renewed(code: str) -> Catalog:
    """The catalogue of a language with today's sentences: translations kept, new ones empty, old ones dropped."""
    old = kept(code) if po_path(code).exists() else Catalog(locale=code)
    new = Catalog(
        locale=code,
        project="order-explainer",
        version="1",
        header_comment=f"# Sentences of the pages, {code}. Kept up to date by `python -m tests.language.refresh`.",
        creation_date=SAME_DAY,
        revision_date=SAME_DAY,
        last_translator="",
        language_team="",
        msgid_bugs_address="",
        fuzzy=False,
    )
    for message in said():
        if message.id:
            before = old.get(_key(message), message.context)
            new.add(message.id, before.string if before else "", message.locations, context=message.context)
    return new


def _key(message: Message) -> str:
    return message.id[0] if isinstance(message.id, (tuple, list)) else message.id


def save(code: str, catalogue: Catalog) -> None:
    po_path(code).parent.mkdir(parents=True, exist_ok=True)
    with po_path(code).open("wb") as text:
        write_po(text, catalogue, width=118, omit_header=False, sort_by_file=False, include_lineno=False)


def placeholders(text: str) -> list[str]:
    """The names to be filled in, as {name} or %(name)s."""
    return sorted(name for pair in PLACEHOLDER.findall(text) for name in pair if name)
