"""Demo orders spoilt at random, the same way for the same seed: each is built by the laws or refused in words.

python -m tests.fuzz.mutate [RUNS] [SEED]
"""

from __future__ import annotations

import random
import re
import resource
import shutil
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

from explain.order import read_shop
from tests.conftest import REPOSITORY, demo_orders
from tests.fuzz.building import built_or_refused

SEED = 20261125
RUNS = 10_000
MOST_MB = 300
CHECKED = re.compile(r"^checked:\n(?: +.*\n)+", re.MULTILINE)
NUMBER = re.compile(r"\d+(?:\.\d+)?")
UNITS = (" mm", " dpt", "D", " cm", "°", " deg", "in", " USD", "%", "")
SIGNS = ("+", "-", "\u2212", "\u2013", "±", "- ", "--", "")
ODD = (
    *("\u00a0", "\u200b", "\ufeff", "\u2028", "\x00", "\x1b[31m", "\u202e", "\t", "\r", "\r\n", "😀", "é", "½", "٣"),
    *("'", '"', "{", "}", "[", "]", "&", "*", "!", "%", "@", "`", "|", ">", "#", ": ", "- ", "---\n", "<b>", "{{ x }}"),
)
TYPES = (
    "",
    "null",
    "~",
    "true",
    "[]",
    "{}",
    "[1, 2]",
    "{a: b}",
    "2026-01-01",
    "0x1F",
    "1e3",
    ".nan",
    "-0",
    "none",
    "yes",
)
Mutation = Callable[[random.Random, list[str], Sequence[str]], None]


def mutated(chance: random.Random, texts: Sequence[str]) -> str:
    """One of the texts with 1 to 3 changes; others lend it their lines and values.

    Half of them are not checked yet: in those more can change before a measured value no longer fits.
    """
    text = chance.choice(texts)
    lines = (CHECKED.sub("", text) if chance.random() < 0.5 else text).split("\n")
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        chance.choice(MUTATIONS)(chance, lines, texts)
    return "\n".join(lines)


def _delete(chance: random.Random, lines: list[str], _: Sequence[str]) -> None:
    if len(lines) > 1:
        del lines[chance.randrange(len(lines))]


def _duplicate(chance: random.Random, lines: list[str], _: Sequence[str]) -> None:
    at = chance.randrange(len(lines))
    lines.insert(chance.randrange(len(lines) + 1), lines[at])


def _swap(chance: random.Random, lines: list[str], _: Sequence[str]) -> None:
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]


def _number(chance: random.Random, lines: list[str], _: Sequence[str]) -> None:
    """Another number in the place of one: near it, far from it, another spelling of it."""

    def other(found: re.Match[str]) -> str:
        text = found.group()
        near = float(text) + chance.choice((-1, -0.5, -0.25, 0.25, 0.5, 1, 2, 5))
        wild = ("0", "00", "-0.00", "0.001", "99999999999", "1e400", text.replace(".", ","), text + "0", text[::-1])
        return f"{near:.2f}" if chance.random() < 0.7 else chance.choice(wild)

    _in_one_place(chance, lines, NUMBER, other)


def _sign(chance: random.Random, lines: list[str], _: Sequence[str]) -> None:
    _in_one_place(chance, lines, re.compile(r"(?<!\w)[-+]?(?=\d)"), lambda _: chance.choice(SIGNS))


def _unit(chance: random.Random, lines: list[str], _: Sequence[str]) -> None:
    _in_one_place(chance, lines, NUMBER, lambda found: found.group() + chance.choice(UNITS))


def _splice(chance: random.Random, lines: list[str], texts: Sequence[str]) -> None:
    """A value from another order, behind a name of this one; mostly the value of the same name."""
    at = chance.randrange(len(lines))
    name, colon, _ = lines[at].partition(": ")
    lent = [line.partition(": ") for text in texts for line in text.split("\n") if ": " in line]
    same = [value for other, _, value in lent if other == name] if chance.random() < 0.7 else []
    if colon:
        lines[at] = f"{name}: {chance.choice(same or [value for _, _, value in lent])}"


def _odd_sign(chance: random.Random, lines: list[str], _: Sequence[str]) -> None:
    at = chance.randrange(len(lines))
    place = chance.randrange(len(lines[at]) + 1)
    lines[at] = lines[at][:place] + chance.choice(ODD) + lines[at][place:]


