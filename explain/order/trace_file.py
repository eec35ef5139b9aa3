"""The file behind `outline: traces/NAME`: found only inside the shop's folder, and read only when it is small."""

from __future__ import annotations

import re
from pathlib import Path, PureWindowsPath

from explain.order import limits
from explain.order.bounded import bytes_of
from explain.order.faults import UnclearError
from explain.order.fields import hidden
from explain.order.keys import nearest
from explain.order.numbers import cut

LARGEST_BYTES = limits.TRACE_BYTES
MOST_NAMES = 8
FILE_NAME = re.compile(r".*([/\\]|\.[A-Za-z0-9]{1,8}$)")
NOWHERE = re.compile(
    r"(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$) *(?:\..*)?|.*[. ]|.*[<>:\"|?*].*", re.IGNORECASE
)
"""Names of devices, and those that Windows changes or refuses: an order must read alike on every computer."""
ALLOWED = "A trace file lies beside the order or in a folder there, and is named from there."
ADVICE = "Put it there and name it, for example:   outline: traces/A-0001.txt"


def is_file_name(text: str) -> bool:
    """True for text that names a file rather than a shape: it has a slash, or ends as file names do.

    >>> is_file_name("traces/A-0001.txt"), is_file_name("rounded")
    (True, False)
    """
    return bool(FILE_NAME.match(text))


def trace_path(folder: Path, name: str) -> Path:
    """The file that a name stands for. Raises UnclearError when it is not a file inside the folder.

    Both kinds of slash are read. Names that start elsewhere, step upwards, or lead outside by a link are refused.
    """
    typed = PureWindowsPath(name)
    if typed.drive or typed.root or ".." in typed.parts or any(hidden(sign) for sign in name):
        raise UnclearError(f"{cut(name)} does not lie in the folder of the order", ALLOWED, ADVICE)
    if any(NOWHERE.fullmatch(part) for part in typed.parts):
        allowed = (
            "Some computers keep CON, NUL, COM1 and the like, colons, and a point or blank at the end for themselves."
        )
        raise UnclearError(f"{cut(name)} cannot be the name of a file everywhere", allowed, ADVICE)
    try:
        path = folder.joinpath(*typed.parts)
        inside = path.resolve().is_relative_to(folder.resolve())
        is_file, exists = path.is_file(), path.exists()
    except (OSError, ValueError, RuntimeError):
        raise UnclearError(f"{cut(name)} cannot be the name of a file", ALLOWED, ADVICE) from None
    if not inside:
        raise UnclearError(f"{cut(name)} leads out of the folder of the order", ALLOWED, ADVICE)
    if not is_file:
        what = "is not a file" if exists else "is not there"
        raise UnclearError(f"the trace file {cut(name)} {what}", ALLOWED, _what_is_there(path))
    return path


def trace_bytes(path: Path) -> bytes:
    """The bytes of a trace file. Raises UnclearError when it cannot be opened or is larger than 1 MB."""
    try:
        data = bytes_of(path, LARGEST_BYTES)
    except (OSError, ValueError) as error:
        reason = "there is no such file" if isinstance(error, FileNotFoundError) else "the file cannot be opened"
        raise UnclearError(reason, "", "Check its name and its folder.") from None
    if len(data) > LARGEST_BYTES:
        raise UnclearError(
            "the file is too large for a trace",
            f"A trace is a few pages of text; at most {LARGEST_BYTES} bytes are read.",
            "Check that this is the right file.",
        )
    return data


def _what_is_there(path: Path) -> str:
    """What the folder of a missing file does hold, the nearest name first."""
    folder = path.parent
    try:
        names = sorted(one.name for one in folder.iterdir() if one.is_file() and not one.name.startswith("."))
    except OSError:
        return f"There is no folder {cut(folder.name)}. {ADVICE}"
    if not names:
        return f"The folder {cut(folder.name)} is empty. {ADVICE}"
    near = nearest(path.name, [name.lower() for name in names])
    meant = [name for name in names if name.lower() == near]
    shown = [*meant, *(name for name in names if name not in meant)][:MOST_NAMES]
    more = f" and {len(names) - len(shown)} more" if len(names) > len(shown) else ""
    return f"In that folder there are: {', '.join(cut(name)[1:-1] for name in shown)}{more}."
