"""Render: the template and its context know the same names, and nothing typed in an order becomes markup."""

from __future__ import annotations

import html5lib
import pytest
from bs4 import BeautifulSoup
from jinja2 import UndefinedError, meta, nodes
from msgspec.structs import replace

from explain.site.clean import safe_html
from explain.site.faq_pages import AnswerContext, IndexContext
from explain.site.places import templates_folder
from explain.site.render import PageContext, _Prose, phone_link, render, style
from explain.site.templating import css_text, environment, words_template
from explain.story.blocks import Prose
from explain.story.page import tell
from tests.story.invented import pair_in

GIVEN_BY_RENDER = {"picture", "prose", "sketch"}
NASTY_NAMES = ["<script>alert(1)</script>", "{{ 7*7 }}", "{% raw %}", "A & B", '"><img src=x>', "<!-- x"]


@pytest.fixture
def page_of(tmp_path):
    def page(**changes):
        text = render(tell(pair_in(tmp_path, **changes)))
        html5lib.HTMLParser(strict=True).parse(text)
        return BeautifulSoup(text, "html5lib")

    return page


def names_used(template):
    """The names a template takes from its context, those of the parts it brings in included."""
    templates = environment()
    tree = templates.parse(templates.loader.get_source(templates, template)[0])
    imported = {name for node in tree.find_all(nodes.FromImport) for name in node.names}
    used = meta.find_undeclared_variables(tree) - imported
    return used.union(*(names_used(part) for part in meta.find_referenced_templates(tree)))


def test_the_context_holds_every_name_the_template_uses_and_no_other():
    assert names_used("order.html") == set(PageContext.__struct_fields__) | GIVEN_BY_RENDER


@pytest.mark.parametrize(
    ("template", "context", "given"),
    [("faq.html", AnswerContext, GIVEN_BY_RENDER - {"sketch"}), ("faq-index.html", IndexContext, set())],
)
def test_the_context_of_an_answer_holds_every_name_its_template_uses_and_no_other(template, context, given):
    assert names_used(template) == set(context.__struct_fields__) | given


def test_every_template_is_used_by_a_page():
    def reached(template):
        templates = environment()
        tree = templates.parse(templates.loader.get_source(templates, template)[0])
        return {template}.union(*(reached(part) for part in meta.find_referenced_templates(tree)))

    folder = templates_folder()
    pages = (
        "order.html",
        "faq.html",
        "faq-index.html",
        "desk.html",
        "desk-bench.html",
        "desk-card.html",
        "desk-row.html",
        "notice.html",
        "sealed.html",
    )
    assert {path.relative_to(folder).as_posix() for path in folder.rglob("*.html")} == set().union(
        *(reached(page) for page in pages)
    )


def test_a_name_the_template_does_not_know_is_an_error():
    with pytest.raises(UndefinedError):
        environment().from_string("{{ unheard_of }}").render()


@pytest.mark.parametrize("name", NASTY_NAMES)
def test_a_first_name_is_shown_as_typed_and_is_never_markup(page_of, name):
    page = page_of(**{"for": name})

    assert name in page.h1.get_text()
    assert page.find(["script", "img"]) is None
    assert "49" not in page.h1.get_text()


@pytest.mark.parametrize("name", ["<b>Rowan</b>", 'The "Wren" & more', "Alder's", "{{ order_number }}"])
def test_the_name_of_a_frame_is_shown_as_typed(page_of, name):
    page = page_of(frame={"name": name})

    assert name in page.find(id="first").get_text()
    assert name in page.find(id="keep").get_text()


def test_every_other_text_of_an_order_is_shown_as_typed(page_of):
    nasty = "<i>&\"'{{1+1}}"
    page = page_of(
        frame={"colour": nasty},
        checked={"right": "-4.50 DS"},
        accepted={"by": nasty, "why": nasty},
        price=[{"item": nasty, "amount": "10.00"}],
    )

    assert page.find("i") is None
    for part in ("first", "checked", "price", "keep"):
        assert nasty in page.find(id=part).get_text(), part


