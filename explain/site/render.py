"""Render: a told page into one self-contained HTML file."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

import markdown
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from explain.charts import draw
from explain.order.model import Shop
from explain.site.places import templates_folder
from explain.story.blocks import Figure, Prose
from explain.story.bought import FirstScreen
from explain.story.page import Group, PageStory

RECHECK = "2 weeks after your first day with them"


@dataclass(frozen=True, slots=True)
class PageContext:
    """Everything templates/order.html may use; a test holds the names equal both ways."""

    lang: str
    title: str
    order_number: str
    ordered_on: str
    shop: Shop
    phone_link: str
    first: FirstScreen
    groups: tuple[Group, ...]
    style: Markup


def render(story: PageStory) -> str:
    """Write one page as HTML text: no request to anyone, no script."""
    pictures = _Pictures()
    template = _environment().get_template("order.html")
    context = page_context(story)
    fields = {name: getattr(context, name) for name in PageContext.__slots__}
    return template.render(picture=pictures.picture, prose=_Prose(story).html, **fields)


def page_context(story: PageStory) -> PageContext:
    """What the template is given for this story."""
    return PageContext(
        lang=page_language(story.shop.locale),
        title="Your glasses",
        order_number=story.order.number,
        ordered_on=story.ordered_on,
        shop=story.shop,
        phone_link=phone_link(story.shop.phone),
        first=story.first,
        groups=story.groups,
        style=Markup(_style()),  # noqa: S704  our own file
    )


def page_language(locale: str) -> str:
    """Language that the words of the page are in: English, as the shop's locale has it where that is English.

    >>> page_language("en_GB"), page_language("de_DE")
    ('en-GB', 'en')
    """
    return locale.replace("_", "-") if locale.startswith("en") else "en"


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


class _Pictures:
    """Draws the figures of one page; each gets an id salt of its own."""

    def __init__(self) -> None:
        self._count = 0

    def picture(self, figure: Figure) -> Markup:
        self._count += 1
        return Markup(draw(figure.drawing, f"f{self._count}"))  # noqa: S704  our own drawing escapes its text


class _Prose:
    """Turns templates/words/NAME.md into HTML, with the few names that prose may use."""

    def __init__(self, story: PageStory) -> None:
        shop = {
            "name": plain_in_markdown(story.shop.name),
            "optician": plain_in_markdown(story.shop.optician),
            "hours": plain_in_markdown(story.shop.hours),
            "phone": Markup('<a href="{}">{}</a>').format(
                phone_link(story.shop.phone), plain_in_markdown(story.shop.phone)
            ),
        }
        self._names = {"shop": shop, "for": story.order.first_name, "recheck_date": RECHECK}

    def html(self, block: Prose) -> Markup:
        """Prose of one file, its headings at the block's level. The shop's own values are escaped by Jinja."""
        text = _environment().get_template(f"words/{block.name}.md").render(self._names)
        text = re.sub(r"<!--.*?-->", "", text, flags=re.DOTALL)
        text = re.sub(r"^### ", "#" * block.level + " ", text, flags=re.MULTILINE)
        return Markup(markdown.markdown(text, output_format="html"))  # noqa: S704  our own words


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(templates_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["anchor"] = lambda text: re.sub("[^a-z0-9]+", "-", text.lower()).strip("-")
    environment.filters["cssafe"] = css_text
    return environment


def plain_in_markdown(text: str) -> Markup:
    """Write text so that Markdown and HTML both leave it as it is: every mark becomes a character reference.

    >>> str(plain_in_markdown("9 to 5 *not* [Sunday]"))
    '9 to 5 &#42;not&#42; &#91;Sunday&#93;'
    """
    safe = "".join(c if c.isalnum() or c in " ,.:()'" else f"&#{ord(c)};" for c in text)
    return Markup(safe)  # noqa: S704  nothing but letters, digits and character references is left


def css_text(text: str) -> Markup:
    r"""Escape text for a string inside a stylesheet: only letters, digits, spaces and a few marks stay as they are.

    >>> print(css_text('a"b'))
    a\22 b
    """
    safe = "".join(c if c.isalnum() or c in " -+().,/" else f"\\{ord(c):x} " for c in text)
    return Markup(safe)  # noqa: S704  nothing that ends a string or a style element is left


@cache
def _style() -> str:
    """The stylesheet without comments and indents."""
    text = (templates_folder() / "style.css").read_text(encoding="utf-8")
    text = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
    return "\n".join(line.strip() for line in text.splitlines() if line.strip())
