"""Survey: the order files of a build as they lie there, what the last build made of each, and what has to be made.

Files go by their path as text: there may be ten thousand, of which all but a few are as they were.
"""

from __future__ import annotations

import hashlib
import os
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from msgspec import Struct

from explain.order import limits
from explain.order.bounded import bytes_of, leads_out
from explain.site.engine.record import Made, Record
from explain.site.engine.sweep import RACY_NS, Looks, signature_of, time_ns
from explain.site.remakes import KEY, Remakes, number_in, text_of
from explain.site.shops import order_files_in

NO_LOOK = ""
"""Of a file that is not there, or that is to be read whatever it looks like."""


class Seen(Struct, frozen=True):
    """One order file as it lies there. made: what the last build made of exactly this file, or None.

    number: the one it seems to have. text: only of a file that speaks of a remake.
    """

    path: str
    look: str
    digest: str
    number: str
    text: str
    made: Made | None


def survey(paths: Iterable[str], record: Record, looks: Looks) -> dict[str, Seen]:
    """Read each order file that is not known to be as the last build left it; those that are, are not among them."""
    unsure = {path: look for path in paths if not is_as_it_was(look := looks.of(path), path, record)}
    return {path: _seen(path, record.made.get(path), look) for path, look in unsure.items()}


def is_as_it_was(look: str, path: str, record: Record) -> bool:
    """True where a file is surely the one that the last build made something of, and speaks of no remake."""
    made = record.made.get(path)
    if made is None or made.look != look or made.replaces:
        return False
    return is_sure(look, record.at_ns)


def is_sure(look: str, at_ns: int) -> bool:
    """True where whatever changed since a look at a file would show in another one."""
    return look != NO_LOOK and time_ns(look) < at_ns - RACY_NS


def _seen(path: str, made: Made | None, look: str) -> Seen:
    file = Path(path)
    text, digest = text_of(file), digest_of(file)
    known = made if made is not None and made.digest == digest else None
    return Seen(path, look, digest, known.number if known else number_in(text), text if KEY in text else "", known)


def digest_of(path: Path) -> str:
    """Digest of as many bytes of a file as any reader takes; empty for one that no reader takes.

    That is one that cannot be read, is no plain file, or is a link to elsewhere.
    """
    try:
        return "" if leads_out(path) else hashlib.sha256(bytes_of(path, limits.SOURCE_BYTES)).hexdigest()
    except (OSError, ValueError):
        return ""


def remakes_among(seen: Iterable[Seen], numbers: Iterable[tuple[str, str]]) -> Remakes:
    """Which of these orders, all of one folder, replace each other. numbers: path and number of each order there."""
    texts = {Path(one.path): one.text for one in seen if one.text}
    return Remakes(texts, {Path(path): number for path, number in numbers} if texts else {})


def contested(numbers: Mapping[str, str]) -> list[str]:
    """Files whose number another of them has as well; capital and small letters count as the same."""
    known = [number.casefold() for number in numbers.values() if number]
    if len(set(known)) == len(known):
        return []
    times = Counter(known)
    return [path for path, number in numbers.items() if times[number.casefold()] > 1]


def beside(paths: Sequence[str]) -> list[str]:
    """These order files, and all others that lie beside one of them."""
    folders, given = dict.fromkeys(map(folder_of, paths)), set(paths)
    others = [path for folder in folders for path in order_files_in(folder) if path not in given]
    if len(folders) == 1 or not others:
        return [*paths, *others]
    whole = {folder: Path(folder).resolve() for folder in folders}
    known = {(whole[folder_of(path)], os.path.basename(path)) for path in paths}
    return [*paths, *(path for path in others if (whole[folder_of(path)], os.path.basename(path)) not in known)]


def folder_of(path: str) -> str:
    """The folder of a file, as text. The library is asked only for the short ones: there may be ten thousand.

    >>> folder_of(str(Path("orders/A-0001.yaml"))), folder_of("A-0001.yaml")
    ('orders', '')
    """
    folder = path.rpartition(os.sep)[0]
    return folder if len(folder) > len("C:") else os.path.dirname(path)


def are_traces_the_same(made: Made) -> bool:
    """True where each trace that an order names is as it was."""
    return all(
        (look != NO_LOOK and signature_of(path) == look and not os.path.islink(path)) or digest_of(Path(path)) == digest
        for path, look, digest in made.traces
    )
