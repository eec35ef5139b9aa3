"""Hostile words, typed wherever words may be typed: they stand everywhere as typed, and are nothing but words."""

from __future__ import annotations

import csv
import html
import io
import json
import re
from collections import Counter
from urllib.parse import parse_qs, unquote, urlsplit

import pytest
from icalendar import Calendar

from explain.cli import main
from explain.order import OrderError, read_order, read_shop
from explain.order.keys import ORDER_KEYS, SHOP_KEYS
from tests.guard.hostile import (
    BOUND_TEXTS,
    NEW,
    ORDER_TEXTS,
    PLACES,
    SHOP_TEXTS,
    build,
    marked,
    parsed,
    seen,
    write_all,
)

PLAIN = "Zq7 plain "
TAKEN = {
    "a script": "Zq7<script>alert(1)</script>\"'>",
    "the end of a style": "Zq7</style></title>]]><!--{{7*7}}",
    "a handler and template marks": "Zq7\" onload='x' {% x %}[[figure]]",
    "Markdown": "Zq7[a](https://x.example)*b*_c_`d`",
    "a picture in Markdown": "Zq7![a](//x.example/b) \n# c",
    "a new line of a calendar": "Zq7\r\nEND:VEVENT\r\nBEGIN:VALARM\r\n",
    "a formula": '=HYPERLINK("x";"Zq7")',
    "another formula": "@SUM(1+1)*cmd|' /C Zq7'!A0",
    "marks of other languages": "Zq7&lt;b&gt;&#60;i%3Cu{0}%s%(x)s\\3c",
    "letters from right to left": "Zq7 שרה אבג ",
    "pictures": "Zq7 \N{EYEGLASSES}👩🏽‍🦱é̀ ＜b＞",
}
REFUSED = {
    "a mark that turns round": "Zq7\u202eabc",
    "a mark of a side": "Zq7\u200fabc",
    "a mark that isolates": "Zq7\u2067abc",
    "a space without width": "Zq7\u200babc",
    "an unseen join": "Zq7\u2060abc",
    "NUL": "Zq7\x00abc",
    "a bell": "Zq7\x07abc",
    "a colour of the terminal": "Zq7\x1b[31mabc",
    "a line of its own": "Zq7\u0085\x85abc\x9b31m",
    "a letter of one's own": "Zq7\ue000abc",
    "10 kB": "Zq7" * 3400,
}
WITH_ANSWERS = ("a script", "the end of a style", "Markdown")
NOTES = ("private/T-0001/desk.json", "private/build-record.txt")
"""What builds note for themselves: warnings quote the file as it was typed."""
WRAPPED = ("tspan", "dy", "x")
"""A line of words that a drawing has no room for in one."""
INVISIBLE = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]")


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    """What plain words give: the elements of each kind of page, and which places it shows."""
    with pytest.MonkeyPatch.context() as patch:
        return build(tmp_path_factory.mktemp("plain"), PLAIN, _Nobody(), patch)


class _Nobody:
    def readouterr(self):
        return ("", "")


def by_kind(outcome):
    """Every HTML file under a name that is the same in every build."""
    found = {}
    for name, text in outcome.files("*.html").items():
        if outcome.lent and name.startswith("upload/answers/"):
            continue
        kind = re.sub(r"upload/[a-z2-7]{32}/", "page of NEW/" if "Order T-0002" in text else "notice/", name)
        found[kind] = text
    return found


def shape(soup):
    """How often each element with its attributes stands outside drawings, and which ones stand at all inside."""
    drawings = soup.find_all("svg")
    inside = {(tag.name, *sorted(tag.attrs)) for drawing in drawings for tag in drawing.find_all()}
    for drawing in drawings:
        drawing.clear()
    return Counter((tag.name, *sorted(tag.attrs)) for tag in soup.find_all()), inside - {WRAPPED}


def places_in(outcome, text):
    return [place for place in PLACES if outcome.said_at(place) in seen(text).replace("\u2011", "-")]


def without_warnings(kind, soup):
    """The desk tells warnings in words of ours, which quote what was typed: how many there are depends on the words."""
    for element in soup.find_all("ul") if kind == "private/index.html" else ():
        element.decompose()
    return soup


def test_every_text_that_may_be_typed_is_tried():
    texts = {key.path for keys in (ORDER_KEYS, SHOP_KEYS) for key in keys.keys if key.kind == "text"}

    assert texts - BOUND_TEXTS - {*ORDER_TEXTS, *SHOP_TEXTS} == set()


def test_plain_words_stand_in_every_place(plain):
    assert set(places_in(plain, parsed(plain.order_page()).get_text(" "))) == set(PLACES)


