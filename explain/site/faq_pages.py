"""FAQ pages: an answer, and the index of all of them, as HTML that asks nothing of anyone."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from markupsafe import Markup
from msgspec import Struct
from msgspec.structs import replace

from explain.language import SOURCE, page_locale
from explain.order.answer import Answer
from explain.order.answer_text import PLACE
from explain.order.model import Shop
from explain.site.clean import safe_html
from explain.site.faq import story_of
from explain.site.own import refuse_reaching
from explain.site.render import (
    Pictures,
    html_language,
    phone_anchor,
    phone_link,
    plain_in_markdown,
    style,
)
from explain.site.templating import Texts, page_environment
from explain.story.answers import NO_COVER, AnswerLink, AnswerStory, Passage, Subject, alike, index_of

INDEX_TITLE = "Answers about your glasses"


class AnswerContext(Struct, frozen=True):
    """Everything templates/faq.html may use; a test holds the names equal both ways."""

    lang: str
    title: str
    shop: Shop
    phone_link: str
    answer: AnswerStory
    alike: tuple[AnswerLink, ...]
    style: Markup


class IndexContext(Struct, frozen=True):
    """Everything templates/faq-index.html may use; a test holds the names equal both ways."""

    lang: str
    title: str
    shop: Shop
    phone_link: str
    subjects: tuple[Subject, ...]
    style: Markup


def answer_html(answer: Answer, answers: Sequence[Answer], shop: Shop, own: Texts = ()) -> str:
    """Page of one answer; `answers` are all that there are. own: the shop's own words and parts, by template name."""
    return _answer_html(answer, alike(answer, answers), replace(shop, path=Path()), own)


@lru_cache(maxsize=512)
def _answer_html(answer: Answer, others: tuple[AnswerLink, ...], shop: Shop, own: Texts) -> str:
    context = AnswerContext(
        lang=html_language(page_locale(shop.locale, SOURCE)),
        title=answer.title,
        shop=shop,
        phone_link=phone_link(shop.phone),
        answer=story_of(answer, shop),
        alike=others,
        style=style(),
    )
    fields = {name: getattr(context, name) for name in AnswerContext.__struct_fields__}
    prose = _Passages(shop)
    template = page_environment(own).get_template("faq.html")
    html = template.render(picture=Pictures().picture, prose=prose.html, **fields)
    if own:
        refuse_reaching(html)
    return html


def index_html(answers: Sequence[Answer], shop: Shop, own: Texts = ()) -> str:
    """Index of all answers, by subject."""
    context = IndexContext(
        lang=html_language(page_locale(shop.locale, SOURCE)),
        title=INDEX_TITLE,
        shop=shop,
        phone_link=phone_link(shop.phone),
        subjects=index_of(answers),
        style=style(),
    )
    fields = {name: getattr(context, name) for name in IndexContext.__struct_fields__}
    return page_environment(own).get_template("faq-index.html").render(**fields)


class _Passages:
    """Turns the text of an answer into HTML, with figures and the shop's facts filled in."""

    def __init__(self, shop: Shop) -> None:
        self._facts = {
            "shop": plain_in_markdown(shop.name),
            "phone": phone_anchor(shop.phone),
            "hours": plain_in_markdown(shop.hours),
            "returns": plain_in_markdown(shop.returns),
            "remakes": plain_in_markdown(shop.remakes),
            "cover": plain_in_markdown(shop.cover or NO_COVER),
        }

    def html(self, passage: Passage) -> Markup:
        """HTML of one passage; its headings stand under the question."""
        filled = self._facts | {asked: plain_in_markdown(said) for asked, said in passage.values}
        text = PLACE.sub(lambda found: filled[found["asked"].strip()], passage.text)
        return safe_html(re.sub(r"^#{2,3} ", "## ", text, flags=re.MULTILINE))
