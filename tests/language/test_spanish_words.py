"""The long prose in Spanish: the same as the English in form, names, figures and sources; short and plain."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from tests.story.readability import paragraphs_of, sentences_of

REPOSITORY = Path(__file__).resolve().parents[2]
ENGLISH = REPOSITORY / "templates" / "words"
SPANISH = ENGLISH / "es"
NAMES = sorted(path.name for path in ENGLISH.glob("*.md"))
TERMS = yaml.safe_load((REPOSITORY / "explain" / "locale" / "es" / "terms.yaml").read_text(encoding="utf-8"))

FILLED = {"shop.phone": "802-555-0142", "shop.hours": "lunes a viernes", "shop.optician": "Marta Lind"}
DATE = "23 de octubre de 2026"
WORD = re.compile(r"\d[\d./-]*\d|\w+(?:-\w+)*")
COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)

NOT_OURS = re.compile(
    r"\b(gafas|espejuelos|lentillas|coches?|carros?|manejar|maneje|montura|patillas?|graduaciones"
    r"|(?:el|un|los|unos|del|al) lentes?|tú|tu|tus|ti|contigo|vos|vosotros|llámanos|puedes|tienes"
    r"|dos|tres|cuatro|cinco|seis|siete|ocho|nueve|diez|once|doce)\b",
    re.IGNORECASE,
)
"""Words of one country, a lens in the masculine, a reader spoken to as a friend, and numbers in letters."""

each_name = pytest.mark.parametrize("name", NAMES)


def english(name: str) -> str:
    return (ENGLISH / name).read_text(encoding="utf-8")


def spanish(name: str) -> str:
    return (SPANISH / name).read_text(encoding="utf-8")


def form_of(text: str) -> list[str]:
    """What kind of line stands where: heading, item with or without a label, comment, paragraph or nothing."""
    kinds = re.compile(r"### |- \*\*|- |\d+\. |<!--|$")
    return [match[0] if (match := kinds.match(line)) else "text" for line in text.split("\n")]


def figures_of(text: str) -> list[str]:
    """Every number a reader meets, in order of size, without the 1 that Spanish says as an article."""
    return sorted(figure for figure in re.findall(r"\d[\d./]*\d|\d", COMMENT.sub("", text)) if figure != "1")


def filled(text: str) -> str:
    return re.sub(r"\{\{ (.+?) \}\}", lambda found: FILLED.get(found[1], DATE), text)


def test_every_english_text_has_its_spanish_one_and_none_is_left_over() -> None:
    assert sorted(path.name for path in SPANISH.iterdir() if path.name != "__pycache__") == NAMES


@each_name
def test_headings_lists_and_paragraphs_stand_where_they_do_in_english(name: str) -> None:
    assert form_of(spanish(name)) == form_of(english(name))


@each_name
def test_the_same_sources_and_the_same_names_to_fill_in(name: str) -> None:
    for marks in (COMMENT, re.compile(r"\{\{.+?\}\}")):
        assert sorted(marks.findall(spanish(name))) == sorted(marks.findall(english(name)))


@each_name
def test_the_same_figures(name: str) -> None:
    assert figures_of(spanish(name)) == figures_of(english(name))


@each_name
def test_sentences_have_at_most_22_words_and_paragraphs_3_sentences(name: str) -> None:
    paragraphs = paragraphs_of(filled(spanish(name)))

    assert paragraphs
    assert [one for text in paragraphs for one in sentences_of(text) if len(WORD.findall(one)) > 22] == []
    assert [text for text in paragraphs if len(sentences_of(text)) > 3] == []


@each_name
def test_no_word_of_one_country_no_familiar_form_and_no_number_in_letters(name: str) -> None:
    assert [found[0] for found in NOT_OURS.finditer(COMMENT.sub("", spanish(name)))] == []
    assert "!" not in COMMENT.sub("", spanish(name))


def test_the_checks_on_spanish_words_can_fail() -> None:
    found = [one[0] for one in NOT_OURS.finditer("Tus gafas tienen los lentes de dos coches, el lente y un lentes.")]

    assert found == ["Tus", "gafas", "los lentes", "dos", "coches", "el lente", "un lentes"]
    assert figures_of("1 lente de 6.4 mm a 20/40 y 98.") == ["20/40", "6.4", "98"]
    assert form_of("### A\n\n- **B:** c\n- d\n1. e\n<!-- f -->") == ["### ", "", "- **", "- ", "1. ", "<!--"]


def test_each_english_term_has_1_spanish_term() -> None:
    assert len(TERMS) >= 90
    assert all(isinstance(term, str) and term.strip() for pair in TERMS.items() for term in pair)
    assert [term for term in TERMS.values() if NOT_OURS.search(term)] == []