def _type(chance: random.Random, lines: list[str], _: Sequence[str]) -> None:
    at = chance.randrange(len(lines))
    name, colon, _rest = lines[at].partition(": ")
    if colon:
        lines[at] = f"{name}: {chance.choice(TYPES)}"


def _nest(chance: random.Random, lines: list[str], _: Sequence[str]) -> None:
    at = chance.randrange(len(lines))
    name, _colon, value = lines[at].partition(": ")
    deep = chance.choice((1, 2, 6, 8, 500))
    opening, closing = chance.choice((("[", "]"), ("{a: ", "}")))
    lines[at] = f"{name}: {opening * deep}{value}{closing * deep}"


def _letters(chance: random.Random, lines: list[str], _: Sequence[str]) -> None:
    """A slip of the fingers: two letters exchanged, one left out, one typed twice."""
    at = chance.randrange(len(lines))
    if len(lines[at]) > 2:
        place = chance.randrange(len(lines[at]) - 1)
        one, other = lines[at][place : place + 2]
        slip = chance.choice((other + one, one, one + one + other, one.swapcase() + other))
        lines[at] = lines[at][:place] + slip + lines[at][place + 2 :]


def _word(chance: random.Random, lines: list[str], texts: Sequence[str]) -> None:
    """One word of a value exchanged for one of another order: another material, design, shape or use."""
    lent = sorted({word for text in texts for word in re.findall(r"[a-z][a-z0-9.-]{2,}", text)})
    _in_one_place(chance, lines, re.compile(r"[a-z][a-z0-9.-]{2,}"), lambda _: chance.choice(lent))


def _in_one_place(
    chance: random.Random, lines: list[str], wanted: re.Pattern[str], other: Callable[[re.Match[str]], str]
) -> None:
    found = [(at, match) for at, line in enumerate(lines) for match in wanted.finditer(line)]
    if found:
        at, match = chance.choice(found)
        lines[at] = lines[at][: match.start()] + other(match) + lines[at][match.end() :]


MUTATIONS: tuple[Mutation, ...] = (
    *(_delete, _duplicate, _swap, _number, _number, _number, _number, _sign, _sign, _unit),
    *(_splice, _splice, _splice, _odd_sign, _type, _nest, _letters, _word, _word),
)


def run(runs: int, seed: int, folder: Path, keep: Path | None = None) -> tuple[Counter[str], list[str]]:
    """Spoil and build so many orders; how many were built, refused, or went wrong, and what went wrong with what."""
    shutil.copytree(REPOSITORY / "orders", folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("*.secret"))
    shop, texts = read_shop(folder / "shop.yaml"), [path.read_text(encoding="utf-8") for path in demo_orders()]
    chance, path, done, wrong = random.Random(seed), folder / "SPOILT.yaml", Counter[str](), []  # noqa: S311
    for path_of_demo in demo_orders():  # so that the first run is not charged for what is loaded once
        built_or_refused(folder / path_of_demo.name, shop)
    used_mb = _memory_mb()
    for number in range(runs):
        text = mutated(chance, texts)
        path.write_bytes(text.encode("utf-8", errors="surrogatepass"))
        try:
            done["built" if built_or_refused(path, shop) else "refused"] += 1
        except Exception:  # noqa: BLE001  whatever goes wrong is what we look for
            done["wrong"] += 1
            wrong.append(f"run {number}:\n{traceback.format_exc()}")
            if keep:
                shutil.copy(path, keep / f"mutated-{seed}-{number}.yaml")
    grown_mb = _memory_mb() - used_mb
    if grown_mb > MOST_MB:
        wrong.append(f"memory grew by {grown_mb} MB")
    return done, wrong


def _memory_mb() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def main(runs: int = RUNS, seed: int = SEED) -> int:
    """Run, say what came of it, and keep the orders that went wrong in build/fuzz/."""
    keep = REPOSITORY / "build" / "fuzz"
    keep.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        done, wrong = run(runs, seed, Path(folder), keep)
    sys.stderr.writelines(wrong)
    told = f"{done['built']} built, {done['refused']} refused, {len(wrong)} wrong."
    sys.stdout.write(f"{runs} orders of seed {seed}: {told}\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
