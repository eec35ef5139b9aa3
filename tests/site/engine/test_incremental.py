"""Only what changed: after any edit a build gives the bytes that one from nothing gives, and makes no page too many."""

from __future__ import annotations

import json
import os
import random
import sys
import time
from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace

from explain.site import making, survey
from explain.site.build import build
from explain.site.desk.note import note_text, read_note
from explain.site.engine import kits, sweep
from explain.site.engine.quick import glance
from explain.site.engine.record import ADDED
from explain.site.engine.sweep import RECORD
from explain.site.shops import order_files
from tests.conftest import REPOSITORY
from tests.site.engine.sites import clean, shop_with, uploaded
from tests.story.invented import write_answer, write_order, write_shop

EDITS = 50
TODAY = date(2026, 11, 25)
REPLACES = {"order": "T-0001", "what": "a lens", "why": "it was off"}
TRACES = REPOSITORY / "orders" / "traces"


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


def built(paths, out, made=None, **options):
    """Build everything; the names of the orders that were made anew."""
    if made is not None:
        made.clear()
    results = list(build(paths, out, all_answers=True, today=TODAY, **options))
    return results if made is None else sorted(made)


def test_without_a_change_nothing_is_made_and_nothing_is_written(paths, out, made):
    assert built(paths, out, made) == ["T-0001", "T-0002", "T-0003", "T-0004"]
    before = {path: path.stat().st_mtime_ns for path in (out / "upload").rglob("*")}

    assert built(paths, out, made) == []
    assert {path: path.stat().st_mtime_ns for path in (out / "upload").rglob("*")} == before


def test_one_changed_order_makes_one_page(paths, out, made):
    built(paths, out)
    write_order(paths[0].parent, order="T-0003", **{"for": "Odette"})

    assert built(paths, out, made) == ["T-0003"]
    assert "Odette" in (out / "private" / "index.html").read_text(encoding="utf-8")


def test_an_order_that_was_only_touched_is_read_and_left(paths, out, made):
    built(paths, out)
    paths[1].touch()

    assert built(paths, out, made) == []


@pytest.mark.parametrize(
    "change",
    [
        lambda folder: write_shop(folder, hours="Never"),
        lambda folder: _own(folder, "words/care.md", "Wash them.\n"),
        lambda folder: _own(folder, "words/es/care.md", "Lave.\n"),
    ],
    ids=["the shop", "words of its own", "words in another language"],
)
def test_what_all_pages_are_made_from_makes_all_of_them(paths, out, made, change):
    built(paths, out)
    change(paths[0].parent)

    assert len(built(paths, out, made)) == 4


def test_a_template_makes_what_uses_it(paths, out, made, monkeypatch):
    built(paths, out)
    real, said = kits._templates(), []

    def changed(name):
        monkeypatch.setattr(kits, "_templates", lambda: real)
        built(paths, out)
        monkeypatch.setattr(kits, "_templates", lambda: {**real, name: "another"})
        said.clear()
        return len(built(paths, out, made, explain=said.append)), any("answers for everyone" in text for text in said)

    assert changed("desk.html") == (0, False)
    assert changed("faq.html") == changed("faq-base.html") == (0, True)
    assert changed("order.html") == changed("order.css") == (4, False)
    assert changed("base.html") == (4, True)


@pytest.mark.parametrize("what", ["_code", "_libraries"])
def test_another_program_or_library_makes_everything(paths, out, made, monkeypatch, what):
    built(paths, out)
    monkeypatch.setattr(kits, what, lambda: "another")

    assert len(built(paths, out, made)) == 4


def test_a_page_that_was_deleted_or_changed_by_hand_is_made_again(paths, out, made):
    first, second, third, _ = (result.page for result in built(paths, out))
    whole = second.read_bytes()
    first.unlink()
    second.write_bytes(whole[:1000])
    (out / "private" / "T-0003" / "numbers.json").unlink()

    assert built(paths, out, made) == ["T-0001", "T-0002", "T-0003"]
    assert first.is_file()
    assert second.read_bytes() == whole
    assert third.is_file()


