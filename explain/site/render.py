"""Render: a told page into one self-contained HTML file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

from markupsafe import Markup
from msgspec import Struct

from explain.charts import draw
from explain.language import _, page_locale, spoken
from explain.order.model import Shop
from explain.site.clean import safe_html
from explain.site.own import PLACEHOLDERS, placeholders_in, refuse_reaching
from explain.site.places import templates_folder
from explain.site.sketches import inline, inline_sketch
from explain.site.templating import Texts, css_text, environment, page_environment, words_template
from explain.story.answers import AnswerLink
from explain.story.blocks import Figure, Prose, Sketch
from explain.story.bought import FirstScreen
from explain.story.page import Group, PageStory
from explain.story.remake import Remake

PAGE_COUNT = '"Page " counter(page) " of " counter(pages)'
"""As the stylesheet has it, in English."""
_SPACES = re.compile(r'(?P<kept>"[^"]*")|[;\s]*(?P<end>\})\s*|\s*(?P<mark>[{;,>])\s*|:\s+')
NOTHING: Mapping[str, tuple[AnswerLink, ...]] = MappingProxyType({})


class PageContext(Struct, frozen=True):
    """Everything templates/order.html may use; a test holds the names equal both ways."""

    lang: str
    title: str
    order_number: str
    ordered_on: str
    shop: Shop
    phone_link: str
    first: FirstScreen
    remake: Remake | None
    groups: tuple[Group, ...]
    more: Mapping[str, tuple[AnswerLink, ...]]
    style: Markup


def render(story: PageStory, more: Mapping[str, tuple[AnswerLink, ...]] = NOTHING, own: Texts = ()) -> str:
    """Write one page as HTML text: no request to anyone, no script.

    more: answers that each part leads on to, by the part's id. own: the shop's own words and parts.
    """
    template = page_environment(own).get_template("order.html")
    context = page_context(story, more)
    fields = {name: getattr(context, name) for name in PageContext.__struct_fields__}
    pictures = Pictures()
    prose = _Prose(story, own).html
    html = template.render(picture=pictures.picture, sketch=pictures.sketch, prose=prose, **fields)
    if own:
        refuse_reaching(html)
    return html


def page_context(story: PageStory, more: Mapping[str, tuple[AnswerLink, ...]] = NOTHING) -> PageContext:
    """What the template is given for this story."""
    return PageContext(
        lang=html_language(page_locale(story.shop.locale, spoken().code)),
        title=_("Your glasses"),
        order_number=story.order.number,
        ordered_on=story.ordered_on,
        shop=story.shop,
        phone_link=phone_link(story.shop.phone),
        first=story.first,
        remake=story.remake,
        groups=story.groups,
        more=more,
        style=style("order.css"),
    )


def html_language(locale: str) -> str:
    """Write a locale as HTML names a language (BCP 47).

    >>> html_language("en_GB")
    'en-GB'
    """
    return locale.replace("_", "-")


def phone_link(phone: str) -> str:
    """Turn a phone number as typed into a link.

    >>> phone_link("(555) 010-0142"), phone_link("+44 1632 960000")
    ('tel:5550100142', 'tel:+441632960000')
    >>> phone_link("+44 (0) 1632 960 000")
    'tel:+441632960000'
    """
    plus = "+" if phone.strip().startswith("+") else ""
    if plus:
        phone = phone.replace("(0)", "")  # the trunk nought is not dialled behind a country code
    return f"tel:{plus}{re.sub('[^0-9]', '', phone)}"


class Pictures:
    """Draws the figures of one page; each gets an id salt of its own."""

    def __init__(self) -> None:
        self._count = 0

    def picture(self, figure: Figure) -> Markup:
        """Inline drawing of a figure."""
        self._count += 1
        return inline(draw(figure.drawing, f"f{self._count}"))

    def sketch(self, sketch: Sketch) -> Markup:
        """Inline line drawing of a step."""
        self._count += 1
        return inline_sketch(sketch, f"s{self._count}")


class _Prose:
    """Turns the long words of the page's language into HTML, with the few names that prose may use."""

    def __init__(self, story: PageStory, own: Texts) -> None:
        self._own = own
        shop = {
            "name": plain_in_markdown(story.shop.name),
            "optician": plain_in_markdown(story.shop.optician),
            "hours": plain_in_markdown(story.shop.hours),
            "phone": phone_anchor(story.shop.phone),
        }
        self._names = {"shop": shop, "for": plain_in_markdown(story.order.first_name), "recheck_date": story.recheck}
        self._values = _flat(self._names)

    def html(self, block: Prose) -> Markup:
        """Prose of one file, its headings at the block's level. The shop's own values are escaped by Jinja."""
        template = words_template(block.name)
        values = tuple([(name, self._values[name]) for name in _filled_in(template, self._own)])
        return _prose_html(template, self._own, block.level, values)


