"""A transaction: stopped at any step, all is as it was, or as it is to be once the next build has completed it."""

from __future__ import annotations

import contextlib
import errno
import json
import os
import re

import pytest

from explain.site.engine import transaction
from explain.site.engine.transaction import Transaction, complete_interrupted

BEFORE = {"upload/a/index.html": "old page", "upload/a/reminders.ics": "old days", "private/A/card.html": "old card"}
AFTER = {"upload/a/index.html": "new page", "private/A/kept/reminders.ics": "old days", "private/A/new.json": "{}"}


class Killed(BaseException):
    """The process ends here."""


@pytest.fixture
def out(tmp_path):
    for name, text in BEFORE.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def files(out):
    found = {path.relative_to(out).as_posix(): path for path in out.rglob("*") if path.is_file()}
    return {name: path.read_text(encoding="utf-8") for name, path in found.items()}


def changes_to(out):
    changes = Transaction(out)
    changes.put(out / "private" / "A" / "new.json", "{}")
    changes.move(out / "upload" / "a" / "reminders.ics", out / "private" / "A" / "kept" / "reminders.ics")
    changes.remove(out / "private" / "A" / "card.html")
    changes.put(out / "upload" / "a" / "index.html", "new page")
    return changes


def test_everything_is_put_in_place_and_nothing_is_left_over(out):
    assert changes_to(out).commit()

    assert files(out) == AFTER
    assert not complete_interrupted(out)
    assert files(out) == AFTER


def killed_at(monkeypatch, count):
    """Let the process end at its so-many-th call that changes the disk for good."""
    calls = []

    def counted(real):
        def call(*args, **kwargs):
            calls.append(real)
            if len(calls) == count:
                raise Killed
            return real(*args, **kwargs)

        return call

    for name in ("replace", "unlink", "mkdir"):
        monkeypatch.setattr(f"pathlib.Path.{name}", counted(getattr(transaction.Path, name)))
    monkeypatch.setattr(os, "fsync", counted(os.fsync))
    return calls


@pytest.mark.parametrize("count", range(1, 60))
def test_killed_at_any_call_all_is_old_or_completed_by_the_next_build(out, monkeypatch, count):
    with monkeypatch.context() as patched:
        calls = killed_at(patched, count)
        try:
            changes_to(out).commit()
            is_killed = False
        except Killed:
            is_killed = True
    is_intended = (out / "private" / ".staged" / "intent.json").is_file()
    visible = {name: text for name, text in files(out).items() if ".staged" not in name}

    assert is_intended or visible in (BEFORE, AFTER)
    assert complete_interrupted(out) == is_intended
    assert files(out) == (AFTER if is_intended or not is_killed or visible == AFTER else BEFORE)
    assert is_killed == (len(calls) >= count)


@pytest.mark.skipif(os.name == "nt", reason="a folder cannot be handed to the disk there")
def test_the_disk_has_the_intent_before_the_first_change_and_each_name_before_it_is_struck_off(out, monkeypatch):
    done = []
    numbers = {}

    def synced(descriptor, real=os.fsync):
        real(descriptor)
        numbers.update({path.stat().st_ino: path for path in (out, *out.rglob("*"))})
        done.append(("kept", numbers[os.fstat(descriptor).st_ino]))

    def put(source, target, real=transaction.Path.replace):
        done.append(("put", target))
        return real(source, target)

    def struck(path, real=transaction.Path.unlink, **options):
        done.append(("struck", path))
        real(path, **options)

    changes = changes_to(out)
    monkeypatch.setattr(os, "fsync", synced)
    monkeypatch.setattr("pathlib.Path.replace", put)
    monkeypatch.setattr("pathlib.Path.unlink", struck)
    changes.commit()

    staged = out / "private" / ".staged"
    intended, ended = done.index(("put", staged / "intent.json")), done.index(("struck", staged / "intent.json"))
    assert ("kept", staged / "intent.json.new") in done[:intended]
    assert done[intended + 1] == ("kept", staged)
    puts = [(at, path) for at, (what, path) in enumerate(done) if what == "put" and at > intended]
    assert len(puts) == 3
    for at, path in puts:
        assert ("kept", path.parent) in done[at:ended]


def test_completing_may_itself_be_killed_and_completed(out, monkeypatch):
    for count in range(1, 30):
        for name, text in BEFORE.items():
            (out / name).write_text(text, encoding="utf-8")
        with monkeypatch.context() as patched:
            patched.setattr(transaction, "_carry_out", killed)
            with pytest.raises(Killed):
                changes_to(out).commit()
        with monkeypatch.context() as patched:
            killed_at(patched, count)
            try:
                complete_interrupted(out)
            except Killed:
                complete_interrupted(out)  # killed once; the next build comes through

        assert files(out) == AFTER
        for name in AFTER:
            (out / name).unlink()


