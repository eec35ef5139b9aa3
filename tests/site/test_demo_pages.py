"""Every demo page: valid, alone, private, the same bytes each time, and small enough for a phone."""

from __future__ import annotations

import gzip
import itertools
import os
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

import html5lib
import pytest
import yaml

from explain.site.build import build
from tests.conftest import REPOSITORY

LARGEST_BYTES, LARGEST_SENT_BYTES = 175_000, 41_000


def test_it_is_valid_html(page_bytes):
    html5lib.HTMLParser(strict=True).parse(page_bytes.decode("utf-8"))


def test_the_parser_refuses_a_page_that_is_not_valid():
    with pytest.raises(html5lib.html5parser.ParseError):
        html5lib.HTMLParser(strict=True).parse("<!DOCTYPE html><html><head><title>x</title></head><body><p></b></p>")


def test_it_has_one_h1_and_its_headings_never_skip_a_level(soup):
    levels = [int(heading.name[1]) for heading in soup.find_all(re.compile("^h[1-6]$"))]

    assert levels[0] == 1
    assert levels.count(1) == 1
    assert [(a, b) for a, b in itertools.pairwise(levels) if b > a + 1] == []


def test_no_heading_is_empty(soup):
    assert [heading for heading in soup.find_all(re.compile("^h[1-6]$")) if not heading.get_text(strip=True)] == []


def test_every_id_is_its_own(soup):
    ids = Counter(tag["id"] for tag in soup.find_all(id=True))

    assert [name for name, count in ids.items() if count > 1] == []


def test_every_link_leads_somewhere(soup, demo_results, demo_order):
    ids = {tag["id"] for tag in soup.find_all(id=True)}
    links = [link["href"] for link in soup.find_all("a")]
    folder = demo_results[demo_order.stem].page.parent
    answers = [link for link in links if link.startswith("../answers/")]
    beside = [link for link in links if link == "reminders.ics"]

    assert len(links) > 10
    assert answers
    assert [link for link in answers + beside if not (folder / link).is_file()] == []
    assert [
        link for link in links if not (link in answers + beside or link.startswith("tel:") or link[1:] in ids)
    ] == []
    assert [link for link in soup.find_all("a") if not link.get_text(strip=True)] == []


def test_every_label_by_id_finds_its_words(soup):
    ids = {tag["id"]: tag for tag in soup.find_all(id=True)}
    labelled = [
        name for tag in soup.find_all(attrs={"aria-labelledby": True}) for name in tag["aria-labelledby"].split()
    ]

    assert labelled
    assert [name for name in labelled if name not in ids or not ids[name].get_text(strip=True)] == []


def test_every_reference_inside_a_drawing_finds_its_part(soup):
    ids = {tag["id"] for tag in soup.find_all(id=True)}
    text = str(soup)
    used = re.findall(r"url\(#([^)]+)\)", text) + re.findall(r'(?:xlink:)?href="#([^"]+)"', text)

    assert [name for name in used if name not in ids] == []


def test_every_drawing_has_a_title_a_description_and_a_role(soup):
    drawings = soup.find_all("svg")

    assert len(drawings) >= 3
    for drawing in drawings:
        assert drawing["role"] == "img"
        assert drawing.find("title", recursive=False).get_text(strip=True)
        assert drawing.find("desc", recursive=False).get_text(strip=True)


def test_every_drawing_stands_in_a_figure_with_its_numbers_in_a_table(soup):
    for figure in soup.find_all("figure"):
        assert figure.figcaption.get_text(strip=True)
        assert figure.svg is not None
        assert len(figure.select(".on-screen table")) == len(figure.select(".on-paper table")) == 1


def test_every_heading_of_a_table_says_what_it_heads(soup):
    heads = soup.find_all("th")

    assert len(heads) > 20
    assert {"col", "row"} <= {cell.get("scope") for cell in heads} <= {"col", "row", "rowgroup"}
    assert [cell for cell in heads if not cell.get_text(strip=True)] == []


def test_every_row_of_a_table_has_a_heading_and_each_cell_its_label(soup):
    for table in soup.find_all("table"):
        assert table.caption.get_text(strip=True)
        for row in table.select("tbody tr:not(:has(> .stage)), tfoot tr"):
            assert row.find("th")["scope"] == "row"
        columns = [cell.get_text() for cell in table.select("thead tr > *")]
        for row in table.select("tbody tr:not(:has(> .stage))"):
            assert [cell.get("data-label") for cell in row.find_all("td")] == columns[1:]


