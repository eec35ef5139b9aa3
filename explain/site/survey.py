"""Survey: the order files of a build as they lie there, what the last build made of each, and what has to be made."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from pathlib import Path

from msgspec import Struct

from explain.order import limits
from explain.order.bounded import bytes_of
from explain.site.engine.record import Made, Record
from explain.site.engine.sweep import RACY_NS, signature_of
from explain.site.remakes import KEY, Remakes, number_in, text_of
from explain.site.shops import orders_in


class Seen(Struct, frozen=True):
    """One order file as it lies there. made: what the last build made of exactly this file, or None.

    number: the one it seems to have. text: only of a file that speaks of a remake.
    """

    path: Path
    look: str
    digest: str
    number: str
    text: str
    made: Made | None


def survey(paths: Iterable[Path], record: Record) -> dict[Path, Seen]:
    """Look at each order file, and read those that are not known to be as they were."""
    return {path: _seen(path, record.made.get(str(path)), record.at_ns) for path in paths}


def _seen(path: Path, made: Made | None, recorded_ns: int) -> Seen:
    look = signature_of(str(path))
    is_sure = bool(made and look) and made is not None and made.look == look and _time_ns(look) < recorded_ns - RACY_NS
    if is_sure and made is not None and not made.replaces:
        return Seen(path, look, made.digest, made.number, "", made)
    text = text_of(path)
    digest = digest_of(path)
    known = made if made is not None and made.digest == digest else None
    return Seen(path, look, digest, known.number if known else number_in(text), text if KEY in text else "", known)


def digest_of(path: Path) -> str:
    """Digest of as many bytes of a file as any reader takes; empty where it cannot be read, or is no plain file."""
    try:
        return hashlib.sha256(bytes_of(path, limits.SOURCE_BYTES)).hexdigest()
    except (OSError, ValueError):
        return ""


def remakes_among(seen: Sequence[Seen]) -> Remakes:
    """Which of these orders, all of one folder, replace each other."""
    return Remakes({one.path: one.text for one in seen if one.text}, {one.path: one.number for one in seen})


def contested(seen: Iterable[Seen]) -> list[Path]:
    """Files whose number another of them seems to have as well; capital and small letters count as the same."""
    files: dict[str, list[Path]] = {}
    for one in seen:
        files.setdefault(one.number.casefold(), []).append(one.path)
    return [path for number, paths in files.items() if number and len(paths) > 1 for path in paths]


def beside(paths: Sequence[Path]) -> list[Path]:
    """These order files, and all others that lie beside one of them."""
    folders = {folder: folder.resolve() for folder in dict.fromkeys(path.parent for path in paths)}
    known = {(folders[path.parent], path.name) for path in paths}
    others = (path for folder in folders for path in orders_in(folder))
    return [*paths, *(path for path in others if (folders[path.parent], path.name) not in known)]


def are_traces_the_same(made: Made) -> bool:
    """True where each trace that an order names is as it was."""
    return all(signature_of(path) == look or digest_of(Path(path)) == digest for path, look, digest in made.traces)


def _time_ns(look: str) -> int:
    return int(look.split(":")[1])