def killed(*_):
    raise Killed


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT, errno.EIO])
def test_a_disk_that_refuses_leaves_everything_as_it_was(out, monkeypatch, code):
    for at in range(1, 4):
        written = []

        def full(descriptor, at=at, written=written, code=code, real=os.fsync):
            written.append(descriptor)
            if len(written) == at:
                raise OSError(code, os.strerror(code))
            real(descriptor)

        with monkeypatch.context() as patched:
            patched.setattr(os, "fsync", full)
            with pytest.raises(OSError, match=os.strerror(code)):
                changes_to(out).commit()
        complete_interrupted(out)

        assert files(out) == BEFORE


def test_a_folder_that_may_not_be_written_is_refused_before_anything_is_in_place(out, monkeypatch):
    monkeypatch.setattr(os, "access", lambda path, _mode: path != out / "upload" / "a")

    with pytest.raises(PermissionError):
        changes_to(out).commit()
    complete_interrupted(out)

    assert files(out) == BEFORE


def test_what_the_disk_refused_half_way_is_not_ended_by_halves(out):
    page, calendar = out / "upload" / "a" / "index.html", out / "upload" / "a" / "reminders.ics"
    page.unlink()
    (page / "in the way").mkdir(parents=True)
    changes = Transaction(out)
    without_calendar(changes, out)

    with pytest.raises(OSError, match=re.escape(page.name)):
        changes.commit()
    changes.drop()

    assert not complete_interrupted(out)
    assert calendar.is_file()


def test_what_is_there_already_is_not_written_again(out):
    changes = Transaction(out)
    changes.put(out / "upload" / "a" / "index.html", "old page")

    assert not changes.commit()
    assert files(out) == BEFORE


LEADS, ALONE = '<a href="reminders.ics">', "no link"


def with_calendar(changes, out):
    changes.put(out / "upload" / "a" / "index.html", LEADS)
    changes.put(out / "upload" / "a" / "reminders.ics", "days")


def without_calendar(changes, out):
    changes.remove(out / "upload" / "a" / "reminders.ics")
    changes.put(out / "upload" / "a" / "index.html", ALONE)


def taken_down(changes, out):
    changes.move(out / "upload" / "a" / "reminders.ics", out / "private" / "A" / "kept" / "reminders.ics")
    changes.put(out / "upload" / "a" / "index.html", ALONE)


def put_back(changes, out):
    changes.move(out / "private" / "A" / "kept" / "index.html", out / "upload" / "a" / "index.html")
    changes.move(out / "private" / "A" / "kept" / "reminders.ics", out / "upload" / "a" / "reminders.ics")


@pytest.mark.parametrize("change", [with_calendar, without_calendar, taken_down, put_back])
def test_killed_at_any_call_no_page_leads_to_a_file_that_is_not_there(tmp_path, monkeypatch, change):
    for count in range(1, 40):
        out = tmp_path / str(count)
        page, calendar, kept = out / "upload" / "a" / "index.html", "reminders.ics", out / "private" / "A" / "kept"
        for folder in (page.parent, kept):
            folder.mkdir(parents=True)
        there = page.parent if change in (without_calendar, taken_down) else kept
        page.write_text(LEADS if there == page.parent else ALONE, encoding="utf-8")
        if change is put_back:
            (kept / "index.html").write_text(LEADS, encoding="utf-8")
        if change is not with_calendar:
            (there / calendar).write_text("days", encoding="utf-8")
        changes = Transaction(out)
        change(changes, out)
        with monkeypatch.context() as patched:
            killed_at(patched, count)
            with contextlib.suppress(Killed):
                changes.commit()

        assert page.read_text(encoding="utf-8") == ALONE or (page.parent / calendar).is_file(), count
        complete_interrupted(out)
        assert page.read_text(encoding="utf-8") == ALONE or (page.parent / calendar).is_file(), count


ELSEWHERE = [["put", "0", "upload/../../evil"], ["move", "/etc/hosts", "upload/evil"], ["burn", "upload/a", ""]]
DAMAGED = [b"", b"[[", b"\0\0", b"null", b"[1]", b"[[1, 2, 3]]", b'{"a": 1}', b"\xff"]


@pytest.mark.parametrize("damage", [*DAMAGED, *(json.dumps([step]).encode() for step in ELSEWHERE)])
def test_an_intent_that_was_damaged_is_cleared_away_and_stops_no_build(out, damage):
    staged = out / "private" / ".staged"
    staged.mkdir()
    (staged / "0").write_text("half", encoding="utf-8")
    (staged / "intent.json").write_bytes(damage)

    assert not complete_interrupted(out)
    assert files(out) == BEFORE
    assert not (out.parent / "evil").exists()
