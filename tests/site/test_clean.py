"""Clean: whatever Markdown a shop writes, no script, no picture, no frame and no odd link reaches a page."""

from __future__ import annotations

import html5lib
import pytest
from bs4 import BeautifulSoup

from explain.site.clean import ATTRIBUTES, LINKS, TAGS, safe_html
from explain.site.places import templates_folder

NASTY = [
    "<script>alert(1)</script>",
    "<SCRIPT SRC=//evil.example/x.js></SCRIPT>",
    "<img src=x onerror=alert(1)>",
    "![picture](https://evil.example/pixel.png)",
    "![picture](data:image/svg+xml;base64,PHN2Zz4=)",
    "[call](javascript:alert(1))",
    "[call](JaVaScRiPt:alert(1))",
    "[call](java\tscript:alert(1))",
    "[call](&#106;avascript:alert(1))",
    "[call](vbscript:msgbox(1))",
    "[call](data:text/html,<script>alert(1)</script>)",
    "[call](//evil.example)",
    "[call](http://evil.example)",
    "[call](../../private/numbers.json)",
    "[call](file:///etc/passwd)",
    '<a href="javascript:alert(1)" onclick="alert(1)">call</a>',
    '<iframe src="https://evil.example"></iframe>',
    "<style>body { background: url(https://evil.example) }</style>",
    '<p style="background:url(//evil.example)" onmouseover="alert(1)" id="contents" class="x">text</p>',
    '<form action="https://evil.example"><input name="x"><button>Go</button></form>',
    "<svg><script>alert(1)</script><a xlink:href='javascript:alert(1)'>x</a></svg>",
    "<math><mtext></table><mglyph><style><img src=x onerror=alert(1)></style></mglyph></mtext></math>",
    "<!--><script>alert(1)</script>-->",
    "<noscript><p title='</noscript><img src=x onerror=alert(1)>'></noscript>",
    "<base href='https://evil.example/'><meta http-equiv=refresh content='0;url=https://evil.example'>",
    "<object data='https://evil.example'></object><embed src='https://evil.example'>",
    "[call]: javascript:alert(1)\n\n[call][call]",
    "<https://evil.example/?q=<script>>",
    "</body></html><h1>mine</h1>",
    "`<script>alert(1)</script>`",
]  # fmt: skip


def soup_of(text):
    """The HTML of a Markdown text as a browser's parser reads it, alone in a page."""
    page = f'<!DOCTYPE html><html lang="en"><head><title>x</title></head><body>{safe_html(text)}</body></html>'
    html5lib.HTMLParser(strict=True).parse(page)
    return BeautifulSoup(page, "html5lib").body


@pytest.mark.parametrize("text", NASTY)
def test_nothing_nasty_gets_through(text):
    body = soup_of(f"Before.\n\n{text}\n\nAfter.")

    tags = body.find_all()
    assert {tag.name for tag in tags} <= TAGS
    assert {name for tag in tags for name in tag.attrs} <= ATTRIBUTES["a"]
    links = [tag["href"] for tag in body.find_all("a", href=True)]
    assert [link for link in links if not link.startswith("https://evil.example/?q=")] == []
    assert "Before." in body.get_text()


def test_there_are_at_least_20_nasty_inputs_and_each_would_do_something_uncleaned():
    import markdown

    marks = (
        "<script",
        "<img",
        "javascript:",
        "<iframe",
        "style",
        "onclick",
        "<form",
        "<object",
        "<base",
        "href=",
        "<h1>",
    )

    assert len(NASTY) >= 20
    assert [text for text in NASTY if not any(mark in markdown.markdown(text).lower() for mark in marks)] == [
        "`<script>alert(1)</script>`"
    ]


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("One **bold** word.", "<p>One <strong>bold</strong> word.</p>"),
        ("## What to do", "<h2>What to do</h2>"),
        ("1. First\n2. Second", "<ol>\n<li>First</li>\n<li>Second</li>\n</ol>"),
        ("[call](tel:+15550100)", '<p><a href="tel:+15550100">call</a></p>'),
        ("[write](mailto:a@b.example)", '<p><a href="mailto:a@b.example">write</a></p>'),
        ("[see](thick-edges.html#why)", '<p><a href="thick-edges.html#why">see</a></p>'),
        ("[rule](https://law.example)", '<p><a href="https://law.example">rule</a></p>'),
        ("5 < 6 & 7 > 6", "<p>5 &lt; 6 &amp; 7 &gt; 6</p>"),
    ],
)
def test_plain_words_lists_and_links_pass_as_they_are(text, holds):
    assert str(safe_html(text)) == holds


def test_no_link_of_another_kind_is_listed():
    assert {"https", "mailto", "tel"} == LINKS


def test_our_own_words_lose_nothing_when_cleaned():
    import markdown

    from explain.order.answer_text import COMMENT

    for path in sorted((templates_folder() / "words").glob("*.md")):
        text = COMMENT.sub("", path.read_text(encoding="utf-8"))
        plain = BeautifulSoup(markdown.markdown(text), "html5lib").body
        assert [tag.name for tag in soup_of(text).find_all()] == [tag.name for tag in plain.find_all()], path.name


def test_ctrl_c_while_an_address_is_asked_about_costs_no_link(monkeypatch):
    def interrupted(*_):
        raise KeyboardInterrupt

    text = "[call](tel:5550100142) while somebody presses Ctrl-C"
    with monkeypatch.context() as patch:
        patch.setattr("explain.site.clean._address", interrupted)
        with pytest.raises(KeyboardInterrupt):
            safe_html(text)

    assert 'href="tel:5550100142"' in safe_html(text)
