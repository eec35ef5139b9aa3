"""The long words of a Spanish page: each file is there, holds no English, and is the one that the page takes."""

from __future__ import annotations

import re

import pytest
from jinja2 import TemplateNotFound

from explain.language import speaking
from explain.site.places import templates_folder
from explain.site.templating import environment, words_template

NAMES = sorted(path.stem for path in (templates_folder() / "words").glob("*.md"))
ENGLISH_WORDS = re.compile(
    r"\b(the|and|or|of|your|you|with|is|are|was|for|from|that|this|these|not|it|we|they|them|when|which|what|if|"
    r"lens|lenses|glasses|eye|eyes|call)\b",
    re.IGNORECASE,
)
LEFT_OUT = re.compile(r"<!--.*?-->|\{\{.*?\}\}", re.DOTALL)


def english_in(text):
    return ENGLISH_WORDS.findall(LEFT_OUT.sub("", text))


@pytest.mark.parametrize("name", NAMES)
def test_a_file_of_long_words_has_its_spanish_twin_without_english_in_it(name):
    path = templates_folder() / "words" / "es" / f"{name}.md"

    assert path.is_file(), f"templates/words/es/{name}.md is missing"
    assert english_in(path.read_text(encoding="utf-8")) == []


def test_the_check_on_english_words_can_fail():
    assert english_in("Lave the paño {{ for }} con agua and jabón. <!-- sources: of the trade -->") == ["the", "and"]


def test_a_page_takes_the_words_of_its_language():
    assert words_template("care") == "words/care.md"
    with speaking("es_US"):
        assert words_template("care") == "words/es/care.md"


def test_words_without_a_translation_stop_the_page_and_are_never_said_in_english():
    with speaking("es_US"), pytest.raises(TemplateNotFound):
        environment().get_template(words_template("nowhere"))
