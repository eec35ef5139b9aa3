"""The sentences that story writes: short, plain and in US English, on every demo page and a few rare ones."""

from __future__ import annotations

import re

import pytest

from tests.story.readability import sentences_of, words_of
from tests.story.test_words import BRITISH, banned_in

RARE = {
    "one lens": {"prescription": {"left": "none"}},
    "balance": {"prescription": {"right": "balance"}},
    "prism and mixed": {
        "prescription": {
            "right": {"sphere": "+1.00", "cylinder": "-2.50", "axis": "10", "prism": ["1 up", "2 in"]},
            "left": {"sphere": "+0.50", "prism": "3 out"},
        }
    },
    "no ready-made reader": {
        "prescription": {"right": "-9.00 DS", "left": "-9.00 DS", "add": "1.00", "pd": "62", "heights": "20 / 20"},
        "lenses": {"design": "progressive", "material": "high-index-1.74"},
    },
    "outside twice": {
        "checked": {"right": "-4.50 DS", "left": "-3.50 DS"},
        "accepted": {"by": "Odile", "why": "She asked for it."},
    },
    "nothing saved": {
        "lenses": {"material": "high-index-1.74"},
        "prescription": {"right": "plano", "left": "+0.25 DS"},
    },
    "part paid": {"paid": "100.00", "balance": "80.00"},
    "dark tint": {
        "lenses": {"add-ons": ["sun-tint", "polarised"], "tint": {"colour": "brown", "category": "4"}},
    },
}


def told(page):
    """What story says in sentences: no tables, and not the words of the shop or of whoever accepted the pair."""
    others = {page.shop.returns, page.shop.remakes, *(tax.why for tax in page.shop.taxes)}
    others |= {page.order.accepted.why} if page.order.accepted else set()
    blocks = [block for group in page.groups for section in group.sections for block in section.blocks]
    texts = [page.first.message, page.first.urgent, *(f"{step.what} {step.how}" for step in page.first.first)]
    for block in blocks:
        match block.kind:
            case "paragraph" | "note":
                texts.append(block.text)
            case "bullets":
                texts += block.items
            case "pictured" | "checks":
                texts += [text for step in block.items for text in (step.what, step.how)]
            case "choice":
                texts += block.for_your_pair
            case "steps":
                texts += [how for _, how in block.items]
            case "caution":
                texts += [block.watch, block.why, f"{block.now} {block.who}".strip()]
            case "diary":
                texts += [*(stage.what for stage in block.stages), block.note]
            case "figure":
                texts += [block.finding, block.measure, block.note]
    return [text for text in texts if text and text not in others]


def long_sentences(texts):
    sentences = [sentence for text in texts for sentence in sentences_of(text)]
    return [sentence for sentence in sentences if len(words_of(sentence)) > 20]


def odd_words(texts):
    return [(word, text) for text in texts for word in (*banned_in(text), *BRITISH.findall(text))]


def odd_signs(texts):
    return [text for text in texts if re.search(r"!|--|[–—]|(?<![\w)])-\d|\d-\d{2}(?![\d-])", text)]


@pytest.fixture(params=RARE)
def rare_page(request, page_of):
    return page_of(**RARE[request.param])


def test_no_sentence_of_a_demo_page_is_longer_than_20_words(demo_page):
    assert long_sentences(told(demo_page)) == []


def test_no_sentence_of_a_rare_page_is_longer_than_20_words(rare_page):
    assert long_sentences(told(rare_page)) == []


def test_no_paragraph_of_a_demo_page_is_longer_than_3_sentences(demo_page):
    assert [text for text in told(demo_page) if len(sentences_of(text)) > 3] == []


def test_the_sentences_of_a_demo_page_average_at_most_14_words(demo_page):
    sentences = [sentence for text in told(demo_page) for sentence in sentences_of(text)]

    assert sum(len(words_of(sentence)) for sentence in sentences) / len(sentences) <= 14


def test_a_demo_page_has_no_word_that_sells_frightens_or_puzzles(demo_page):
    assert odd_words(told(demo_page)) == []


def test_a_rare_page_has_no_word_that_sells_frightens_or_puzzles(rare_page):
    assert odd_words(told(rare_page)) == []


def test_a_demo_page_writes_a_proper_minus_sign_and_to_between_numbers(demo_page):
    assert odd_signs(told(demo_page)) == []


def test_the_checks_on_sentences_can_fail():
    assert long_sentences(["One " * 21 + "end."]) != []
    assert odd_words(["It is the best in grey."]) == [
        ("best", "It is the best in grey."),
        ("grey", "It is the best in grey."),
    ]
    assert odd_signs(["from -2 dioptres", "Great!"]) == ["from -2 dioptres", "Great!"]
