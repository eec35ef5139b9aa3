"""Templating: our templates ready to be filled, or a shop's own in their place, held in a sandbox."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Any

from jinja2 import ChoiceLoader, DictLoader, Environment, FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup, escape

from explain.language import SOURCE, _, in_context, spoken
from explain.site.compiled import CompiledTemplates
from explain.site.places import templates_folder
from explain.site.policy import digest

Texts = tuple[tuple[str, str], ...]
"""A shop's own words and parts, by the name of the template that they replace."""
OPTIONS: dict[str, Any] = {
    "autoescape": True,
    "undefined": StrictUndefined,
    "trim_blocks": True,
    "lstrip_blocks": True,
    "keep_trailing_newline": True,
    "extensions": ["jinja2.ext.i18n"],
}


def environment(own: Texts = ()) -> Environment:
    """Our templates, with the shop's own words and parts in their place; templates reach nothing outside the page.

    Ours alone are filled without the checks of the sandbox, which take longer than the filling. As soon as one text
    is the shop's own, all of them stand in the sandbox.
    """
    return _environment(own)  # one key in what is kept, whether () is given or left out


@lru_cache(maxsize=16)
def _environment(own: Texts) -> Environment:
    kind = ImmutableSandboxedEnvironment if own else Environment
    loader = ChoiceLoader([DictLoader(dict(own)), FileSystemLoader(templates_folder())])
    environment = kind(loader=loader, bytecode_cache=None if own else CompiledTemplates(repr(OPTIONS)), **OPTIONS)
    _speak(environment)
    environment.filters["anchor"] = lambda text: re.sub("[^a-z0-9]+", "-", text.lower()).strip("-")
    environment.filters["cssafe"] = css_text
    environment.filters["digest"] = digest
    environment.filters["beside"] = beside
    return environment


def page_environment(own: Texts) -> Environment:
    """Where a whole page is filled. A shop with words of its own, but no part, has our templates as they are."""
    return environment(own if any(name.startswith("parts/") for name, _text in own) else ())


def words_template(name: str) -> str:
    """Template of long words in the language being spoken: words/NAME.md in English, words/es/NAME.md in Spanish.

    A page never falls back to English words: where the file is missing, there is no page (TemplateNotFound).
    """
    return f"words/{name}.md" if spoken().code == SOURCE else f"words/{spoken().code}/{name}.md"


def beside(rows: Sequence[Sequence[str]], columns: Sequence[str]) -> Iterator[tuple[str, Iterator[tuple[Markup, str]]]]:
    """Each row of a table: its heading, and its other cells beside the names of their columns, ready for HTML.

    >>> [(heading, list(cells)) for heading, cells in beside([("Right", "1")], ("Eye", "A & B"))]
    [('Right', [(Markup('A &amp; B'), '1')])]
    """
    names = [escape(column) for column in columns[1:]]
    return ((heading, zip(names, cells, strict=True)) for heading, *cells in rows)


def css_text(text: str) -> Markup:
    r"""Escape text for a string inside a stylesheet: only letters, digits, spaces and a few marks stay as they are.

    >>> print(css_text('a"b'))
    a\22 b
    """
    safe = "".join(c if c.isalnum() or c in " -+().,/" else f"\\{ord(c):x} " for c in text)
    return Markup(safe)  # noqa: S704  nothing that ends a string or a style element is left


def _speak(environment: Any) -> None:
    """Let templates say their own words in the language being spoken when a page is rendered."""
    environment.install_gettext_callables(_, _plural_of_template, newstyle=True, pgettext=in_context)
    environment.globals["speaks_english"] = lambda: spoken().code == SOURCE


def _plural_of_template(one: str, many: str, count: int) -> str:
    """One of two forms, its %(num)s still to be filled in by the template."""
    return spoken().sentences.ngettext(one, many, count)
