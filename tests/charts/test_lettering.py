"""Widths of words and line breaks."""

import string
from pathlib import Path

import matplotlib as mpl
import pytest
from matplotlib.ft2font import FT2Font, LoadFlags

from explain.charts.lettering import text_width, wrapped

SENTENCES = (
    "Standard plastic 1.50",
    "High-index plastic 1.74, in the thickest place 4.0 mm",
    "−12.50 at 170°",
    "$1,234.00 – 12 %",
    "Außenseite, côté nez, średnica",
)


def drawn_width(text, file):
    """Width of a text at 18 units in a font file, without kerning."""
    font = FT2Font(str(Path(mpl.get_data_path(), "fonts", "ttf", file)))
    font.set_size(18, 72)
    glyphs = (font.load_char(ord(character), flags=LoadFlags.NO_HINTING) for character in text)
    return sum(glyph.linearHoriAdvance / 65536 for glyph in glyphs)


@pytest.mark.parametrize("character", string.ascii_letters + string.digits + string.punctuation + " −°–“”’€£½×äßéø")
def test_no_character_is_wider_than_thought(character):
    assert text_width(character) >= drawn_width(character, "DejaVuSans.ttf")


@pytest.mark.parametrize("text", SENTENCES)
def test_sentences_are_at_most_a_seventh_narrower_than_thought(text):
    assert 1.0 <= text_width(text) / drawn_width(text, "DejaVuSans.ttf") <= 7 / 6


@pytest.mark.parametrize("text", SENTENCES)
def test_bold_sentences_are_not_wider_than_thought(text):
    assert text_width(text, bold=True) >= drawn_width(text, "DejaVuSans-Bold.ttf")


@pytest.mark.parametrize("room", [40, 90, 200, 1000])
@pytest.mark.parametrize("text", SENTENCES)
def test_wrapped_lines_fit_and_lose_no_character(text, room):
    lines = wrapped(text, room)
    assert all(text_width(line) <= room for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_words_stay_whole_where_they_fit():
    assert " ".join(wrapped(SENTENCES[1], 120)) == SENTENCES[1]


def test_no_break_space_does_not_break():
    assert wrapped("up to 4.5\N{NO-BREAK SPACE}mm", 90) == ("up to", "4.5\N{NO-BREAK SPACE}mm")


def test_nothing_is_one_empty_line():
    assert wrapped("", 100) == ("",)


def test_lines_are_about_equally_wide():
    lines = wrapped("High-index plastic 1.67 (your choice)", 345)
    assert lines == ("High-index plastic", "1.67 (your choice)")
