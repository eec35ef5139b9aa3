"""Pairs and pages to test the story with: `pair_of(prescription={...})` reads a small order of its own."""

from __future__ import annotations

import pytest

from explain.order import read_order, read_shop
from explain.story.page import tell
from explain.story.pair import work_out
from explain.story.wording import Place
from tests.conftest import REPOSITORY
from tests.story.invented import pair_in


@pytest.fixture
def pair_of(tmp_path):
    return lambda **changes: pair_in(tmp_path, **changes)


@pytest.fixture
def page_of(pair_of):
    return lambda **changes: tell(pair_of(**changes))


@pytest.fixture(scope="session")
def demo_shop():
    return read_shop(REPOSITORY / "orders" / "shop.yaml")


@pytest.fixture(scope="session")
def demo_pair_of(demo_shop):
    """The worked-out pair of a demo order, each worked out once."""
    known = {}

    def pair(path):
        if path not in known:
            known[path] = work_out(read_order(path, demo_shop).order, demo_shop)
        return known[path]

    return pair


@pytest.fixture
def demo_pair(demo_order, demo_pair_of):
    return demo_pair_of(demo_order)


@pytest.fixture
def demo_page(demo_pair):
    return tell(demo_pair)


@pytest.fixture(scope="session")
def place():
    return Place("en_US", "USD")
