"""Every message of a draft, word for word. Refresh with `python -m tests.draft.messages`, and read what changed."""

from __future__ import annotations

import pytest

from tests.draft.messages import examples, said

JARGON = ("traceback", "none type", "exception", "decode", "parse", "errno", "delimiter", "null")


@pytest.mark.parametrize("example", examples(), ids=lambda example: example["id"])
def test_a_draft_says_its_exact_words(example):
    assert example["said"]
    assert said(example) == example["said"]


@pytest.mark.parametrize("example", examples(), ids=lambda example: example["id"])
def test_no_message_speaks_of_the_machinery(example):
    assert [word for word in JARGON if word in example["said"].lower()] == []