def test_it_asks_nothing_of_another_host(page_bytes, soup):
    text = page_bytes.decode("utf-8").replace('xmlns="http://www.w3.org/2000/svg"', "")
    text = text.replace('xmlns:xlink="http://www.w3.org/1999/xlink"', "")

    assert re.findall(r"https?:|[\"'(]//", text) == []
    assert re.findall(r"@import|url\((?!#)", text) == []
    assert soup.find(["link", "iframe", "object", "embed", "form", "base"]) is None
    assert [tag["src"] for tag in soup.find_all(src=True) if not tag["src"].startswith("data:")] == []


def test_it_holds_no_script(soup):
    assert soup.find("script") is None
    handlers = [name for tag in soup.find_all() for name in tag.attrs if name.startswith("on")]
    assert handlers == []
    assert "javascript:" not in str(soup)


def test_it_forbids_what_it_does_not_use(soup):
    policy = soup.find("meta", attrs={"http-equiv": "Content-Security-Policy"})["content"]

    assert "default-src 'none'" in policy
    assert "script-src" not in policy
    assert "form-action 'none'" in policy


def test_it_is_not_indexed_and_tells_no_one_where_a_reader_came_from(soup):
    assert "noindex" in soup.find("meta", attrs={"name": "robots"})["content"]
    assert soup.find("meta", attrs={"name": "referrer"})["content"] == "no-referrer"


def test_its_title_and_address_tell_nothing(soup, demo_results, demo_order):
    customer = demo_results[demo_order.stem].first_name
    page = demo_results[demo_order.stem].page

    assert soup.title.get_text() == "Your glasses"
    for secret in (customer, demo_order.stem):
        assert secret not in soup.title.get_text()
        assert secret.lower() not in f"{page.parent.name}/{page.name}"


def test_it_says_its_language_and_fits_a_phone(soup):
    assert soup.html["lang"] == "en-US"
    assert "width=device-width" in soup.find("meta", attrs={"name": "viewport"})["content"]


def test_it_does_not_say_where_its_order_lies(page_bytes, demo_results, demo_order):
    text = page_bytes.decode("utf-8")
    path = demo_results[demo_order.stem].path

    assert str(path.parent) not in text
    assert path.name not in text
    assert str(REPOSITORY) not in text


def test_it_names_the_customer_by_first_name_and_the_order_by_number(soup, demo_order):
    order = yaml.safe_load(demo_order.read_text(encoding="utf-8"))

    assert order["for"] in soup.h1.get_text()
    assert order["order"] in soup.header.get_text()


def test_the_phone_number_stands_on_the_first_screen_as_a_link(soup):
    assert soup.find(id="first").find("a", href=re.compile("^tel:")) is not None


def test_every_part_leads_back_to_the_contents_and_the_contents_to_every_part(soup):
    parts = [part["id"] for part in soup.select("section.part")]

    assert [link["href"][1:] for link in soup.select("#contents a")] == parts
    assert [part["id"] for part in soup.select("section.part") if not part.find("a", href="#contents")] == []


def test_it_is_small(page_bytes):
    assert len(page_bytes) <= LARGEST_BYTES
    assert len(gzip.compress(page_bytes, mtime=0)) <= LARGEST_SENT_BYTES


@pytest.fixture(scope="module")
def built_elsewhere(demo_copy, tmp_path_factory):
    """The same orders built by another process: another folder, another hash seed, another time zone."""
    folder, out = tmp_path_factory.mktemp("elsewhere"), tmp_path_factory.mktemp("other_out")
    orders = sorted(os.path.relpath(path, folder) for path in demo_copy.glob("QH-*.yaml"))
    surroundings = os.environ | {
        "PYTHONHASHSEED": "4242",
        "PYTHONPATH": str(REPOSITORY),
        "TZ": "Pacific/Kiritimati",
        "LC_ALL": "C",
    }
    command = [sys.executable, "-m", "explain", "build", *orders, "--out", str(out)]
    finished = subprocess.run(command, cwd=folder, env=surroundings, capture_output=True, text=True, check=False)
    assert finished.returncode == 0, finished.stdout + finished.stderr
    return out


def test_it_is_the_same_bytes_when_built_again(demo_results, demo_order, page_bytes, tmp_path):
    (again,) = build([demo_results[demo_order.stem].path], tmp_path)

    assert again.page.read_bytes() == page_bytes
    assert again.page.parent.name == demo_results[demo_order.stem].page.parent.name


def test_it_is_the_same_bytes_from_another_folder_hash_seed_and_time_zone(
    built_elsewhere, demo_results, demo_order, page_bytes
):
    page = demo_results[demo_order.stem].page
    numbers = Path("private") / demo_order.stem / "numbers.json"

    assert (built_elsewhere / "upload" / page.parent.name / page.name).read_bytes() == page_bytes
    assert (built_elsewhere / numbers).read_bytes() == (page.parents[2] / numbers).read_bytes()
