"""Changes that are hard to see: after each of them a build still tells and leaves what one from nothing would."""

from __future__ import annotations

import json
import os
import sys
import time
from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace

from explain.site import survey
from explain.site.build import build
from explain.site.desk.note import note_text, read_note
from explain.site.engine import sweep
from explain.site.engine.quick import glance
from explain.site.shops import order_files
from tests.conftest import REPOSITORY
from tests.site.engine.sites import age, built, clean, own, shop_with, uploaded
from tests.story.invented import write_answer, write_order, write_shop

REPLACES = {"order": "T-0001", "what": "a lens", "why": "it was off"}
TRACES = REPOSITORY / "orders" / "traces"


def test_the_quick_look_knows_when_the_time_of_a_page_that_leads_on_is_over(paths, out, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sweep, "RACY_NS", 0)
    old = write_order(tmp_path / "orders", order="T-0001", sent="2026-10-05")
    remake = write_order(tmp_path / "orders", order="T-0005", sent="2026-10-10", replaces=REPLACES)
    relative = [path.relative_to(tmp_path) for path in (old, *paths[1:], remake)]
    built(relative, out.relative_to(tmp_path))

    assert glance("site_out", "2028-10-04")[0]["pages"] == 4
    assert glance("site_out", "2028-10-05") == (None, None)


@pytest.mark.parametrize("edit", ["gone", "of another customer", "replaced by another as well"])
def test_a_remake_is_judged_again_when_what_it_replaces_changes(paths, out, edit):
    folder = paths[0].parent
    paths = [*paths, write_order(folder, order="T-0005", replaces=REPLACES)]
    built(paths, out)
    if edit == "gone":
        paths.pop(0).unlink()
    elif edit == "of another customer":
        write_order(folder, order="T-0001", **{"for": "Ada"})
    else:
        paths.append(write_order(folder, order="T-0006", replaces=REPLACES))

    faulty = {result.path.stem for result in built(paths, out) if result.faults}

    assert faulty == ({"T-0005", "T-0006"} if edit == "replaced by another as well" else {"T-0005"})


def test_a_page_led_on_by_a_remake_that_was_faulty_until_now_is_told_as_such(paths, out):
    folder = paths[0].parent
    paths = [*paths, write_order(folder, order="T-0005", replaces=REPLACES, prescription=None)]
    built(paths, out)
    write_order(folder, order="T-0005", replaces=REPLACES)

    first = built(paths, out)[0]

    assert (first.page, first.standing.led_to) == (None, "T-0005")
    assert "leads on to T-0005" in " ".join((out / "private" / "index.html").read_text(encoding="utf-8").split())


def test_a_page_that_leads_on_speaks_its_own_language_after_each_change_of_the_remake(paths, out, tmp_path):
    folder = paths[0].parent
    write_order(folder, order="T-0001", language="es")
    paths = [*paths, write_order(folder, order="T-0005", replaces=REPLACES)]
    built(paths, out)
    write_order(folder, order="T-0005", replaces=REPLACES, frame={"name": "Alder"})
    built(paths, out)

    assert uploaded(out) == clean(paths, tmp_path / "clean")


@pytest.mark.parametrize("edit", ["gone", "changed in place"])
def test_a_calendar_that_was_deleted_or_changed_by_hand_is_written_again(paths, out, made, edit):
    (first, *_) = built(paths, out)
    calendar = first.page.parent / "reminders.ics"
    whole = calendar.read_bytes()
    if edit == "gone":
        calendar.unlink()
    else:
        with calendar.open("r+b") as file:
            file.truncate(100)

    assert built(paths, out, made) == ["T-0001"]
    assert calendar.read_bytes() == whole


def test_a_note_that_was_changed_by_hand_is_not_believed(paths, out):
    built(paths, out)
    desk = (out / "private" / "index.html").read_text(encoding="utf-8")
    note = out / "private" / "T-0001" / "desk.json"
    note.write_text(note.read_text(encoding="utf-8").replace("Odile", "Odine"), encoding="utf-8")
    paths[1].touch()
    built(paths, out)

    assert (out / "private" / "index.html").read_text(encoding="utf-8") == desk


