"""Builds that are killed, stopped, starved or doubled: every page is wholly old or wholly new, and no link is dead.

The long form: KILLS=200 python -m pytest -n0 tests/site/engine/test_killed.py
"""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import subprocess
import time
from pathlib import Path

import pytest

from explain.cli import main
from explain.site.build import build
from explain.site.engine.lock import only_one
from tests.site.engine.sites import clean, dead_links, explain, shop_with, uploaded

KILLS = int(os.environ.get("KILLS", "16"))
ORDERS = 6
PATIENCE_S = 120


@pytest.fixture(scope="module")
def sites(tmp_path_factory):
    """A shop whose site was built, all its orders changed since; what was uploaded, and what is to be."""
    folder = tmp_path_factory.mktemp("killed")
    old = clean(shop_with(folder, ORDERS), folder / "site_out")
    paths = shop_with(folder, ORDERS, **{"for": "Odette"})
    return folder, old, clean(paths, folder / "new")


@pytest.fixture
def shop(sites, tmp_path):
    """The same shop and its old site in a folder of their own."""
    return Path(shutil.copytree(sites[0], tmp_path / "shop", ignore=shutil.ignore_patterns("new")))


def finish(process):
    said, complained = process.communicate(timeout=PATIENCE_S)
    return process.returncode, said, complained


