"""Power cuts: what the disk did not have yet is lost, half of it or all, and the next build still completes the site.

A cut is told, not made: before each change of a name and after each `fsync` the folder is read as a disk may hold it
then. Names are kept in the order in which they were changed, as file systems with a journal do; bytes of a file only up
to its last `fsync`, and of what came after it nothing, half or all.
"""

from __future__ import annotations

import os
import random
import shutil

import pytest

from explain.site.build import build
from tests.site.engine.sites import clean, dead_links, shop_with, uploaded

CUTS = int(os.environ.get("CUTS", "25"))
ORDERS = 3


class Disk:
    """A folder, watched while it is written to. states: what a cut would have left of it at each moment."""

    def __init__(self, folder, monkeypatch):
        self._folder, self._monkeypatch = folder, monkeypatch
        self._chance = random.Random(20261128)  # noqa: S311  what is lost, no secrets
        self._kept = {path.stat().st_ino: path.read_bytes() for path in self._files()}
        self.states = []
        for name in ("replace", "rename", "unlink", "remove", "rmdir"):
            self._watch(name)
        self._watch_fsync()

    def _files(self):
        return [path for path in self._folder.rglob("*") if path.is_file()]

    def _watch(self, name):
        does = getattr(os, name)

        def watched(path, *others, **options):
            self.states.append(self._after_a_cut())
            gone = [os.lstat(path, dir_fd=options.get("dir_fd"))] if name in {"unlink", "remove"} else []
            gone += [os.lstat(other) for other in others if os.path.lexists(other)]
            does(path, *others, **options)
            for one in gone:
                if one.st_nlink == 1:  # another file may get its number
                    self._kept.pop(one.st_ino, None)

        self._monkeypatch.setattr(os, name, watched)

    def _watch_fsync(self):
        does = os.fsync

        def watched(descriptor):
            does(descriptor)
            number = os.fstat(descriptor).st_ino
            for path in self._files():
                if path.stat().st_ino == number:
                    self._kept[number] = path.read_bytes()
            self.states.append(self._after_a_cut())

        self._monkeypatch.setattr(os, "fsync", watched)

    def _after_a_cut(self):
        """Every folder, and every file with what is left of it."""
        folders = [path for path in self._folder.rglob("*") if path.is_dir()]
        return folders, {path: self._left_of(path) for path in self._files()}

    def _left_of(self, path):
        now, kept = path.read_bytes(), self._kept.get(path.stat().st_ino, b"")
        if now == kept:
            return now
        if not now.startswith(kept):
            kept = b""
        behind = len(now) - len(kept)
        return now[: len(kept) + self._chance.choice([0, behind // 2, behind])]


def laid(state, of, to):
    """What a cut left of one folder, laid out as another."""
    folders, files = state
    to.mkdir()
    for folder in folders:
        (to / folder.relative_to(of)).mkdir(parents=True, exist_ok=True)
    for path, data in files.items():
        there = to / path.relative_to(of)
        there.write_bytes(data)
        there.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o600)
    return to


def build_all(folder):
    for _ in build(sorted((folder / "orders").glob("T-*.yaml")), folder / "site_out", all_answers=True):
        pass
    return uploaded(folder / "site_out")


def after_each(states, folder, tmp_path):
    """The shop as some of the cuts left it, the moments evenly over the build."""
    step = max(1, len(states) // CUTS)
    for state in states[::step]:
        shop = laid(state, folder, tmp_path / "cut")
        yield shop
        shutil.rmtree(shop)


def test_after_a_cut_each_page_is_old_or_new_and_the_next_build_completes_it(tmp_path, monkeypatch):
    folder = tmp_path / "shop"
    old = clean(shop_with(folder, ORDERS), folder / "site_out")
    paths = shop_with(folder, ORDERS, **{"for": "Odette"})
    new = clean(paths, tmp_path / "new")
    with monkeypatch.context() as watched:
        disk = Disk(folder, watched)
        assert build_all(folder) == new

    changed = set()
    for shop in after_each(disk.states, folder, tmp_path):
        found = uploaded(shop / "site_out")
        assert sorted(found) == sorted(new)
        assert [name for name in found if found[name] not in (old[name], new[name])] == []
        assert dead_links(shop / "site_out") == []
        changed.add(sum(found[name] != old[name] for name in found))
        assert build_all(shop) == new
    assert len(changed) > ORDERS


def test_a_cut_in_the_first_build_leaves_no_page_whose_address_is_forgotten(tmp_path, monkeypatch):
    folder = tmp_path / "shop"
    shop_with(folder, ORDERS)
    (folder / "orders" / "address.secret").unlink()
    with monkeypatch.context() as watched:
        disk = Disk(folder, watched)
        build_all(folder)

    seen = set()
    for shop in after_each(disk.states, folder, tmp_path):
        before = uploaded(shop / "site_out")
        after = build_all(shop)
        assert sorted(after) == sorted(build_all(shop))
        assert [name for name in before if before[name] != after.get(name)] == []
        seen.add(len(before))
    assert len(seen) > ORDERS


@pytest.mark.parametrize("careless", ["no fsync", "fsync"])
def test_it_tells_a_careless_writer(tmp_path, monkeypatch, careless):
    (tmp_path / "shop").mkdir()
    disk = Disk(tmp_path / "shop", monkeypatch)
    for number in range(20):
        with (tmp_path / "shop" / "new").open("wb") as file:
            file.write(b"a page")
            file.flush()
            if careless == "fsync":
                os.fsync(file.fileno())
        (tmp_path / "shop" / "new").replace(tmp_path / "shop" / f"{number}.html")
    (tmp_path / "shop" / "0.html").unlink()

    lost = [data for _, files in disk.states for path, data in files.items() if path.suffix and data != b"a page"]
    assert bool(lost) == (careless == "no fsync")
