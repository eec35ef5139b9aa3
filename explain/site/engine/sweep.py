"""Sweep: what the files of a build look like from outside, their size and time, without opening one.

It is the quick question "did anything change at all?", asked before anything slow is imported. Where something did, the
build goes on with what the sweep saw. The standard library's os is used directly: a shop may have tens of thousands of
files.
"""

from __future__ import annotations

import hashlib
import os
import sys
import time

PAGE, CALENDAR = "index.html", "reminders.ics"
"""What lies in the folder of an order in upload/."""
FOR_EVERYONE = "answers"
"""Folder in upload/ of the answers for everyone."""
RECORD = "build-record.txt"
"""The record that the last look is written into: it cannot be part of it."""
STAGED, INTENT = ".staged", "intent.json"
"""Where files of a build wait in private/, and where it says what it is about to do with them."""
LINK = ":link"
"""Behind the look of what is reached by a link."""
RACY_NS = 2_000_000_000
"""A file written so shortly before a sweep may change again and look the same: some disks keep times of two seconds."""
_PACKAGE = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))


def time_ns(look: str) -> int:
    """The time of change in a signature."""
    return int(look.split(":", 2)[1])


class Looks:
    """How files look, by name; an empty look for one that is not there. newest_ns: when the newest was changed."""

    def __init__(self) -> None:
        self.by_name: dict[str, str] = {}
        self.newest_ns = 0
        self._followed: set[str] = set()

    def add(self, name: str, path: str) -> None:
        """Count one file in, under a name."""
        try:
            status = os.stat(path)
        except OSError:
            self.by_name[name] = ""
            return
        changed_ns = status.st_mtime_ns
        self.by_name[name] = f"{status.st_size}:{changed_ns}:{status.st_ino}"
        if changed_ns > self.newest_ns:  # noqa: PLR1730  max() takes three times as long, and there are many files
            self.newest_ns = changed_ns

    def add_tree(self, folder: str, top: str = "") -> None:
        """Count in every file under a folder, by name; hidden ones are left out.

        top: the folder that this one lies under. A link is followed once, and only to a folder under it: nothing that
        lies elsewhere is ever read for a page.
        """
        try:
            entries = sorted(os.scandir(folder), key=_name)
        except OSError:
            self.by_name[folder] = ""
            return
        for entry in entries:
            if entry.name[0] == "." or entry.name == "__pycache__":
                continue
            is_link = entry.is_symlink()
            if _is_folder(entry) and (not is_link or self._is_news(entry.path, top or folder)):
                self.add_tree(entry.path, top or folder)
                continue
            self.add(entry.path, entry.path)
            if is_link and self.by_name[entry.path]:  # the file that it leads to may be the one that lay here
                self.by_name[entry.path] += LINK

    def _is_news(self, link: str, top: str) -> bool:
        real = os.path.realpath(link)
        if real in self._followed or not real.startswith(os.path.join(os.path.realpath(top), "")):
            return False
        self._followed.add(real)
        return True

    def of(self, path: str) -> str:
        """How a file looked; how it looks now where it was not among those swept."""
        look = self.by_name.get(path)
        return signature_of(path) if look is None else look

    def hex(self) -> str:
        """One digest of all of them, in whichever order they were looked at."""
        names = sorted(self.by_name)
        told = "\0".join((*names, "", *map(self.by_name.__getitem__, names)))
        return hashlib.blake2b(told.encode("utf-8", "surrogateescape"), digest_size=16).hexdigest()


def _is_folder(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_dir()
    except OSError:  # a link that leads to itself
        return False


def _name(entry: os.DirEntry[str]) -> str:
    return entry.name


def signature_of(path: str) -> str:
    """How a file or folder looks from outside: size, time of change, and which file on the disk; empty for none."""
    try:
        status = os.stat(path)
    except OSError:
        return ""
    return f"{status.st_size}:{status.st_mtime_ns}:{status.st_ino}"


class Swept:
    """How everything that a build has to do with looked before it began.

    shop: the folders of orders with all that lies there. program: with its words and templates, the Python that runs
    it, and the libraries beside it. published: what lies in the build folder. record: the record in it. at_ns: when.
    """

    def __init__(self, folders: list[str], out: str) -> None:
        self.at_ns = time.time_ns()
        self.record = signature_of(os.path.join(out, "private", RECORD))
        self.shop = Looks()
        for folder in folders:
            self.shop.add_tree(folder or ".")
        self.program = program()
        self.published = outputs(out)
        self._inputs = ""

    def inputs(self) -> str:
        """One digest of everything that pages are made from."""
        self._inputs = self._inputs or self.shop.hex() + self.program.hex()
        return self._inputs

    def is_racy(self) -> bool:
        """True where something was changed so shortly before that another change might not show."""
        return is_racy(max(self.shop.newest_ns, self.program.newest_ns), self.at_ns)


def program() -> Looks:
    """How the program looks, with its words and templates, the Python that runs it, and the libraries beside it."""
    looks = Looks()
    looks.add_tree(_PACKAGE)
    looks.add_tree(os.path.join(os.path.dirname(_PACKAGE), "templates"))
    looks.by_name[sys.version] = ""
    for place in sys.path:
        if place.endswith("-packages"):  # a library that comes, goes or changes gives its folder another time
            looks.add(place, place)
    return looks


def page_name(address: str) -> str:
    """Name of a page among what was published."""
    return f"upload/{address}/{PAGE}"


def kept_name(number: str) -> str:
    """Name of what is kept of an order number, or of another file in private/, among what was published."""
    return f"private/{number}"


def outputs(out: str) -> Looks:
    """How everything that was published looks: each page with its calendar, each folder of private/ by its time."""
    looks = Looks()
    for address in _names(f"{out}/upload"):
        look_at_page(looks, out, address)
    looks.by_name[f"upload/{FOR_EVERYONE}"] = look_of_answers(out)
    for name in _names(f"{out}/private"):
        if name[0] != "." and name != RECORD:
            look_at_kept(looks, out, name)
    return looks


def look_of_answers(out: str) -> str:
    """One digest of how the pages for everyone look."""
    looks, folder = Looks(), f"{out}/upload/{FOR_EVERYONE}"
    for name in _names(folder):
        looks.add(name, f"{folder}/{name}")
    return looks.hex()


def look_at_page(looks: Looks, out: str, address: str) -> None:
    """Take in how a page and its calendar look now; or another file of upload/."""
    folder = f"{out}/upload/{address}"
    look, other = signature_of(f"{folder}/{PAGE}"), f"upload/{address}"
    looks.by_name[page_name(address)] = look and f"{look} {signature_of(f'{folder}/{CALENDAR}')}"
    if not look:
        looks.by_name[other] = signature_of(folder)
    elif other in looks.by_name:  # it had no page when it was looked at before
        del looks.by_name[other]


def look_at_kept(looks: Looks, out: str, number: str) -> None:
    """Take in how what is kept of an order looks now, or another file of private/.

    The time of a folder tells of each file that came, went or was replaced, at a sixth of the cost of a look at each.
    """
    looks.by_name[kept_name(number)] = signature_of(f"{out}/private/{number}")


def is_racy(newest_ns: int, at_ns: int) -> bool:
    """True where something was changed so shortly before a look at it that another change might not show."""
    return newest_ns > at_ns - RACY_NS


def _names(folder: str) -> list[str]:
    try:
        return sorted(os.listdir(folder))
    except OSError:
        return []
