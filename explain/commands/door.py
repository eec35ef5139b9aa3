"""Door: what every command shares: mistyped commands told in words, streams that print anything, disks that refuse."""

from __future__ import annotations

import argparse
import codecs
import errno
import os
import re
import sys

TYPE_CHECKING = False  # as typing has it, without its import
if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path
    from typing import Any, NoReturn, TextIO

FAULT = 2
MESSAGES = (
    (r"the following arguments are required: (.+)", r"\1 is missing."),
    (r"argument ([^:]+): expected one argument", r"nothing is written after \1."),
    (r"argument ([^:]+): not allowed with argument (.+)", r"\1 and \2 do not go together."),
    (r"argument ([^:]+): invalid \w+ value: '(.*)'", r'"\2" cannot stand after \1.'),
)
"""What is said for what the standard library says."""
EXAMPLE = re.compile(r"Example:\s+(explain\b[^\n]*)")
BEYOND_ASCII = re.compile(r"[^\x00-\x7f]+")
UNFINISHED = re.compile(r"\.(.+)\.\d+\.unfinished")
PLAIN = {
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"),
    **dict.fromkeys("\u00a0\u2009\u202f", " "),
    **dict.fromkeys("\u2018\u2019\u2032", "'"),
    **dict.fromkeys("\u201c\u201d\u2033", '"'),
    "\u00d7": "x", "\u2026": "...", "\u2192": "->", "\u2264": "<=", "\u2265": ">=", "\u20ac": "EUR",
}  # fmt: skip
"""What stands for a sign that a console cannot show; an accent goes, and any other sign becomes a question mark."""


class Parser(argparse.ArgumentParser):
    """A command line that says what was mistyped, what is near it, and how the command is used."""

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> tuple[Any, list[str]]:
        """Parse, and refuse what is left over here, where the options of the command are known."""
        found, left = super().parse_known_args(args, namespace)
        if left:
            self._refuse(left[0])
        return found, []

    def error(self, message: str) -> NoReturn:
        """Say what is wrong, and an example of what is right."""
        for theirs, ours in MESSAGES:
            message = re.sub(theirs, ours, message)
        print(f"{self.prog}: {message}", file=sys.stderr)
        about = " ".join((self.description or "").partition("\n\n")[0].split())
        if example := EXAMPLE.search(about):
            print(f"For example:   {example[1]}", file=sys.stderr)
            self._end()
        self.print_help(sys.stderr)
        self.exit(FAULT)

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        if action.choices is None or value in action.choices:
            return
        what = "a command" if action.metavar == "COMMAND" else f"one of {action.metavar}"
        self._say_nearest(str(value), what, [str(choice) for choice in action.choices])

    def _refuse(self, word: str) -> NoReturn:
        name = word.partition("=")[0]
        options = [option for action in self._actions for option in action.option_strings if option.startswith("--")]
        if name.startswith("-"):
            self._say_nearest(name, f"an option of {self.prog}", options)
        self.error(f'there is one word too many: "{word}". Words with blanks in them stand in quotation marks.')

    def _say_nearest(self, word: str, what: str, choices: Sequence[str]) -> NoReturn:
        from explain.order.keys import in_words, nearest

        print(f'{self.prog}: "{word}" is not {what}; there are {in_words(choices, "and")}.', file=sys.stderr)
        if near := nearest(word, choices):
            print(f"Perhaps:   {self.prog} {near}", file=sys.stderr)
        self._end()

    def _end(self) -> NoReturn:
        print(f"How it is used:   {self.prog} --help", file=sys.stderr)
        self.exit(FAULT)


class Version(argparse.Action):
    """Print the version and end."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        """Look the version up only now: that is slow."""
        from importlib.metadata import version

        print(f"explain {version('order-explainer')}")
        parser.exit()


def let_print_anything(*streams: TextIO | Any) -> None:
    """Let streams whose encoding lacks a sign print another in its place, rather than end in an error."""
    codecs.register_error("plain", _plain)
    for stream in streams:
        if hasattr(stream, "reconfigure") and not is_unicode(stream):
            stream.reconfigure(errors="plain")


def is_unicode(stream: TextIO | Any) -> bool:
    """True for a stream that can print every sign."""
    return (getattr(stream, "encoding", None) or "utf-8").lower().replace("_", "-").startswith("utf-")


def print_data(text: str, *, is_json: bool) -> None:
    """Print what another program reads, so that no sign is lost where the encoding of the output lacks it.

    JSON then names the sign by its number; a table is sent as UTF-8 with the mark that spreadsheets know it by.
    """
    if is_unicode(sys.stdout):
        sys.stdout.write(text)
    elif is_json:
        sys.stdout.write(BEYOND_ASCII.sub(_numbered, text))
    else:
        sys.stdout.flush()
        sys.stdout.buffer.write(text.encode("utf-8-sig"))


def _numbered(found: re.Match[str]) -> str:
    import json

    return json.dumps(found.group())[1:-1]


def _plain(error: UnicodeError) -> tuple[str, int]:
    from unicodedata import normalize

    if not isinstance(error, UnicodeEncodeError):
        raise error
    lacking = error.object[error.start : error.end]
    said = "".join(
        PLAIN.get(sign) or normalize("NFKD", sign).encode("ascii", "ignore").decode() or "?" for sign in lacking
    )
    return said, error.end


def reader_has_gone(error: OSError) -> bool:
    """True where whoever read our output has had enough, as in `explain check | head -1`; Windows says it otherwise."""
    return isinstance(error, BrokenPipeError) or (error.errno == errno.EINVAL and error.filename is None)


def leave_quietly() -> None:
    """Send what is still to be printed nowhere, so that nothing is said of it at the end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def disk_refuses(error: OSError) -> str:
    """Say which file or folder could not be read or written, and what to do."""
    from pathlib import Path

    path = Path(str(error.filename)) if error.filename else None
    if path is not None and (whole := UNFINISHED.fullmatch(path.name)):
        path = path.with_name(whole[1])
    where = path.as_posix() if path else "a file"
    return (
        f"{where}: this cannot be read or written ({error.strerror or error}).\n"
        "Allow reading and writing there, free some room, or close the program that holds it open. Then try again."
    )


def shell_word(path: Path) -> str:
    """A path as it is typed, in quotation marks where it has a blank in it.

    >>> from pathlib import Path
    >>> shell_word(Path("my shop/orders")), shell_word(Path("orders"))
    ('"my shop/orders"', 'orders')
    """
    text = path.as_posix()
    return text if re.fullmatch(r"[\w./:@%+,~-]+", text) else f'"{text}"'


def typed_in() -> str | None:
    """What stands for the standard input, where something is piped or somebody can paste; else None."""
    if not sys.stdin.isatty():
        return "-" if _is_piped() else None
    keys = "Ctrl-Z and Enter" if os.name == "nt" else "Ctrl-D"
    print(f"Paste the prescription, then press Enter and {keys}.", file=sys.stderr)
    return "-"


def _is_piped() -> bool:
    """True where something may be waiting: a pipe or a file, and not nothing at all."""
    import stat

    try:
        kind = os.fstat(sys.stdin.fileno()).st_mode
    except (OSError, ValueError, AttributeError):
        return False
    return stat.S_ISFIFO(kind) or stat.S_ISREG(kind)
