"""The demo built by the command itself, in folders that tell a secret by their names, from orders that hold more."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

import html5lib
import pytest
from bs4 import BeautifulSoup

from explain.site.address import SECRET_NAME
from explain.site.places import templates_folder
from tests.conftest import demo_orders
from tests.guard.command import explain
from tests.story.invented import copy_demo

SURNAME, HOME, NUMBER, MAKER = "Quillfeather", "Withywindle", "0171-5550199", "Zarquon"
HOST_USER = "Grimblewick"
SECRET = hashlib.sha256(b"a secret for tests alone").hexdigest()
PRIVATE_REMARK = f"# {SURNAME}, 7 {HOME} Lane, {NUMBER}; born 1971-02-29; lenses by {MAKER}\n"
"""A remark as opticians write them: what nobody but the shop may read."""


@dataclass(frozen=True, slots=True)
class Built:
    """A shop's folder after a build. orders: what was read. out: what was written."""

    folder: Path

    @property
    def orders(self) -> Path:
        return self.folder / "orders"

    @property
    def upload(self) -> Path:
        return self.folder / "out" / "upload"

    @property
    def private(self) -> Path:
        return self.folder / "out" / "private"

    def pages(self) -> list[Path]:
        return sorted(self.upload.rglob("*.html"))

    def name(self, page: Path) -> str:
        return page.relative_to(self.upload).as_posix()


@pytest.fixture(scope="session")
def demo(tmp_path_factory) -> Built:
    """Every demo order, one of them replaced by another and one put away, so that notices are written too."""
    built = Built(tmp_path_factory.mktemp(f"{SURNAME}-desk"))
    copy_demo(built.orders)
    (built.orders / SECRET_NAME).write_text(f"{SECRET}\n", encoding="ascii")
    (built.orders / SECRET_NAME).chmod(0o600)
    for order in sorted(built.orders.glob("QH-*.yaml")):
        words = order.read_text(encoding="utf-8")
        order.write_text(f"{PRIVATE_REMARK}{words}{PRIVATE_REMARK}", encoding="utf-8")
    shop = built.orders / "shop.yaml"
    shop.write_text(f"{PRIVATE_REMARK}{shop.read_text(encoding='utf-8')}", encoding="utf-8")
    for trace in (built.orders / "traces").iterdir():
        trace.write_text(f"{trace.read_text(encoding='utf-8')}\nCLIENT={SURNAME};{HOME}\n", encoding="utf-8")
    _own_words(built.orders)
    _made_again(built.orders / "QH-2102.yaml", "QH-2199")
    (built.orders / "QH-2101.yaml").rename(built.orders / f"{SURNAME}.yaml")
    assert len(list(built.orders.glob("*.yaml"))) == len(demo_orders()) + 2
    who = {"USER": HOST_USER, "LOGNAME": HOST_USER}
    explain(built.folder, "build", "--out", "out", **who)
    explain(built.folder, "retire", "QH-2103", "--out", "out", "--why", f"asked for by {SURNAME}", **who)
    explain(built.folder, "build", "--out", "out", **who)
    return built


def _own_words(orders: Path) -> None:
    """Words and an answer of the shop's own, each with a remark that only the shop may read."""
    for name, folder in (("care.md", "words"), ("fogging.md", "faq")):
        (orders / folder).mkdir()
        ours = (templates_folder() / folder / name).read_text(encoding="utf-8")
        (orders / folder / name).write_text(f"{ours}\n<!-- {SURNAME}, {HOME} -->\n", encoding="utf-8")
        (orders / folder / "README.md").write_text(PRIVATE_REMARK, encoding="utf-8")


def _made_again(order: Path, number: str) -> None:
    """An order that replaces another, beside it."""
    words = order.read_text(encoding="utf-8").replace(order.stem, number)
    replaces = f"\nreplaces: {{order: {order.stem}, what: the left lens was made again, why: its axis was off}}\n"
    order.with_name(f"{number}.yaml").write_text(words + replaces, encoding="utf-8")


@pytest.fixture(scope="session")
def soups(demo):
    """Every page of upload/ by its name, read by a parser that forgives nothing."""
    found = {}
    for page in demo.pages():
        text = page.read_text(encoding="utf-8")
        html5lib.HTMLParser(strict=True).parse(text)
        found[demo.name(page)] = BeautifulSoup(text, "html5lib")
    return found