@pytest.mark.parametrize("kind", TAKEN)
def test_they_stand_as_typed_and_are_nothing_but_words(kind, plain, tmp_path, capsys, monkeypatch):
    answers = None if kind in WITH_ANSWERS else plain.folder
    outcome = build(tmp_path, TAKEN[kind], capsys, monkeypatch, answers)

    pages, plain_pages = by_kind(outcome), by_kind(plain)
    assert set(plain_pages) - set(pages) == {name for name in plain_pages if answers and "upload/answers/" in name}
    for page, text in pages.items():
        soup, plain_soup = (without_warnings(page, parsed(one)) for one in (text, plain_pages[page]))
        assert places_in(outcome, soup.get_text(" ")) == places_in(plain, plain_soup.get_text(" ")), page
        ours, ours_inside = shape(soup)
        theirs, theirs_inside = shape(plain_soup)
        assert ours == theirs, page
        assert ours_inside - theirs_inside == set(), page
        assert INVISIBLE.search(text) is None, page
    _is_one_calendar(outcome, plain)
    _is_json(outcome)
    _can_be_sent(outcome, capsys)


def _is_one_calendar(outcome, plain):
    (text,) = (text for name, text in outcome.files("reminders.ics").items() if name.startswith("upload/"))
    (other,) = (text for name, text in plain.files("reminders.ics").items() if name.startswith("upload/"))
    ours, theirs = (Calendar.from_ical(one) for one in (text, other))

    assert [sorted(event) for event in ours.walk()] == [sorted(event) for event in theirs.walk()]
    told = " ".join(str(event.get("description")) for event in ours.walk("VEVENT"))
    assert outcome.said_at("name") in seen(told)


def _is_json(outcome):
    for name, text in outcome.files("*.json").items():
        assert json.loads(text), name


def _can_be_sent(outcome, capsys):
    """CSV, JSON, mail and text message of one order: every field in its place, no formula, the link last."""
    assert main(["links", "--csv", "--out", "out"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert main(["links", "--json", "--out", "out"]) == 0
    listed = json.loads(capsys.readouterr().out)

    assert [row["order"] for row in rows] == [row["order"] for row in listed]
    assert [row["order"] for row in rows] == [NEW]  # the page of the older order leads on to it
    for row, other in zip(rows, listed, strict=True):
        assert None not in row
        assert not any(cell.startswith(tuple("=+-@\t\r")) for cell in row.values())
        assert {name: cell.removeprefix("'") for name, cell in row.items()} == {k: v or "" for k, v in other.items()}
        assert seen(other["first_name"]) == outcome.said_at("for")
        assert outcome.said_at("for") in seen(other["message"])
        assert other["message"].splitlines()[-1] == other["link"]
    _desk_sends(outcome, {row["message"] for row in listed})


def _desk_sends(outcome, messages):
    desk = parsed(outcome.files("index.html")["private/index.html"])
    mails = [urlsplit(tag["href"]) for tag in desk.find_all("a", href=re.compile("^mailto:"))]
    texts = [tag["href"] for tag in desk.find_all("a", href=re.compile("^sms:"))]

    for mail in mails:
        fields = parse_qs(mail.query, strict_parsing=True)
        assert (set(fields), mail.path, mail.fragment) == ({"subject", "body"}, "", "")
        assert {fields["body"][0].replace("\r\n", "\n")} <= messages
    assert {unquote(text.removeprefix("sms:?&body=")) for text in texts} == messages
    assert len(mails) == len(texts) == len(messages)


@pytest.mark.parametrize("words", REFUSED.values(), ids=REFUSED.keys())
@pytest.mark.parametrize("place", PLACES)
def test_what_cannot_be_seen_or_is_far_too_long_is_refused_in_words(words, place, tmp_path):
    write_all(tmp_path, words, frozenset(PLACES) - {place})

    with pytest.raises(OrderError) as refused:
        read_order(tmp_path / f"{NEW}.yaml", read_shop(tmp_path / "shop.yaml"))

    (fault, *_) = refused.value.faults
    assert fault.file.endswith("shop.yaml" if place in SHOP_TEXTS else f"{NEW}.yaml")
    assert fault.line > 0
    assert fault.allowed
    assert fault.advice
    assert len(str(refused.value)) < 2000
    assert INVISIBLE.search(str(refused.value)) is None


@pytest.mark.parametrize("words", ["Zq7\u202eabc", "Zq7\u2066abc"])
def test_a_remark_that_turns_round_is_refused_too(words, tmp_path):
    write_all(tmp_path, PLAIN)
    path = tmp_path / f"{NEW}.yaml"
    path.write_text(f"{path.read_text(encoding='utf-8')}# {words}\n", encoding="utf-8")

    with pytest.raises(OrderError, match="turns the writing direction"):
        read_order(path, read_shop(tmp_path / "shop.yaml"))


def test_a_name_from_right_to_left_is_enclosed_wherever_it_stands(plain, tmp_path, capsys, monkeypatch):
    outcome = build(tmp_path, TAKEN["letters from right to left"], capsys, monkeypatch, plain.folder)
    letter = "[\u05d0-\u05ea]"

    for name, text in outcome.files("*").items():
        told = html.unescape(text).replace("\\2068 ", "\u2068").replace("\\2069 ", "\u2069").replace("\r\n ", "")
        outside = re.sub("\u2068[^\u2068\u2069]*\u2069", "", unquote(told))
        assert re.search(letter, outside) is None or name in NOTES, name
    assert re.search(letter, outcome.order_page())


def test_the_number_behind_words_tells_places_apart():
    assert len({marked(PLAIN, place) for place in PLACES}) == len(PLACES)