def test_every_text_of_the_shop_is_shown_as_typed(page_of):
    nasty = "<i>&\"'{{1+1}}"
    page = page_of(shop=dict.fromkeys(("name", "optician", "hours", "returns", "remakes", "tax-number"), nasty))

    assert page.find("i") is None
    text = page.body.get_text()
    assert text.count(nasty) >= 8
    assert "&lt;" not in text


@pytest.mark.parametrize("hours", ["9 to 5 *not Sunday*", "[here](https://example.org)", "# 9 to 5", "9_to_5_pm"])
def test_the_hours_of_the_shop_are_words_and_not_markdown(page_of, hours):
    page = page_of(shop={"hours": hours})

    calling = page.find(id="calling")
    assert hours in calling.get_text()
    assert calling.find("em") is None
    assert [link["href"] for link in page.find_all("a") if not link["href"].startswith(("#", "tel:"))] == []


@pytest.mark.parametrize(
    ("typed", "link"),
    [("(555) 010-0142", "tel:5550100142"), ("+44 1632 960000", "tel:+441632960000"), (" +1.555", "tel:+1555")],
)
def test_a_phone_number_becomes_a_link_to_call(typed, link):
    assert phone_link(typed) == link


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("QH-2101", "QH-2101"),
        ("(555) 010-0142", "(555) 010-0142"),
        ('"; } body { x', r"\22 \3b  \7d  body \7b  x"),
        ("</style>", r"\3c /style\3e "),
        ("a\\b\nc", r"a\5c b\a c"),
        ("", ""),
    ],
)
def test_text_inside_the_stylesheet_cannot_end_its_string(text, expected):
    assert str(css_text(text)) == expected


def test_a_number_of_an_order_stands_in_the_stylesheet_for_the_printed_sheets(page_of):
    assert "Order T-0001 · (555) 010-0142" in page_of().style.string


def test_the_stylesheet_is_carried_without_its_comments():
    assert "/*" not in style()
    assert style().count("{") == style().count("}") > 20
    assert style("order.css").startswith(style())


@pytest.mark.parametrize(("locale", "lang"), [("en_US", "en-US"), ("en_GB", "en-GB")])
def test_the_page_says_its_language(page_of, locale, lang):
    assert page_of(shop={"locale": locale}).html["lang"] == lang


def test_every_kind_of_lens_and_eye_renders_as_valid_pages(page_of):
    add = {"add": "2.00", "heights": "18 / 18"}
    for changes in (
        {"prescription": {"left": "none"}},
        {"prescription": {"right": "balance"}},
        {"prescription": add, "lenses": {"design": "bifocal", "add-ons": ["light-reactive", "blue-filter"]}},
        {"prescription": {"right": {"sphere": "-1.00", "prism": ["1 up", "2 out"]}}, "wearer": ["one good eye"]},
    ):
        assert page_of(**changes).h1


def test_kept_words_are_those_that_jinja_fills_with_all_names(tmp_path):
    """Twice for each shop, so that what was kept for one is never given to the other."""
    words = [path.stem for path in (templates_folder() / "words").glob("*.md")]
    shops = {"Ada & Bo": {}, "*Cy*": {"phone": "(555) 010-0177", "hours": "<all day>"}}
    stories = [tell(pair_in(tmp_path, shop=shop, **{"for": name})) for name, shop in shops.items()]
    proses = [_Prose(story, ()) for story in (*stories, replace(stories[0], recheck="1 & 2 May"), *stories)]
    for name in words:
        for prose in proses:
            text = environment().get_template(words_template(name)).render(prose._names)
            assert prose.html(Prose(name)) == safe_html(text)


def test_own_words_may_use_any_name_they_are_filled_with(tmp_path):
    own = (("words/care.md", "{{ for }}: {{shop.name}}, {{ shop.optician }}, {{ recheck_date }}"),)
    for name in ("Ada", "Bo"):
        story = tell(pair_in(tmp_path, **{"for": name}))
        said = f"<p>{name}: {story.shop.name}, {story.shop.optician}, {story.recheck}</p>"
        assert BeautifulSoup(_Prose(story, own).html(Prose("care")), "html5lib").p.decode() == said
