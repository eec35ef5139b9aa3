"""Frames kept on disk: the same bytes warm and cold and in any order, and no file there can spoil a page."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import cache
from importlib.metadata import version

import pytest

from explain.charts import edge, fade, frame, kept, lens_part, meridian, price, section
from explain.order import read_order, read_shop
from explain.site.render import render
from explain.story.page import tell
from explain.story.pair import work_out
from tests.conftest import REPOSITORY

ORDERS = REPOSITORY / "orders"
A, B = "QH-2101", "QH-2104"
"""Two orders whose charts have different frames."""
IN_A_NEW_PROCESS = """
import sys
from pathlib import Path
from explain.charts.kept import keep_in
from explain.order import read_order, read_shop
from explain.site.render import render
from explain.story.page import tell
from explain.story.pair import work_out

keep_in(Path(sys.argv[1]))
shop = read_shop(Path("orders/shop.yaml"))
for name in sys.argv[2:]:
    sys.stdout.buffer.write(render(tell(work_out(read_order(Path(f"orders/{name}.yaml"), shop).order, shop))).encode())
print("matplotlib" in sys.modules, file=sys.stderr)
"""


@cache
def story_of(name: str):
    shop = read_shop(ORDERS / "shop.yaml")
    return tell(work_out(read_order(ORDERS / f"{name}.yaml", shop).order, shop))


def page(name: str) -> str:
    return render(story_of(name))


def forget_frames():
    for drawn in (edge._frame, fade._frame, lens_part.ruler, meridian._dial, price._frame, section._ruler):
        drawn.cache_clear()


@pytest.fixture(autouse=True)
def _as_in_a_new_process():
    forget_frames()
    yield
    kept.keep_in(None)
    forget_frames()


@pytest.fixture
def store(tmp_path):
    folder = tmp_path / "private" / "kept"
    kept.keep_in(folder)
    return folder


def started(folder, *names: str) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-c", IN_A_NEW_PROCESS, str(folder), *names]
    return subprocess.Popen(command, cwd=REPOSITORY, stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def draws_nothing(*_args, **_named):
    raise AssertionError("a frame was drawn that is kept")


@pytest.mark.usefixtures("store")
def test_either_order_gives_the_same_pages_kept_or_not():
    a_first = page(A), page(B)
    forget_frames()
    b_first = page(B), page(A)
    kept.keep_in(None)
    forget_frames()
    not_kept = page(B), page(A)

    assert a_first == b_first[::-1] == not_kept[::-1]


def test_what_is_kept_is_not_drawn_again(store, monkeypatch):
    cold = page(A)
    assert list(store.iterdir())
    forget_frames()
    for module in (edge, fade, lens_part, meridian, price, section):
        monkeypatch.setattr(module, "draw_frame", draws_nothing)

    assert page(A) == cold


def test_a_warm_process_does_not_load_matplotlib_and_two_at_once_agree(tmp_path):
    cold = [started(tmp_path, A, B), started(tmp_path, B, A)]
    pages = [one.communicate() for one in cold]
    warm_page, warm_said = started(tmp_path, A, B).communicate()

    assert [said.split()[-1] for _, said in pages] == [b"True", b"True"]
    assert warm_said.split()[-1] == b"False"
    assert warm_page == pages[0][0] == (page(A) + page(B)).encode()
    assert pages[1][0] == (page(B) + page(A)).encode()
    assert {path.suffix for path in tmp_path.iterdir()} == {".frame"}


SPOILT = (
    lambda _: b"",
    lambda _: b"\xff\xfe\n{}",
    lambda data: data[:-1],
    lambda data: data.replace(b"#", b"!"),
    lambda data: data * 2,
)


@pytest.mark.parametrize("spoil", SPOILT)
def test_a_damaged_file_is_drawn_anew(store, spoil):
    cold = page(A)
    whole = {path: path.read_bytes() for path in store.iterdir()}
    for path, data in whole.items():
        path.write_bytes(spoil(data))
    forget_frames()

    assert page(A) == cold
    assert {path: path.read_bytes() for path in store.iterdir()} == whole


def test_a_folder_that_cannot_be_made_or_written_costs_only_time(tmp_path):
    cold = page(A)
    in_the_way = tmp_path / "kept"
    in_the_way.write_text("a file", encoding="utf-8")
    for folder in (in_the_way, in_the_way / "below"):
        kept.keep_in(folder)
        forget_frames()
        assert page(A) == cold


def test_the_oldest_go_when_there_are_too_many(store, monkeypatch):
    monkeypatch.setattr(kept, "MOST_FILES", 8)
    for number in range(30):
        path = store / f"{number:02}.frame"
        kept._write(path, frame.Frame("<path/>", 1.0, frame.Scale(1.0, 0.0), frame.Scale(1.0, 0.0)))
        os.utime(path, (number, number))
        assert len(list(store.iterdir())) <= 8

    left = sorted(path.stem for path in store.iterdir())
    assert left == [f"{number:02}" for number in range(30 - len(left), 30)]


def test_another_source_another_version_or_another_question_has_another_name(tmp_path, monkeypatch):
    def name(asked: str = "(2.0,)") -> str:
        kept._stamp.cache_clear()
        return kept._name("edge", asked)

    names = [name(), name("(4.0,)")]
    monkeypatch.setattr(kept, "_matplotlib", lambda: b"0.0")
    names.append(name())
    monkeypatch.setattr(kept, "_SOURCE", tmp_path)
    (tmp_path / "style.py").write_text('INK = "#1a1a1a"', encoding="utf-8")
    names.append(name())
    (tmp_path / "style.py").write_text('INK = "#1a1a1b"', encoding="utf-8")
    names.append(name())
    kept._stamp.cache_clear()

    assert len(set(names)) == len(names)


def test_what_tells_the_version_of_matplotlib_holds_it():
    assert version("matplotlib").encode() in kept._matplotlib()
