"""Shops to build in, and the demo pages, built once for all tests of the site."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import html5lib
import pytest
from bs4 import BeautifulSoup

from explain.site.build import build
from tests.story.invented import copy_demo, write_order, write_shop


@dataclass(frozen=True, slots=True)
class ShopFolder:
    """A shop of one's own: orders/ with a shop file, and a folder to build into."""

    orders: Path
    out: Path

    def order(self, **changes):
        return write_order(self.orders, **changes)

    def build(self, *paths, **options):
        return list(build(list(paths), self.out, **options))

    def page(self, result):
        return result.page.read_text(encoding="utf-8")


@pytest.fixture
def shop(tmp_path):
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    return ShopFolder(tmp_path / "orders", tmp_path / "out")


@pytest.fixture(scope="session")
def demo_copy(tmp_path_factory):
    """The demo orders in a folder of their own, so that no secret is written beside the real ones."""
    return copy_demo(tmp_path_factory.mktemp("demo") / "orders")


@pytest.fixture(scope="session")
def demo_results(demo_copy, tmp_path_factory):
    """What became of each demo order, by the name of its file."""
    paths = sorted(path for path in demo_copy.glob("*.yaml") if path.name != "shop.yaml")
    return {result.path.stem: result for result in build(paths, tmp_path_factory.mktemp("demo_out"))}


@pytest.fixture
def page_bytes(demo_results, demo_order):
    return demo_results[demo_order.stem].page.read_bytes()


@pytest.fixture(scope="session")
def soups(demo_results):
    """Every demo page, parsed; a parser that forgives nothing has read it first."""
    found = {}
    for name, result in demo_results.items():
        text = result.page.read_text(encoding="utf-8")
        html5lib.HTMLParser(strict=True).parse(text)
        found[name] = BeautifulSoup(text, "html5lib")
    return found


@pytest.fixture
def soup(soups, demo_order):
    return soups[demo_order.stem]