@pytest.mark.parametrize("name", ["T-0001.yaml", "shop.yaml"])
def test_a_file_that_was_moved_elsewhere_and_left_a_link_is_refused(paths, out, monkeypatch, tmp_path, name):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sweep, "RACY_NS", 0)
    relative = [path.relative_to(tmp_path) for path in paths]
    built(relative, out.relative_to(tmp_path))
    file = tmp_path / "orders" / name
    file.rename(tmp_path / name)
    file.symlink_to(tmp_path / name)

    assert glance("site_out", "2026-11-25")[0] is None
    assert "this is a link to a file elsewhere" in str(built(relative, out.relative_to(tmp_path))[0].faults)


def test_a_page_put_away_under_a_clock_that_was_ahead_comes_back_with_the_right_one(paths, out, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sweep, "RACY_NS", 0)
    relative, at = [path.relative_to(tmp_path) for path in paths], out.relative_to(tmp_path)
    built(relative, at)
    whole = uploaded(out)
    list(build(relative, at, all_answers=True, today=date(2028, 10, 10)))

    assert glance("site_out", "2028-10-10")[0]["pages"] == 0
    assert glance("site_out", "2026-11-25") == (None, None)
    built(relative, at)
    assert uploaded(out) == whole


def test_the_quick_look_holds_after_a_page_that_was_gone_was_written_again(paths, out):
    first, *_ = built(paths, out)
    first.page.unlink()
    built(paths, out)

    head = json.loads((out / "private" / sweep.RECORD).read_text(encoding="utf-8").splitlines()[0])
    assert head["published"] == sweep.outputs(str(out)).hex()


def test_a_page_comes_back_though_another_remake_mentions_its_number(paths, out, tmp_path):
    folder = paths[0].parent
    remake = write_order(folder, order="T-0005", replaces=REPLACES)
    other = {"order": "T-0002", "what": "a lens, as with T-0001", "why": "it was off"}
    paths = [*paths, write_order(folder, order="T-0006", replaces=other)]
    built([*paths, remake], out)
    remake.unlink()
    built(paths, out)

    whole = clean(paths, tmp_path / "clean")
    assert {name: data for name, data in uploaded(out).items() if name in whole} == whole


def test_an_edit_that_could_not_show_is_seen_after_a_build_of_another_order(paths, out, made):
    """As on a disk that keeps times of two seconds: the same size and the same time."""
    built(paths, out)
    status = paths[0].stat()
    paths[0].write_bytes(paths[0].read_bytes().replace(b"Odile", b"Odine"))
    os.utime(paths[0], ns=(status.st_atime_ns, status.st_mtime_ns))
    time.sleep(sweep.RACY_NS / 1e9)
    built(paths[1:2], out)

    assert built(paths, out, made) == ["T-0001"]


def test_a_trace_whose_edit_could_not_show_is_seen(paths, out, made):
    folder = paths[0].parent
    trace = folder / "one.txt"
    trace.write_bytes(next(TRACES.iterdir()).read_bytes())
    frame = {"outline": "./one.txt", "size": None, "depth": None}
    paths = [*paths, write_order(folder, order="T-2001", frame=frame)]
    built(paths, out)
    status, text = trace.stat(), trace.read_bytes()
    trace.write_bytes(text[:-1] + b"\t")
    os.utime(trace, ns=(status.st_atime_ns, status.st_mtime_ns))

    assert built(paths, out, made) == ["T-2001"]


def test_an_order_that_was_only_touched_is_read_once(paths, out, monkeypatch):
    age(paths[0].parent)
    built(paths, out)
    os.utime(paths[0], (1_700_000_100, 1_700_000_100))
    built(paths, out)
    read = []
    monkeypatch.setattr(survey, "text_of", lambda path: read.append(path) or "")
    built(paths, out)

    assert read == []


def test_the_quick_look_is_not_taken_where_a_trace_lies_hidden(out, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sweep, "RACY_NS", 0)
    (trace,) = TRACES.iterdir()
    shop_with(tmp_path, 1)
    own(tmp_path / "orders", ".traces/one.txt", trace.read_text(encoding="utf-8"))
    frame = {"outline": ".traces/one.txt", "size": None, "depth": None}
    order = write_order(tmp_path / "orders", order="T-0001", frame=frame)
    built([order.relative_to(tmp_path)], out.relative_to(tmp_path))

    assert glance("site_out", "2026-11-25") == (None, None)


