"""Guided fuzzing of one reader: inputs that reach new lines of explain/ are kept and changed further.

python -m tests.fuzz.guided READER SECONDS [FOLDER]

It ends with the input that made a reader raise, run for over a second, or take over 300 MB more; the input is kept in
the folder, build/fuzz/.
"""

from __future__ import annotations

import resource
import sys
import time
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["explain"]):
    from tests.fuzz.readers import READERS

from tests.conftest import REPOSITORY
from tests.fuzz.seeds import seeds, words

LONGEST_S = 1.0
MOST_MB = 300
LONGEST_INPUT = 6000


def main(reader: str, seconds: str, folder: str = "build/fuzz") -> None:
    """Fuzz one reader for so many seconds. folder: keeps the inputs that were found, for the next run."""
    corpus = _corpus(reader, REPOSITORY / folder)
    read = READERS[reader]

    def one(data: bytes) -> None:
        started = time.process_time()
        read(data)
        took_s = time.process_time() - started
        if took_s > LONGEST_S:
            raise TimeoutError(f"{took_s:.1f} s for {data[:200]!r}")

    _warm(reader, corpus)
    used_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    atheris.Setup(
        [
            sys.argv[0],
            str(corpus),
            f"-artifact_prefix={corpus}-",
            f"-dict={_dictionary(reader, corpus)}",
            f"-max_total_time={seconds}",
            f"-max_len={LONGEST_INPUT}",
            f"-rss_limit_mb={used_mb + MOST_MB}",
            *("-timeout=10", "-seed=20261125", "-print_final_stats=1"),
        ],
        one,
    )
    atheris.Fuzz()


def _corpus(reader: str, kept: Path) -> Path:
    """The folder of inputs: our seeds, and what earlier runs found."""
    folder = kept / reader
    folder.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(seeds(reader)):
        (folder / f"seed-{number:03}").write_bytes(data)
    return folder


def _warm(reader: str, corpus: Path) -> None:
    """Read every seed once, so that what is loaded and kept on first use does not count as growth."""
    for path in sorted(corpus.glob("seed-*")):
        READERS[reader](path.read_bytes())


def _dictionary(reader: str, corpus: Path) -> Path:
    path = corpus.with_suffix(".dict")
    entries = ("".join(f"\\x{byte:02x}" for byte in word.encode()) for word in words(reader))
    path.write_text("".join(f'"{entry}"\n' for entry in entries), encoding="ascii")
    return path


if __name__ == "__main__":
    main(*sys.argv[1:])
