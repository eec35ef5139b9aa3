"""What every test may ask for: where the project is, its demo orders, and laws tried on the same values each time."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import settings

REPOSITORY = Path(__file__).resolve().parent.parent

os.environ["SOURCE_DATE_EPOCH"] = "1795564800"  # 2026-11-25: builds put old pages away, and the tests grow old too

settings.register_profile("repeatable", derandomize=True, deadline=None, database=None)
settings.load_profile("repeatable")


def demo_orders() -> list[Path]:
    """The demo orders, in the order of their names; the shop's own file is not one."""
    return sorted(path for path in (REPOSITORY / "orders").glob("*.yaml") if path.name != "shop.yaml")


def customer_pages(out: Path) -> list[Path]:
    """The customers' pages of a built site; the index of answers for everyone is not one."""
    found = (out / "upload").glob("*/index.html")
    return sorted(page for page in found if page.parent.name != "answers")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run a test that asks for `demo_order` once for each demo order, named after its file."""
    if "demo_order" not in metafunc.fixturenames:
        return
    orders = demo_orders()
    if not orders:
        raise pytest.UsageError(f"no demo orders in {REPOSITORY / 'orders'}")
    metafunc.parametrize("demo_order", orders, ids=lambda path: path.stem)


@pytest.fixture(scope="session")
def repository() -> Path:
    """The top of the checkout."""
    return REPOSITORY
