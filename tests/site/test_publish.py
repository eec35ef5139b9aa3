"""Publish: a file is written whole or not at all, and the top of upload/ lists nothing."""

from __future__ import annotations

import os
import re
import stat

import html5lib
import pytest

from explain.site import publish
from explain.site.build import lay_out
from explain.site.places import templates_folder
from explain.site.policy import BARE, digest, sealed_script
from explain.site.publish import HEADERS, POLICY, prepare, write_whole


def names_below(folder):
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def test_a_file_is_written_with_the_folders_it_needs_and_nothing_beside_it(tmp_path):
    write_whole(tmp_path / "a" / "b" / "index.html", "Grüße\n")

    assert (tmp_path / "a" / "b" / "index.html").read_bytes() == "Grüße\n".encode()
    assert names_below(tmp_path) == ["a/b/index.html"]


def test_an_older_file_is_replaced(tmp_path):
    for text in ("old and longer", "new"):
        write_whole(tmp_path / "index.html", text)

    assert (tmp_path / "index.html").read_text(encoding="utf-8") == "new"
    assert names_below(tmp_path) == ["index.html"]


@pytest.mark.parametrize("step", ["fsync", "write", "replace"])
def test_a_write_that_fails_leaves_the_old_file_whole(tmp_path, monkeypatch, step):
    def fail(*_):
        raise OSError("no space left")

    page = tmp_path / "index.html"
    write_whole(page, "old")
    if step == "fsync":
        monkeypatch.setattr(os, "fsync", fail)
    elif step == "replace":
        monkeypatch.setattr(publish.Path, "replace", fail)
    text = "new \ud800" if step == "write" else "new"  # half a character cannot be written

    with pytest.raises((OSError, UnicodeEncodeError)):
        write_whole(page, text)

    assert page.read_text(encoding="utf-8") == "old"


def test_the_top_of_upload_lists_nothing_and_asks_not_to_be_found(tmp_path):
    prepare(tmp_path)
    lay_out(tmp_path)

    text = (tmp_path / "upload" / "index.html").read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(text)
    assert "noindex" in text
    assert f'content="{BARE}"' in text
    assert "href" not in text
    assert "Disallow: /" in (tmp_path / "upload" / "robots.txt").read_text(encoding="utf-8")
    assert names_below(tmp_path) == ["upload/_headers", "upload/index.html", "upload/robots.txt"]


def test_the_private_folder_is_for_its_owner_only(tmp_path):
    prepare(tmp_path)

    assert stat.S_IMODE((tmp_path / "private").stat().st_mode) == 0o700


def test_hosts_that_read_headers_are_told_not_to_list_the_pages_nor_to_say_where_a_reader_came_from(tmp_path):
    prepare(tmp_path)
    lay_out(tmp_path)

    everywhere, answers = (tmp_path / "upload" / "_headers").read_text(encoding="utf-8").split("/answers/*\n")
    assert everywhere.startswith("/*\n")
    for line in ("X-Robots-Tag: noindex, nofollow, noarchive", "Referrer-Policy: no-referrer"):
        assert f"  {line}\n" in everywhere
    assert answers == "  ! X-Robots-Tag\n"


def test_the_policy_of_the_headers_is_that_of_the_pages():
    (page,) = (line for line in (templates_folder() / "base.html").read_text("utf-8").splitlines() if "Policy" in line)
    without_blocks = re.sub(r"{%.*?%}", "", page).replace("'{{ rules | digest }}'", "'unsafe-inline'")

    assert f'content="{POLICY}"' in without_blocks
    only_script = digest(sealed_script())
    assert f"Content-Security-Policy: {POLICY}; script-src '{only_script}'; frame-ancestors 'none'\n" in HEADERS
