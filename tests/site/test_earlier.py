"""Earlier: a text is made once and used again for just what it was made from."""

from __future__ import annotations

import pytest

from explain.site.desk import papers
from explain.site.desk.note import NOTE_NAME, Note, note_text, read_note
from explain.site.earlier import Earlier


def made(earlier, name="qr", made_from="a link"):
    """The text, and whether it was made just now."""
    times = []
    return earlier.text(name, made_from, lambda: times.append(1) or f"of {made_from}"), bool(times)


def test_a_text_is_used_again_for_the_same_alone():
    first = Earlier(program="1")
    assert made(first) == ("of a link", True)

    assert made(Earlier(first.now, "1")) == ("of a link", False)
    assert made(Earlier(first.now, "2")) == ("of a link", True)
    assert made(Earlier(first.now, "1"), made_from="another") == ("of another", True)
    assert made(Earlier(first.now, "1"), name="calendar") == ("of a link", True)


def test_what_is_used_again_is_noted_again():
    first = Earlier(program="1")
    made(first)
    second = Earlier(first.now, "1")
    made(second)

    assert second.now == first.now


def test_a_note_is_read_back_and_a_damaged_one_counts_as_none(tmp_path):
    earlier = Earlier()
    made(earlier)
    note = Note("a digest", ("a warning",), "<tr>", ("an-answer",), earlier.now)
    (tmp_path / "T-0001").mkdir()
    (tmp_path / "T-0001" / NOTE_NAME).write_text(note_text(note), encoding="utf-8")

    assert read_note(tmp_path, "T-0001") == note
    (tmp_path / "T-0001" / NOTE_NAME).write_text(note_text(note)[:-20], encoding="utf-8")
    assert read_note(tmp_path, "T-0001") == read_note(tmp_path, "T-0002") == Note()


@pytest.fixture
def drawn(monkeypatch):
    """Links whose code was drawn."""
    links, real = [], papers.qr_code
    monkeypatch.setattr(papers, "qr_code", lambda link: links.append(link) or real(link))
    return links


def test_a_changed_order_keeps_its_code_and_another_address_gets_another(shop, drawn):
    path = shop.order()
    shop.build(path)
    card = (shop.out / "private" / "T-0001" / "card.html").read_text(encoding="utf-8")
    shop.build(shop.order(**{"for": "Odette"}))
    assert len(drawn) == 1
    again = (shop.out / "private" / "T-0001" / "card.html").read_text(encoding="utf-8")
    assert again == card.replace("Odile", "Odette")

    secret = shop.orders / "address.secret"
    secret.write_text("7a" * 32 + "\n", encoding="ascii")
    shop.build(path)
    assert len(set(drawn)) == 2
    assert "<svg" in again
    assert again.split("<svg")[1] not in (shop.out / "private" / "T-0001" / "card.html").read_text(encoding="utf-8")