@pytest.mark.parametrize("text", ["", "not a record", '{"version": 0}\n', '{"version": 1}\n[1, 2]\n'])
def test_a_record_that_cannot_be_read_means_that_everything_is_made(paths, out, made, text):
    built(paths, out)
    (out / "private" / RECORD).write_text(text, encoding="utf-8")

    assert len(built(paths, out, made)) == 4
    assert built(paths, out, made) == []


def test_what_a_stopped_build_had_made_is_not_made_again(paths, out, made):
    stopped = build(paths, out, today=TODAY)
    next(stopped)
    next(stopped)
    stopped.close()
    with (out / "private" / ADDED).open("a", encoding="utf-8") as file:
        file.write('["half a li')

    assert built(paths, out, made) == ["T-0003", "T-0004"]


def test_the_quick_look_sees_every_kind_of_change(paths, out, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sweep, "RACY_NS", 0)  # the program itself may have been written just now
    relative = [path.relative_to(tmp_path) for path in paths]
    built(relative, out.relative_to(tmp_path))
    _age(tmp_path / "orders")
    built(relative, out.relative_to(tmp_path))
    changes = [
        lambda: paths[0].write_text(paths[0].read_text(encoding="utf-8") + "\n", encoding="utf-8"),
        lambda: (tmp_path / "orders" / "new.yaml").write_text("order: T-9\n", encoding="utf-8"),
        lambda: (tmp_path / "orders" / "faq").mkdir() or (tmp_path / "orders" / "faq" / "x.md").write_text("x"),
        lambda: next(out.glob("upload/*/index.html")).write_text("x", encoding="utf-8"),
        lambda: next(out.glob("private/T-*/card.html")).unlink(),
    ]
    assert glance("site_out", "2026-11-25")[0]["pages"] == 4
    assert glance("site_out", "2029-01-01") == (None, None)  # pages are due
    for change in changes:
        change()
        head, swept = glance("site_out", "2026-11-25")
        assert head is None
        assert "orders/T-0001.yaml" in {name.replace("\\", "/") for name in swept.shop.by_name}


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
    _trace(folder, random.Random(1), 1, None)  # noqa: S311  as above
    paths, trace = [*paths, folder / "T-2001.yaml"], folder / "traces" / "one.txt"
    built(paths, out)
    status, text = trace.stat(), trace.read_bytes()
    trace.write_bytes(text[:-1] + b"\t")
    os.utime(trace, ns=(status.st_atime_ns, status.st_mtime_ns))

    assert built(paths, out, made) == ["T-2001"]


def test_an_order_that_was_only_touched_is_read_once(paths, out, monkeypatch):
    _age(paths[0].parent)
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
    _own(tmp_path / "orders", ".traces/one.txt", trace.read_text(encoding="utf-8"))
    frame = {"outline": ".traces/one.txt", "size": None, "depth": None}
    order = write_order(tmp_path / "orders", order="T-0001", frame=frame)
    built([order.relative_to(tmp_path)], out.relative_to(tmp_path))

    assert glance("site_out", "2026-11-25") == (None, None)


def test_links_among_the_orders_are_followed_once_and_only_inside(tmp_path):
    folder = tmp_path / "orders"
    _own(folder, ".hidden/care.md", "Wash them.\n")
    (folder / "words").symlink_to(".hidden")
    for name, to in {"a": ".", "b": ".", "c": "..", "d": "d", "e": "nowhere", "f": str(REPOSITORY)}.items():
        (folder / name).symlink_to(to)
    looks = sweep.Looks()
    looks.add_tree(str(folder))

    names = sorted(name.removeprefix(f"{folder}/") for name in looks.by_name)
    assert names == ["a", "b", "c", "d", "e", "f", "words/care.md"]


def test_words_in_a_folder_that_is_a_link_are_looked_at(paths, out, made):
    folder = paths[0].parent
    _own(folder, "spanish/care.md", "Lave.\n")
    (folder / "words").mkdir()
    (folder / "words" / "es").symlink_to("../spanish")
    built(paths, out)
    _own(folder, "spanish/care.md", "Lave bien.\n")

    assert len(built(paths, out, made)) == 4


@pytest.mark.skipif(os.name != "posix" or sys.platform == "darwin", reason="this disk knows no such name")
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


