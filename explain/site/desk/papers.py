"""Papers of one order that stay in private/: the card for the box, and the sheet for the bench."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from explain.charts.bench import draw_bench
from explain.language import speaking, spoken
from explain.site.desk.link import page_link
from explain.site.earlier import Earlier
from explain.site.render import html_language, style
from explain.site.sketches import inline
from explain.site.templating import environment
from explain.story.bench import bench_sheet
from explain.story.card import card_words
from explain.story.pair import Pair

BENCH_NAME = "bench.html"
CARDS = {"card.html": "a6", "card-4x6.html": "inches"}
"""The two cards with the paper each is for, as desk.css names it: A6 (ISO 216), and 4 by 6 inches."""
PAPER_NAMES = {BENCH_NAME: "Bench sheet", "card.html": "Card A6", "card-4x6.html": "Card 4 x 6 in"}
ENGLISH = "en_US"
"""What the desk speaks: its pages are for the shop."""


def papers(pair: Pair, address: str, earlier: Earlier) -> dict[str, str | None]:
    """The papers of one order by the names of their files; without a web address there is no card, hence None."""
    if pair.shop.web_address is None:
        return {BENCH_NAME: bench_html(pair), **dict.fromkeys(CARDS)}
    link = page_link(pair.shop, address, pair.order.number)
    qr = Markup(earlier.text("qr", link, lambda: qr_code(link)))  # noqa: S704  as drawn just now, or kept in private/
    return {BENCH_NAME: bench_html(pair), **{name: card_html(pair, link, qr, paper) for name, paper in CARDS.items()}}


def card_html(pair: Pair, link: str, qr: Markup, paper: str) -> str:
    """The card for the box, in the language of the page. paper: one of CARDS."""
    words = card_words(pair.order, pair.shop)
    given = {"card": words, "shop": pair.shop, "link": link, "qr": qr}
    return html("desk-card.html", lang=html_language(spoken().locale), title=words.title, paper=paper, **given)


def qr_code(link: str) -> str:
    """Draw the QR code of a link (ISO/IEC 18004, level M) as inline SVG, black on white in every colour scheme.

    It is squares only: the link itself is not in it as text.
    """
    import segno  # noqa: PLC0415  slow to import, and seldom needed: codes are kept

    code = segno.make(link, error="m", micro=False)
    drawn: str = code.svg_inline(border=4, dark="#000", light="#fff", omitsize=True, svgclass=None, lineclass=None)
    return drawn


def bench_html(pair: Pair) -> str:
    """The sheet for the bench."""
    with speaking(ENGLISH):
        sheet = bench_sheet(pair)
        drawn = [inline(draw_bench(one, f"b{at}")) for at, one in enumerate(sheet.drawings)]
        told = {name: getattr(sheet, name) for name in sheet.__struct_fields__}
        title = f"Bench sheet, order {sheet.number}"
        return html("desk-bench.html", lang="en", title=title, shop=pair.shop, drawn=drawn, **told)


def html(template: str, **given: Any) -> str:
    """Fill one of the desk's templates; the desk's own rules stand behind those of the one stylesheet."""
    return environment().get_template(template).render(style=style("desk.css"), **given)