def _flat(names: Mapping[str, Any]) -> dict[str, str]:
    """What prose may use, each by its whole name."""
    shop = {f"shop.{name}": value for name, value in names["shop"].items()}
    return {**shop, "for": names["for"], "recheck_date": names["recheck_date"]}


@lru_cache(maxsize=256)
def _filled_in(template: str, own: Texts) -> tuple[str, ...]:
    """Names that the words of a template use."""
    ours = environment(own)
    return placeholders_in(ours.loader.get_source(ours, template)[0]) if ours.loader else PLACEHOLDERS


@lru_cache(maxsize=512)
def _prose_html(template: str, own: Texts, level: int, values: tuple[tuple[str, str], ...]) -> Markup:
    """Words of a template with values by their whole names. Kept, as most are the same for every order of a shop."""
    names: dict[str, Any] = {name: value for name, value in values if not name.startswith("shop.")}
    shop = {name.removeprefix("shop."): value for name, value in values if name.startswith("shop.")}
    text = environment(own).get_template(template).render(names, shop=shop)
    return safe_html(re.sub(r"^### ", "#" * level + " ", text, flags=re.MULTILINE))


@lru_cache(maxsize=64)
def phone_anchor(phone: str) -> Markup:
    """Phone number of the shop as a link to call it, safe inside Markdown."""
    return Markup('<a href="{}">{}</a>').format(phone_link(phone), plain_in_markdown(phone))


@lru_cache(maxsize=256)
def plain_in_markdown(text: str) -> Markup:
    """Write text so that Markdown and HTML both leave it as it is: every mark becomes a character reference.

    >>> str(plain_in_markdown("9 to 5 *not* [Sunday]"))
    '9 to 5 &#42;not&#42; &#91;Sunday&#93;'
    """
    safe = "".join(c if c.isalnum() or c in " ,.:()'" else f"&#{ord(c)};" for c in text)
    return Markup(safe)  # noqa: S704  nothing but letters, digits and character references is left


def style(*more: str) -> Markup:
    """Our stylesheet, and others of ours behind it; it counts printed pages in the language being spoken."""
    rules = "\n".join(stylesheet(name) for name in ("style.css", *more))
    return Markup(rules.replace(PAGE_COUNT, page_count_css(), 1))  # noqa: S704  our own files and escaped words


def page_count_css() -> str:
    """How a printed page is counted, as a value for `content` in a stylesheet.

    >>> page_count_css()
    '"Page " counter(page) " of " counter(pages)'
    """
    parts = re.split(r"\{(pages?)\}", _("Page {page} of {pages}"))
    return " ".join(f"counter({part})" if at % 2 else f'"{css_text(part)}"' for at, part in enumerate(parts) if part)


@cache
def stylesheet(name: str) -> str:
    """A stylesheet of ours without comments and without the spaces that only its writers need."""
    text = (templates_folder() / name).read_text(encoding="utf-8")
    return without_spaces(re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL))


def without_spaces(css: str) -> str:
    r"""Rules without spaces round their marks, each on a line; what stands in quotes is left as it is.

    >>> print(without_spaces('a > b, c { margin: 0 1em; content: "; x: "; }\n@media (width: 1em) { d { top: 0; } }'))
    a>b,c{margin:0 1em;content:"; x: "}
    @media (width:1em){d{top:0}
    }
    """
    return _SPACES.sub(lambda found: found["kept"] or (found["end"] and "}\n") or found["mark"] or ":", css).strip()
