"""Language: the one place where a sentence of the page is looked up in the reader's own language.

Sentences are written whole, in English, at the place that says them: `_("Your lens is {thick} thick.", thick=...)`. The
catalogues are gettext's (locale/LANGUAGE/LC_MESSAGES/explain.po); what is not in one is said in English, and a test
fails. The language is a property of the page being told, so it is set round the telling, not handed to each sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache, lru_cache, wraps
from gettext import GNUTranslations, NullTranslations
from importlib import resources
from io import BytesIO
from typing import ParamSpec, TypeVar, cast

from msgspec import Struct

SOURCE = "en"
_Arguments = ParamSpec("_Arguments")
_Said = TypeVar("_Said")


class Language(Struct, frozen=True):
    """A language as one country writes it: locale (as en_US), its decimal mark, and its sentences."""

    locale: str
    decimal_mark: str
    sentences: NullTranslations

    @property
    def code(self) -> str:
        """The language alone, as en."""
        return self.locale.partition("_")[0]


_ENGLISH = Language("en_US", ".", NullTranslations())
_spoken: ContextVar[Language] = ContextVar("language", default=_ENGLISH)


def spoken() -> Language:
    """The language of the page that is being told; US English outside `speaking`."""
    return _spoken.get()


@contextmanager
def speaking(locale: str) -> Iterator[Language]:
    """Tell everything inside in the language of a locale, as en_US or es_MX."""
    token = _spoken.set(language(locale))
    try:
        yield spoken()
    finally:
        _spoken.reset(token)


def _(message: str, /, **values: object) -> str:
    """Say one whole sentence, or a label, in the language being spoken, its {names} filled in.

    >>> _("Your lens is {thick} thick.", thick="2 mm")
    'Your lens is 2 mm thick.'
    """
    found = _spoken.get().sentences.gettext(message)
    return found.format_map(values) if values else found


def in_context(context: str, message: str, /, **values: object) -> str:
    """As `_`, for a word whose translation depends on where it stands.

    >>> in_context("of an axis", "inside")
    'inside'
    """
    found = spoken().sentences.pgettext(context, message)
    return found.format_map(values) if values else found


def plural(one: str, many: str, count: int, /, **values: object) -> str:
    """As `_`, for a sentence with a number in it: {count} is filled in, and the form fits the number.

    >>> plural("{count} lens", "{count} lenses", 1), plural("{count} lens", "{count} lenses", 2)
    ('1 lens', '2 lenses')
    """
    return spoken().sentences.ngettext(one, many, count).format(count=count, **values)


def said_once(count: int) -> Callable[[Callable[_Arguments, _Said]], Callable[_Arguments, _Said]]:
    """Keep what a function said in each language, for the last `count` uses of it.

    For words that follow from the arguments alone: those have to be hashable, and what is said is not changed after.
    """

    def keeping(say: Callable[_Arguments, _Said]) -> Callable[_Arguments, _Said]:
        @lru_cache(maxsize=count)
        def kept(_: Language, args: tuple[Hashable, ...], named: tuple[tuple[str, Hashable], ...]) -> _Said:
            return cast("Callable[..., _Said]", say)(*args, **dict(named))

        @wraps(say)
        def said(*args: _Arguments.args, **named: _Arguments.kwargs) -> _Said:
            return kept(_spoken.get(), args, tuple(named.items()))

        return said

    return keeping


def later(message: str) -> str:
    """Mark a sentence for the catalogues that is said by `_` elsewhere."""
    return message


@cache
def language(locale: str) -> Language:
    """A language by its locale. Raises LookupError where Babel does not know the locale."""
    from babel.numbers import get_decimal_symbol

    return Language(locale, get_decimal_symbol(locale), sentences(locale.partition("_")[0]))


@cache
def sentences(code: str) -> NullTranslations:
    """The catalogue of a language; an empty one for English and for languages without a catalogue."""
    path = resources.files("explain").joinpath("locale", code, "LC_MESSAGES", "explain.po")
    if code == SOURCE or not path.is_file():
        return NullTranslations()
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    compiled = BytesIO()
    with path.open("rb") as text:
        write_mo(compiled, read_po(text, locale=code))
    compiled.seek(0)
    return GNUTranslations(compiled)


@lru_cache(maxsize=64)
def page_locale(shop_locale: str, code: str) -> str:
    """The locale of a page in one language for a shop of some country; the language alone where no such pair exists.

    >>> page_locale("en_US", "es"), page_locale("de_DE", "en"), page_locale("es_ES", "es")
    ('es_US', 'en_DE', 'es_ES')
    """
    from babel import Locale, UnknownLocaleError

    own = Locale.parse(shop_locale)
    if own.language == code or not own.territory:
        return shop_locale if own.language == code else code
    try:
        return str(Locale.parse(f"{code}_{own.territory}"))
    except UnknownLocaleError:
        return code
