"""The walker itself: it must see what no catalogue gave, and must not see what need not be translated."""

from __future__ import annotations

from gettext import NullTranslations

import pytest

from explain.language import _, in_context, language, plural, spoken
from explain.story.blocks import Paragraph, Prose, Section
from tests.language.wrapped import Wrapping, not_wrapped, speaking_with


def test_a_text_of_the_catalogue_is_wrapped_with_what_is_filled_in_and_one_of_ours_stands_out():
    with speaking_with(Wrapping()):
        said = _("{thing} is {thick} thick.", thing=_("your lens"), thick="2,0 mm")
        lost = f"{_('your lens')} is {plural('{count} card', '{count} cards', 2)} thick"

    assert said == "««your lens» is 2,0 mm thick.»"
    assert not_wrapped(Section("id", said, said, (Paragraph(said), Prose("name-of-a-file")))) == []
    assert not_wrapped((Paragraph(lost), Paragraph(said, lead="Lead"))) == [lost, "Lead"]


def test_numbers_units_and_what_the_shop_typed_need_no_catalogue():
    assert not_wrapped(("2,0 mm", "45,00 US$", "+1,25", "21 °C", "brown, 3"), typed=("brown",)) == []
    assert not_wrapped(("2,0 mmol", "5 minutes", "browny"), typed=("brown",)) == ["2,0 mmol", "5 minutes", "browny"]


def test_a_text_looked_up_twice_or_an_empty_one_is_an_error():
    with speaking_with(Wrapping()):
        with pytest.raises(AssertionError, match="twice"):
            _(_("lens"))
        with pytest.raises(AssertionError, match="empty"):
            in_context("lens", "")


def test_the_language_is_spanish_inside_and_as_before_afterwards():
    before, spanish = spoken(), language("es_ES")

    with speaking_with(NullTranslations()):
        assert (spoken().code, spoken().decimal_mark) == ("es", ",")
        assert _("Right eye") == "Right eye"

    assert spoken() is before
    assert language("es_ES") is spanish
