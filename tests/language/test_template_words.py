"""The fixed words of the templates: each goes through the catalogue, and is looked up when the page is rendered."""

from __future__ import annotations

import re

import pytest
from bs4 import BeautifulSoup, Comment

from explain.site.places import templates_folder
from explain.site.templating import environment
from tests.language.catalogue import said
from tests.language.wrapped import Wrapping, speaking_with

ENGLISH_ONLY = {"faq.html", "faq-base.html", "faq-index.html", "desk.html", "desk-row.html", "desk-bench.html"}
"""The answers for everyone are in English, and so is what never leaves the shop."""
TEMPLATES = sorted(
    path.relative_to(templates_folder()).as_posix()
    for path in templates_folder().rglob("*.html")
    if path.name not in ENGLISH_ONLY
)
SPOKEN_ATTRIBUTES = ("aria-label", "title", "alt", "placeholder")
ALLOWANCE = re.compile(r"; script-src '[^']*'|'nonce-[^']*'")
AT_PAGE = re.compile(r"@page \{[^\"]*(\"[^\"]*\")[^\"]*\}")


def fixed_words(source):
    """What a template says without asking the catalogue: letters in its text, or in what a screen reader speaks."""
    data = "".join(value for _, kind, value in environment().lex(source) if kind == "data")
    page = BeautifulSoup(ALLOWANCE.sub("", AT_PAGE.sub(r"\1", data)), "html.parser")
    texts = [str(text) for text in page.find_all(string=True) if not isinstance(text, Comment)]
    texts += [tag[name] for tag in page.find_all(re.compile(".")) for name in SPOKEN_ATTRIBUTES if tag.has_attr(name)]
    return [text.strip() for text in texts if re.search(r"[^\W\d_]", text)]


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_says_nothing_that_the_catalogue_does_not_know(name):
    assert [words for words in fixed_words((templates_folder() / name).read_text("utf-8")) if words != "html"] == []


def test_the_check_on_fixed_words_can_fail():
    source = '<p title="Hello">Back {{ _("to") }}</p>@page { @left { content: "Order {{ x }}"; } }'

    assert fixed_words(source) == ["Back", '"Order "', "Hello"]


def test_the_words_of_templates_are_in_the_catalogue():
    known = {(message.context, message.id) for message in said()}

    assert known >= {
        (None, "Back to the contents"),
        (None, "%(table)s: the numbers"),
        (None, "(in English)"),
        (None, "Page {page} of {pages}"),
        (None, "Your glasses"),
        ("reasons", "For"),
    }


def test_a_template_is_kept_and_speaks_the_language_of_each_page_anew():
    template = environment().from_string('{{ _("Hello %(name)s", name=name) }} {{ pgettext("x", "For") }}')

    with speaking_with(Wrapping()):
        assert template.render(name="<b>") == "«Hello &lt;b&gt;» «For»"
    assert template.render(name="<b>") == "Hello &lt;b&gt; For"
