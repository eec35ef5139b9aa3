"""Policy: every page of upload/ lets nothing in, runs nothing and asks nothing of another computer."""

from __future__ import annotations

import base64
import hashlib
import re

import pytest

from explain.site.publish import POLICY

SCHEMES = ("tel:", "#")
CHART = "data:image/png;base64,"
LOADING = {
    *("img", "image", "source", "video", "audio", "track", "iframe", "frame", "object", "embed", "applet", "link"),
    *("script", "use", "feimage", "portal", "base", "form", "foreignobject", "animate", "set", "handler"),
}
"""What could load, run, send or move something; pictures of our charts are looked at one by one."""


def policy_of(soup):
    (meta,) = soup.find_all("meta", attrs={"http-equiv": re.compile("content-security-policy", re.IGNORECASE)})
    return dict(part.strip().partition(" ")[::2] for part in meta["content"].split(";"))


def elements(soups):
    return ((name, tag) for name, soup in soups.items() for tag in soup.find_all())


def test_there_are_pages_of_every_kind(soups):
    titles = {soup.title.get_text() for soup in soups.values()}

    assert len(soups) > 100
    assert {"index.html", "answers/index.html"} <= set(soups)
    assert {"Your glasses", "Nothing here"} <= titles
    assert sum(soup.find("main", class_="notice") is not None for soup in soups.values()) == 2


def test_every_page_allows_at_most_what_the_headers_do_and_no_style_but_its_own(soups):
    headers = dict(part.strip().partition(" ")[::2] for part in POLICY.split(";"))

    for name, soup in soups.items():
        policy = policy_of(soup)
        assert policy["default-src"] == policy["base-uri"] == policy["form-action"] == "'none'", name
        assert set(policy) <= set(headers), name
        assert policy.get("img-src", "data:") == "data:", name
        own = [f"'sha256-{base64.b64encode(hashlib.sha256(one.string.encode()).digest()).decode()}'"
               for one in soup.find_all("style")]  # fmt: skip
        assert policy.get("style-src", "").split() == own, name


def test_the_policy_stands_before_anything_that_it_governs(demo):
    for page in demo.pages():
        text = page.read_text(encoding="utf-8")
        governed = min(text.find(mark) for mark in ("<title", "<style", "<body") if mark in text)
        assert -1 < text.find("Content-Security-Policy") < governed, page


def test_no_page_tells_where_its_reader_came_from(soups):
    for name, soup in soups.items():
        assert soup.find("meta", attrs={"name": "referrer"})["content"] == "no-referrer", name


def test_no_page_has_a_handler_a_style_of_an_element_or_anything_that_loads(soups):
    found = [
        (name, tag.name, attribute)
        for name, tag in elements(soups)
        for attribute in tag.attrs
        if attribute.lower().startswith("on")
        or attribute.lower() in ("style", "srcset", "ping", "background", "srcdoc", "action", "formaction", "poster")
    ]
    loading = [(name, tag.name) for name, tag in elements(soups) if tag.name.lower() in LOADING - {"image"}]

    assert found == []
    assert loading == []


def test_every_address_in_a_page_is_a_phone_number_or_a_place_in_upload(soups, demo):
    odd = []
    for name, tag in elements(soups):
        for attribute, value in tag.attrs.items():
            if attribute.lower().rpartition(":")[2] not in ("href", "src", "data", "cite"):
                continue
            if tag.name == "image" and value.startswith(CHART):
                continue
            inside = ((demo.upload / name).parent / value.partition("#")[0]).resolve()
            if not (value.startswith(SCHEMES) or (inside.is_file() and inside.is_relative_to(demo.upload.resolve()))):
                odd.append((name, tag.name, value))

    assert odd == []


@pytest.mark.parametrize("words", ["javascript:", "vbscript:", "data:text", "@import", "expression(", "http:", "//"])
def test_no_page_holds_a_way_out_in_its_attributes_or_styles(soups, words):
    for name, soup in soups.items():
        styles = " ".join(style.get_text() for style in soup.find_all("style"))
        values = [
            str(value)
            for tag in soup.find_all()
            for attribute, value in tag.attrs.items()
            if not attribute.startswith("xmlns") and not (tag.name == "image" and value.startswith(CHART))
        ]
        assert [text for text in (styles, *values) if words in text.lower()] == [], name


def test_every_address_in_a_style_is_a_place_on_the_page(soups):
    for name, soup in soups.items():
        text = " ".join(
            [str(tag.attrs) for tag in soup.find_all()] + [one.get_text() for one in soup.find_all("style")]
        )
        assert [place for place in re.findall(r"url\(([^)]*)\)", text) if not place.startswith("#")] == [], name


def test_nothing_moves_a_reader_on_by_itself(soups):
    refreshing = [
        name for name, tag in elements(soups) if tag.name == "meta" and tag.get("http-equiv", "").lower() == "refresh"
    ]
    assert refreshing == []
