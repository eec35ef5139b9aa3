"""Policy: what a page may load and run, as its browser is told. Nothing but the style that its digest names."""

from __future__ import annotations

import base64
import hashlib
from functools import cache

from explain.site.places import templates_folder

BARE = "default-src 'none'; base-uri 'none'; form-action 'none'"
"""The policy of a page that has not even a style."""


def digest(text: str) -> str:
    """Name a style or a script, all that stands between its tags, as a Content-Security-Policy does.

    >>> digest("")
    'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='
    """
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


@cache
def sealed_script() -> str:
    """The one script in upload/: it opens sealed pages, and no other page lets it run."""
    return (templates_folder() / "sealed.js").read_text(encoding="utf-8")