def test_links_among_the_orders_are_followed_once_and_only_inside(tmp_path):
    folder = tmp_path / "orders"
    own(folder, ".hidden/care.md", "Wash them.\n")
    (folder / "words").symlink_to(".hidden")
    for name, to in {"a": ".", "b": ".", "c": "..", "d": "d", "e": "nowhere", "f": str(REPOSITORY)}.items():
        (folder / name).symlink_to(to)
    looks = sweep.Looks()
    looks.add_tree(str(folder))

    names = sorted(name.removeprefix(f"{folder}/") for name in looks.by_name)
    assert names == ["a", "b", "c", "d", "e", "f", "words/care.md"]


def test_words_in_a_folder_that_is_a_link_are_looked_at(paths, out, made):
    folder = paths[0].parent
    own(folder, "spanish/care.md", "Lave.\n")
    (folder / "words").mkdir()
    (folder / "words" / "es").symlink_to("../spanish")
    built(paths, out)
    own(folder, "spanish/care.md", "Lave bien.\n")

    assert len(built(paths, out, made)) == 4


@pytest.mark.skipif(
    os.name != "posix" or sys.platform == "darwin",
    reason="a file name that is no text is a thing of POSIX, and no Mac has one",
)
@pytest.mark.parametrize("name", [b"words/\xff.md", b"parts/\xff.html", b"faq/\xff.md"])
def test_a_file_of_the_shops_own_whose_name_is_no_text_is_refused_in_words(paths, out, name):
    built(paths, out)
    path = Path(os.fsdecode(os.fsencode(paths[0].parent) + b"/" + name))
    path.parent.mkdir()
    path.write_text("x", encoding="utf-8")

    assert {result.faults[0].message for result in built(paths, out)} == {"this file name is not text"}


def test_a_folder_typed_in_several_ways_is_one_folder(paths, out, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    remake = write_order(paths[0].parent, order="T-0005", replaces=REPLACES)
    (tmp_path / "link").symlink_to("orders")
    typed = order_files([Path("link/T-0001.yaml"), remake, Path("orders/T-0002.yaml")])
    results = built([*typed], out)
    desk = (out / "private" / "index.html").read_text(encoding="utf-8")

    assert typed == ["link/T-0001.yaml", "link/T-0005.yaml", "link/T-0002.yaml"]
    assert [result.faults for result in results] == [(), (), ()]
    assert desk.count("<strong>T-0003</strong>") == 1


def test_an_answer_stays_while_the_page_of_an_order_with_faults_leads_on_to_it(paths, out):
    folder = paths[0].parent
    answer = write_answer(folder / "faq", "mine")
    built(paths, out)
    note = out / "private" / "T-0001" / "desk.json"
    note.write_text(note_text(replace(read_note(out / "private", "T-0001"), answers=("mine",))), encoding="utf-8")
    write_order(folder, order="T-0001", prescription=None)
    answer.unlink()
    built(paths, out, anew=True)

    assert (out / "upload" / "answers" / "mine.html").is_file()


@pytest.mark.parametrize("name", ["T-0001/made-from.txt", "answers.txt"])
def test_a_file_in_private_that_is_no_text_any_more_stops_no_build(paths, out, made, name):
    built(paths, out)
    (out / "private" / name).write_bytes(b"\xff\xfe")
    write_shop(paths[0].parent, hours="Never")

    assert len(built(paths, out, made)) == 4


def test_the_desk_shows_an_order_at_length_though_its_note_is_damaged(paths, out):
    built(paths, out)
    desk = (out / "private" / "index.html").read_text(encoding="utf-8")
    (out / "private" / "T-0001" / "desk.json").write_bytes(b"{")
    paths[1].touch()
    built(paths, out)

    assert (out / "private" / "index.html").read_text(encoding="utf-8") == desk


def test_an_answer_that_was_changed_by_hand_is_written_again(paths, out):
    built(paths, out)
    page = out / "upload" / "answers" / "index.html"
    whole, said = page.read_bytes(), []
    page.write_text("x", encoding="utf-8")
    built(paths, out, explain=said.append)

    assert page.read_bytes() == whole
    assert said == ["The answers for everyone: their pages are not as they were left."]