def test_killed_at_random_moments_each_page_is_old_or_new_and_the_next_build_completes_it(sites, tmp_path):
    folder, old, new = sites
    chance = random.Random(1)  # noqa: S311  moments, no secrets
    started = time.monotonic()
    whole = shutil.copytree(folder, tmp_path / "whole")
    assert finish(explain(whole, "build"))[0] == 0
    lasts_s = time.monotonic() - started
    states = set()

    for number in range(KILLS):
        shop = Path(shutil.copytree(folder, tmp_path / "shop", ignore=shutil.ignore_patterns("new")))
        workers = "2" if number % 4 == 3 else "1"
        process = explain(shop, "build", "--workers", workers, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(chance.uniform(0.2, 1) * lasts_s)
        os.killpg(process.pid, signal.SIGKILL)
        process.wait(PATIENCE_S)

        found = uploaded(shop / "site_out")
        assert sorted(found) == sorted(new)
        assert [name for name in found if found[name] not in (old[name], new[name])] == []
        assert dead_links(shop / "site_out") == []
        states.add(sum(found[name] != old[name] for name in found))
        for _ in build(sorted((shop / "orders").glob("T-*.yaml")), shop / "site_out", all_answers=True):
            pass
        assert uploaded(shop / "site_out") == new
        assert [path.name for path in (shop / "site_out" / "private").glob(".staged/*")] == []
        shutil.rmtree(shop)

    assert len(states) > 1  # some were killed before the first page, or between two, or after the last


@pytest.mark.parametrize("first", ["answers/index.html", "*/reminders.ics"], ids=["workers start", "pages are made"])
def test_ctrl_c_stops_a_build_with_workers_and_leaves_no_process_behind(tmp_path, first):
    shop_with(tmp_path, 60)
    process = explain(tmp_path, "build", "--workers", "2")
    deadline = time.monotonic() + PATIENCE_S
    while not list(tmp_path.glob(f"site_out/upload/{first}")) and time.monotonic() < deadline:
        time.sleep(0.05)
    os.killpg(process.pid, signal.SIGINT)
    status, _, complained = finish(process)

    assert status == 130
    assert "Every page written so far is whole" in complained
    assert "Traceback" not in complained
    pages = list(tmp_path.glob("site_out/upload/*/index.html"))
    assert 0 < len(pages) < 61
    assert all(page.read_text(encoding="utf-8").endswith("</html>\n") for page in pages)
    while _is_any_left(process.pid) and time.monotonic() < deadline:
        time.sleep(0.05)  # what workers were copied from ends when it hears that nobody is there
    assert not _is_any_left(process.pid)


def _is_any_left(group):
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True


def test_two_builds_at_once_one_writes_and_the_other_says_so(sites, shop):
    _, _, new = sites
    both = [explain(shop, "build"), explain(shop, "build")]
    ended = [finish(process) for process in both]

    assert sorted({status for status, _, _ in ended}) in ([0], [0, 2])  # the second may come when the first is done
    assert all("another build is writing there" in complained for status, _, complained in ended if status == 2)
    assert uploaded(shop / "site_out") == new


def test_a_build_that_finds_another_one_at_work_writes_nothing_and_says_what_to_do(sites, shop, monkeypatch, capsys):
    _, old, _ = sites
    monkeypatch.chdir(shop)

    with only_one(shop / "site_out"):
        assert main(["build"]) == 2

    assert re.search(r"another build is writing there \(process \d+\)", capsys.readouterr().err)
    assert uploaded(shop / "site_out") == old


def test_an_order_that_fails_does_not_touch_its_page_and_the_summary_says_so(sites, shop, monkeypatch, capsys):
    _, old, new = sites
    monkeypatch.chdir(shop)
    order = shop / "orders" / "T-0003.yaml"
    order.write_text(order.read_text(encoding="utf-8").replace("pd:", "pq:"), encoding="utf-8")

    assert main(["build"]) == 2

    said = capsys.readouterr().out
    assert "T-0003" in said
    assert "1 order with faults: see above. Pages published earlier stay as they were." in said
    found = uploaded(shop / "site_out")
    assert sum(found[name] == old[name] != new[name] for name in found) == 1


def small_disk(folder):
    """Mount a disk of few megabytes; False where that is not allowed."""
    folder.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=12m", "tmpfs", str(folder)]
    return (
        shutil.which("mount") is not None and subprocess.run(command, capture_output=True, check=False).returncode == 0
    )


def test_a_disk_that_is_full_leaves_every_page_whole_and_room_lets_the_next_build_finish(tmp_path):
    disk = tmp_path / "disk"
    if not small_disk(disk):
        pytest.skip("mounting a small disk is not allowed here")
    try:
        paths = shop_with(tmp_path, 30)
        filler = disk / "filler"
        filler.write_bytes(b"x" * 4_500_000)
        full = explain(tmp_path, "build", "--out", str(disk / "site"))
        status, said, complained = finish(full)

        assert status == 2
        assert "cannot be written" in said + complained
        assert "Traceback" not in complained
        pages = list(disk.glob("site/upload/*/index.html"))
        assert all(page.read_text(encoding="utf-8").endswith("</html>\n") for page in pages)
        assert dead_links(disk / "site") == []
        filler.unlink()
        assert finish(explain(tmp_path, "build", "--out", str(disk / "site")))[0] in (0, 2)
        whole = clean(paths, tmp_path / "clean")
        assert [name for name, data in uploaded(disk / "site").items() if whole[name] != data] == []
    finally:
        subprocess.run(["umount", str(disk)], check=True)  # noqa: S607  the system's own


def bound_by_rights():
    """What to put before a command so that rights of files hold for root as well."""
    return ["setpriv", "--bounding-set=-dac_override,-dac_read_search"] if os.geteuid() == 0 else []


@pytest.mark.skipif(os.name == "nt", reason="rights of files are another thing there")
def test_a_folder_that_may_not_be_written_leaves_its_page_and_is_named(sites, tmp_path):
    _, old, new = sites
    shop = Path(shutil.copytree(sites[0], tmp_path / "shop", ignore=shutil.ignore_patterns("new")))
    closed = min(name for name in old if old[name] != new[name])
    folder = (shop / "site_out" / "upload" / closed).parent
    folder.chmod(0o555)

    status, said, complained = finish(explain(shop, "build", before=bound_by_rights()))

    assert status == 2
    assert "Permission denied" in complained
    assert "1 order with faults" in said
    found = uploaded(shop / "site_out")
    assert found[closed] == old[closed]
    assert sum(found[name] != new[name] for name in found) == 1