def test_a_look_from_before_another_build_does_not_count(paths, out, made):
    built(paths, out)
    swept = sweep.Swept([str(paths[0].parent)], str(out))
    write_order(paths[0].parent, order="T-0003", **{"for": "Odette"})
    built(paths, out)

    assert built(paths, out, made, swept=swept) == []
    assert _published_look(out) == sweep.outputs(str(out)).hex()


def _published_look(out):
    head = (out / "private" / RECORD).read_text(encoding="utf-8").splitlines()[0]
    return json.loads(head)["published"]


def _age(folder):
    for path in (folder, *folder.rglob("*")):
        os.utime(path, (1_700_000_000, 1_700_000_000))


def test_after_each_of_fifty_random_edits_the_bytes_are_those_of_a_build_from_nothing(tmp_path, out):
    paths = shop_with(tmp_path, 4)
    folder, chance = tmp_path / "orders", random.Random(7)  # noqa: S311  edits, no secrets
    removed = set()
    for number in range(EDITS):
        edit = chance.choice(EVERY_EDIT)
        edit(folder, chance, number, removed)
        paths = sorted(folder.glob("T-*.yaml"))
        stay = []
        apart = {"swept": sweep.Swept([str(folder)], str(out)), "left": stay.extend} if number % 2 else {}
        results = built(paths, out, **apart)
        found, whole = uploaded(out), clean(paths, tmp_path / "clean")

        left = {name for name in found if name not in whole}
        faulty = sum(bool(result.faults) for result in results)
        assert len(stay) + len(results) == len(paths), edit.__name__
        assert _published_look(out) == sweep.outputs(str(out)).hex(), edit.__name__
        assert {name for name in whole if found.get(name) != whole[name]} == set(), edit.__name__
        pages = {name.split("/")[0] for name in left if not name.startswith("answers/")}
        assert len(pages) <= faulty + len(removed), edit.__name__


def _own(folder, name, text):
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def _any(folder, chance):
    return chance.choice(sorted(path.stem for path in folder.glob("T-*.yaml")) or ["T-0001"])


def _change(folder, chance, number, _):
    power = chance.choice(["-1.00 DS", "-2.25 -0.50 x 20", "+1.50 DS"])
    write_order(
        folder, order=_any(folder, chance), prescription={"right": power, "left": power}, **{"for": f"Ada {number}"}
    )


def _add(folder, chance, number, _):
    write_order(folder, order=f"T-1{number:03}", language=chance.choice(["en", "es"]))


def _remove(folder, chance, _, removed):
    name = _any(folder, chance)
    if len(list(folder.glob("T-*.yaml"))) > 2:
        (folder / f"{name}.yaml").unlink()
        removed.add(name)


def _shop(folder, chance, number, _):
    write_shop(folder, hours=f"From {number}", language=chance.choice(["en", "es"]))


def _words(folder, chance, number, _):
    _own(folder, f"words/{chance.choice(['care', 'fit'])}.md", f"Words {number}.\n")


def _answer(folder, chance, number, _):
    head = "---\ntitle: Mine\nquestion: What is mine?\nsubject: {}\naudience: Everybody\nreviewed: 2026-10-01\n---\n\n"
    subject = chance.choice(["looking-after", "money", "adapting"])
    _own(folder, "faq/mine.md", head.format(subject) + f"Words {number}.\n")


def _break(folder, chance, _, __):
    path = folder / f"{_any(folder, chance)}.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("prescription:", "prescribed:"), encoding="utf-8")


def _trace(folder, chance, number, _):
    (folder / "traces").mkdir(exist_ok=True)
    trace = chance.choice(sorted(TRACES.iterdir()))
    _own(folder, "traces/one.txt", trace.read_text(encoding="utf-8"))
    frame = {"outline": "traces/one.txt", "size": None, "depth": None}
    write_order(folder, order=f"T-2{number:03}", frame=frame)


def _remake(folder, chance, number, _):
    old = _any(folder, chance)
    replaces = {"order": old, "what": "a lens", "why": "it was off"}
    write_order(folder, order=f"T-3{number:03}", replaces=replaces)


EVERY_EDIT = (_change, _change, _change, _add, _remove, _remove, _shop, _words, _answer, _break, _trace, _remake)
