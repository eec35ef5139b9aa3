"""Publish: files written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from explain.site.lasting import write_lasting
from explain.site.patience import put, take_away
from explain.site.policy import BARE, digest, sealed_script

BLANK_INDEX = f"""<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{BARE}">
<meta name="robots" content="noindex"><meta name="referrer" content="no-referrer"><title>Nothing here</title></head>
<body><main><h1>Nothing here</h1>
<p>Each page has its own link. Please use the link that you were sent.</p></main></body>
</html>
"""
POLICY = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
HEADERS = f"""/*
  X-Robots-Tag: noindex, nofollow, noarchive
  Content-Security-Policy: {POLICY}; script-src '{digest(sealed_script())}'; frame-ancestors 'none'
  Referrer-Policy: no-referrer
  X-Content-Type-Options: nosniff
/answers/*
  ! X-Robots-Tag
"""
"""What hosts that read a file _headers send with each page. It names no page: somebody might read it.

Both policies hold, so that of the page counts where it is stricter: it names its one style by its digest.
The one script opens sealed pages; no other page lets it run.

The last line takes a header off again, so that answers for everyone are found; a host that cannot keeps them out too.
"""
ROBOTS = "User-agent: *\nAllow: /answers/\nDisallow: /\n"


UNFINISHED = ".unfinished"


def write_whole(path: Path, text: str | bytes) -> None:
    """Write a file so that a reader sees the old one or the new one, never a part."""
    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_name(f".{path.name}.{os.getpid()}{UNFINISHED}")
    try:
        write_lasting(unfinished, text.encode("utf-8") if isinstance(text, str) else text)
        put(unfinished, path)
    finally:
        take_away(unfinished)


class FolderError(Exception):
    """A folder that must not be built into; the message says why, and which one to name."""


ALWAYS_THERE = {"index.html": BLANK_INDEX, "robots.txt": ROBOTS, "_headers": HEADERS}
"""Files at the top of upload/."""


def published_folder(path: Path) -> Path | None:
    """The upload/ of a build that a path lies in, or is; None where it lies in none."""
    whole = path.resolve()
    found = (one for one in (whole, *whole.parents) if one.name == "upload" and (one.parent / "private").is_dir())
    return next(found, None)


def prepare(out: Path) -> None:
    """Make upload/ and private/, if they are not there.

    Raises FolderError inside the upload/ of another build, and where one of the two is a link to elsewhere: private/
    would go to the web host.
    """
    folder = published_folder(out)
    if folder is not None:
        raise FolderError(
            f"{out.as_posix()}: this folder goes to your web host, and private figures would go with it.\n"
            f"Name the folder above it, for example:   --out {folder.parent.as_posix()}"
        )
    for folder in (out / "upload", out / "private"):
        if folder.is_symlink():
            raise FolderError(
                f"{folder}: this is a link to another folder, and pages must stay apart from private figures.\n"
                "A build makes both folders itself, beside each other.\n"
                f"Take the link away, or build elsewhere:   --out {out.with_name('other_out')}"
            )
    (out / "private").mkdir(parents=True, exist_ok=True)
    (out / "private").chmod(0o700)
    (out / "upload").mkdir(exist_ok=True)
