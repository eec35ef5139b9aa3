"""Sweep: what the files of a build look like from outside, their size and time, without opening one.

It is the quick question "did anything change at all?", asked before anything slow is imported. The standard library's
os is used directly: a shop may have tens of thousands of files.
"""

from __future__ import annotations

import hashlib
import os
import sys
import time

PAGE = "index.html"
RECORD = "build-record.txt"
"""The record that the last look is written into: it cannot be part of it."""
STAGED, INTENT = ".staged", "intent.json"
"""Where files of a build wait in private/, and where it says what it is about to do with them."""
RACY_NS = 2_000_000_000
"""A file written so shortly before a sweep may change again and look the same: some disks keep times of two seconds."""
_PACKAGE = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))


def signature(status: os.stat_result) -> str:
    """How a file looks from outside: size, time of change, and which file on the disk it is."""
    return f"{status.st_size}:{status.st_mtime_ns}:{status.st_ino}"


def signature_of(path: str) -> str:
    """How a file or folder looks from outside; empty where there is none."""
    try:
        return signature(os.stat(path))
    except OSError:
        return ""


class Looks:
    """How a set of files looks, as one digest; newest_ns: when the newest of them was changed."""

    def __init__(self) -> None:
        self._digest = hashlib.blake2b(digest_size=16)
        self.newest_ns = 0

    def add(self, name: str, status: os.stat_result | None) -> None:
        """Count one file in; None for one that is not there."""
        look = "" if status is None else signature(status)
        self._digest.update(f"{name}\0{look}\n".encode("utf-8", "surrogateescape"))
        if status is not None:
            self.newest_ns = max(self.newest_ns, status.st_mtime_ns)

    def add_tree(self, folder: str, *, hidden: bool = False) -> None:
        """Count in every file under a folder, by name."""
        try:
            entries = sorted(os.scandir(folder), key=_name)
        except OSError:
            return self.add(folder, None)
        for entry in entries:
            if entry.name == "__pycache__" or (entry.name.startswith(".") and not hidden):
                continue
            if entry.is_dir():
                self.add_tree(entry.path)
            else:
                self.add(entry.path, _status(entry.path))
        return None

    def hex(self) -> str:
        """The digest so far."""
        return self._digest.hexdigest()


def _name(entry: os.DirEntry[str]) -> str:
    return entry.name


def inputs(folders: list[str]) -> Looks:
    """How everything that pages are made from looks: the folders of orders, the program, what it is built on."""
    looks = Looks()
    for folder in folders:
        looks.add_tree(folder or ".")
    add_program(looks)
    return looks


def add_program(looks: Looks) -> None:
    """Count in the program with its words and templates, the Python that runs it, and the libraries beside it."""
    looks.add_tree(_PACKAGE)
    looks.add_tree(os.path.join(os.path.dirname(_PACKAGE), "templates"))
    looks.add(sys.version, None)
    for place in sys.path:
        if place.endswith("-packages"):  # a library that comes, goes or changes gives its folder another time
            looks.add(place, _status(place))


def outputs(out: str) -> str:
    """How everything that was published looks: each page by itself, each folder of private/ by its time."""
    looks = Looks()
    upload, private = os.path.join(out, "upload"), os.path.join(out, "private")
    for name in _names(upload):
        place = os.path.join(upload, name)
        looks.add(name, _status(place))
        looks.add(name, _status(os.path.join(place, PAGE)))
    for name in _names(private):
        if not name.startswith(".") and name != RECORD:
            looks.add(name, _status(os.path.join(private, name)))
    return looks.hex()


def is_racy(newest_ns: int, at_ns: int | None = None) -> bool:
    """True where something was changed so shortly before that another change might not show."""
    return newest_ns > (time.time_ns() if at_ns is None else at_ns) - RACY_NS


def _names(folder: str) -> list[str]:
    try:
        return sorted(os.listdir(folder))
    except OSError:
        return []


def _status(path: str) -> os.stat_result | None:
    try:
        return os.stat(path)
    except OSError:
        return None
