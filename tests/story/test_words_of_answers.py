"""What the engine itself says in an answer: the example, the charts' words, and figures set into a sentence."""

from __future__ import annotations

import pytest

from explain.order import read_shop
from explain.order.answer import read_answer
from explain.order.answer_text import PLACE
from explain.site.faq import answer_paths, story_of
from explain.site.own import Own
from tests.conftest import REPOSITORY
from tests.story.readability import paragraphs_of, sentences_of
from tests.story.test_words_of_pages import long_sentences, odd_signs, odd_words

SHOP = read_shop(REPOSITORY / "orders" / "shop.yaml")
PATHS = answer_paths(Own())
FACTS = {
    "shop": "Larch Street Opticians",
    "phone": "802-555-0142",
    "hours": "9 am to 5 pm",
    "returns": "",
    "remakes": "",
    "cover": "",
}

each_answer = pytest.mark.parametrize("name", PATHS)


@pytest.fixture(scope="module")
def stories():
    return {name: story_of(read_answer(PATHS[name], PATHS).answer, SHOP) for name in PATHS}


def said_by_the_engine(story):
    """The example in words, and what its charts and tables say around their numbers."""
    texts = []
    for block in story.blocks:
        match block.kind:
            case "note":
                texts.append(block.text)
            case "figure":
                texts += [block.finding, block.measure, block.note, block.table.note]
            case "table":
                texts += [block.caption, block.note]
    return [text for text in texts if text]


def passages_filled(story):
    """The author's words, every figure of the example in its place."""
    for block in story.blocks:
        if block.kind == "prose":
            values = FACTS | dict(block.values)
            yield from paragraphs_of(PLACE.sub(lambda found, values=values: values[found["asked"].strip()], block.text))


@each_answer
def test_what_the_engine_says_in_an_answer_is_short_plain_and_calm(stories, name):
    texts = said_by_the_engine(stories[name])

    assert long_sentences(texts) == []
    assert odd_words(texts) == []
    assert odd_signs(texts) == []


@each_answer
def test_a_sentence_with_its_figures_in_place_is_still_short(stories, name):
    assert long_sentences(passages_filled(stories[name])) == []


@each_answer
def test_an_answer_starts_with_the_short_answer_of_1_to_3_sentences(stories, name):
    first = next(iter(passages_filled(stories[name])))

    assert stories[name].blocks[0].kind == "prose"
    assert 1 <= len(sentences_of(first)) <= 3


def test_some_answers_have_an_example_charts_and_figures(stories):
    kinds = {block.kind for story in stories.values() for block in story.blocks}

    assert kinds >= {"prose", "note", "figure"}
    assert any(block.values for story in stories.values() for block in story.blocks if block.kind == "prose")
