"""What the tests of the engine begin with: a small shop, where it is built, and which orders are made."""

from __future__ import annotations

import pytest

from explain.site import making
from tests.site.engine.sites import shop_with


@pytest.fixture
def paths(tmp_path):
    return shop_with(tmp_path, 4)


@pytest.fixture
def out(tmp_path):
    return tmp_path / "site_out"


@pytest.fixture
def made(monkeypatch):
    """Names of the orders that are made, as they are."""
    names = []
    real = making.make

    def noted(task, kit):
        names.append(task.path.stem)
        return real(task, kit)

    monkeypatch.setattr(making, "make", noted)
    return names
