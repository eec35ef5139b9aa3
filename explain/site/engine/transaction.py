"""Transaction: files put in place together, so that a build killed at any moment is completed by the next one.

New files wait in private/ until all of them are written to the disk. Then what is intended is written down, carried out
by renaming, and struck off. Who is killed before the intent stands has changed nothing; who is killed after it is
completed by `complete_interrupted`, since each step may be done twice.
"""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

from explain.site.engine.sweep import INTENT, PAGE, STAGED
from explain.site.lasting import keep_names, write_lasting
from explain.site.patience import put, take_away
from explain.site.publish import UNFINISHED

PUT, MOVE, REMOVE = "put", "move", "remove"
Step = tuple[str, str, str]
"""What is done, to which file, and where that is put; the last is empty where it is removed."""


class Transaction:
    """Changes to the files of one build folder; nothing is in place before `commit`."""

    def __init__(self, out: Path) -> None:
        self._out = out
        self._steps: list[Step] = []

    def put(self, path: Path, text: str | bytes) -> None:
        """Write a file under the build folder; where it holds this already it is left alone. Raises OSError."""
        data = text.encode("utf-8") if isinstance(text, str) else text
        if _holds(path, data):
            return
        staged = self._staged() / str(len(self._steps))
        write_lasting(staged, data)
        self._steps.append((PUT, staged.name, self._name(path)))

    def move(self, path: Path, to: Path) -> None:
        """Move a file to another place under the build folder."""
        self._steps.append((MOVE, self._name(path), self._name(to)))

    def remove(self, path: Path) -> None:
        """Take a file away, where it is there."""
        if path.is_file():
            self._steps.append((REMOVE, self._name(path), ""))

    def commit(self) -> bool:
        """Put everything in place; True where anything changed.

        Raises OSError before anything is; later only where the disk refuses to give a file another name.
        """
        if not self._steps:
            return False
        self._steps.sort(key=_turn)
        for kind, _, name in self._steps:
            if kind in {PUT, MOVE}:
                (self._out / name).parent.mkdir(parents=True, exist_ok=True)
        _need_writable(self._out, self._steps)
        staged = self._staged()
        write_lasting(staged / f"{INTENT}.new", json.dumps(self._steps).encode("utf-8"))
        (staged / f"{INTENT}.new").replace(staged / INTENT)
        keep_names(staged)
        _carry_out(self._out, self._steps)
        self._steps = []
        return True

    def drop(self) -> None:
        """Forget what was to be put in place, also where that was begun: the next build is not to end it by halves."""
        (self._staged() / INTENT).unlink(missing_ok=True)
        for kind, name, _ in self._steps:
            if kind == PUT:
                (self._staged() / name).unlink(missing_ok=True)
        self._steps = []

    def _staged(self) -> Path:
        folder = self._out / "private" / STAGED
        folder.mkdir(parents=True, exist_ok=True)
        return folder

    def _name(self, path: Path) -> str:
        return path.relative_to(self._out).as_posix()


def complete_interrupted(out: Path) -> bool:
    """Complete what a build that was killed had intended, and clear away what it had not; True for the first."""
    staged = out / "private" / STAGED
    intent = staged / INTENT
    steps = _intended(intent)
    if steps:
        _carry_out(out, steps)
    shutil.rmtree(staged, ignore_errors=True)
    for left in (out / "private").glob(f".*{UNFINISHED}"):
        left.unlink(missing_ok=True)
    return bool(steps)


def _turn(step: Step) -> int:
    """A page comes after what it leads to, and before what it no longer leads to goes."""
    kind, name, to = step
    if kind == REMOVE or (kind == MOVE and name.startswith("upload/") and not to.startswith("upload/")):
        return 2
    return int(to.startswith("upload/") and to.endswith(f"/{PAGE}"))


def _intended(intent: Path) -> list[Step]:
    """The steps that were written down; none where nothing was, or where the file was damaged since.

    What was left half way is then not as the record says, so a build makes it anew.
    """
    try:
        steps = [(kind, name, to) for kind, name, to in json.loads(intent.read_bytes())]
    except (OSError, ValueError, TypeError):
        return []
    return steps if all(map(_is_ours, steps)) else []


def _is_ours(step: Step) -> bool:
    """True for a step that `commit` may have written down: every name in it stays in the build folder."""
    kind, name, to = map(str, step)
    if kind == PUT:
        return name.isdigit() and _is_inside(to)
    return _is_inside(name) and (kind == REMOVE or (kind == MOVE and _is_inside(to)))


def _is_inside(name: str) -> bool:
    return name.startswith(("upload/", "private/")) and ".." not in Path(name).parts


def _carry_out(out: Path, steps: list[Step]) -> None:
    staged = out / "private" / STAGED
    folders: dict[Path, None] = {}
    for kind, name, to in steps:
        source = staged / name if kind == PUT else out / name
        if kind == REMOVE:
            take_away(source)
        elif source.exists():  # else it was done before
            (out / to).parent.mkdir(parents=True, exist_ok=True)
            put(source, out / to)
        folders[(out / (to or name)).parent] = None
    for folder in folders:
        keep_names(folder)
    (staged / INTENT).unlink()


def _need_writable(out: Path, steps: list[Step]) -> None:
    """Refuse before anything is in place where a folder would refuse half way."""
    for kind, name, to in steps:
        folder = (out / (name if kind == REMOVE else to)).parent
        if folder.is_dir() and not os.access(folder, os.W_OK | os.X_OK):
            raise PermissionError(13, "Permission denied", str(folder))


def _holds(path: Path, data: bytes) -> bool:
    try:
        return path.stat().st_size == len(data) and path.read_bytes() == data
    except OSError:
        return False
