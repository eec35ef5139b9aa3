"""Bounded: the worst file of each kind is refused in words, in under a second and within 300 MB."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys

import pytest

from explain.draft.json_tree import TreeError, tree_of
from explain.order import OrderError, read_order, read_shop
from explain.order.bounded import NoFileError, bytes_of
from explain.order.limits import RECORD_DEPTH
from tests.conftest import REPOSITORY
from tests.story.invented import write_order, write_shop

MOST_SECONDS, MOST_BYTES = 1.0, 300_000_000
MEASURED = """
import contextlib, io, json, resource, sys, time
import babel.numbers, explain.site.build, explain.draft.start
from explain.cli import main
def most_used():
    try:  # of this program alone; getrusage also counts what its parent held before it began
        return int(open("/proc/self/status").read().split("VmHWM:")[1].split()[0]) * 1024
    except OSError:
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * (1 if sys.platform == "darwin" else 1024)
for arguments in json.load(sys.stdin):
    said = io.StringIO()
    with contextlib.redirect_stderr(said), contextlib.redirect_stdout(io.StringIO()):
        started = time.process_time()
        status = main(arguments)
        seconds = time.process_time() - started
    used = most_used()
    print(json.dumps([seconds, used, status, said.getvalue()]))
"""
"""Commands one after the other in one process: what each took, the most memory so far, its status and its words."""
RECORD = '{"resourceType":"VisionPrescription","status":"active","lensSpecification":['
LENS = '{"eye":"right","sphere":-2}'
TABLE = "Order,Sph R\n"
ORDERS = {
    "far too large": "a" * 30_000_000,
    "brackets inside brackets": "a: " + "[" * 199_000,
    "groups inside groups": "\n".join(" " * depth + "a:" for depth in range(600)),
    "values without end": "use: [" + "x, " * 60_000 + "x]",
    "names without end": "".join(f"{name:x}: 1\n" for name in range(4_900)),
    "one name": "? " + "k" * 190_000 + "\n: 1\n",
    "one value": "for: " + "O" * 190_000,
    "one number": "order: -" + "4" * 190_000,
    "a bomb of repetitions": "a: &a [x,x]\n" + "".join(f"b{n}: &b{n} [*a,*a]\n" for n in range(20)),
    "a circle": "a: &a\n  - *a\n",
    "an open quotation mark": "a: '" + "''" * 90_000,
    "empty lines": "\n" * 190_000 + "x",
    "remarks": "#\n" * 99_000,
    "signs": "? " * 90_000,
    "nothing that can be seen": "\0" * 190_000,
}
DRAFTS = {
    "large.txt": "a" * 30_000_000,
    "long.txt": "R -1.00 " * 100_000,
    "figures.txt": "0" * 990_000,
    "deep.json": "[" * 1_000_000,
    "groups.json": '{"a":' * 100_000,
    "many.json": f'{{"resourceType":"Bundle","entry":[{",".join([f"{RECORD}{LENS}]}}"] * 9_000)}]}}',
    "names.json": "{" + ",".join(f'"{name}":1' for name in range(80_000)) + "}",
    "rows.csv": TABLE + "A-1,-1.25\n" * 90_000,
    "wide.csv": "Order" + ",x" * 400_000 + "\n1\n",
    "cell.csv": TABLE + '"' + "a" * 900_000 + '"\n',
    "open.csv": TABLE + '"' * 900_000,
    "faulty.csv": TABLE + "".join(f"A-{row},zz\n" for row in range(1_000)),
    "nothing.csv": TABLE + "\0" * 900_000,
}
READ_ANYWAY = {
    "blank.txt": "OD" + " " * 990_000 + "x",
    "lines.txt": "a" + "\n" * 990_000 + "x",
    "number.json": f'{RECORD}{LENS}],"x":' + "9" * 900_000 + "}",
    "lenses.json": RECORD + ",".join([LENS] * 30_000) + "]}",
    "points.txt": "REQ=FIL\nJOB=1\nTRCFMT=1;190000;E;R;F\nR=" + ";".join(["2500"] * 180_000) + "\n",
    "records.txt": "A=1\n" * 240_000,
    "spaced.txt": "\n".join(["R" + " " * 800 + "x"] * 10),
    "ones.txt": "\n".join(["1." * 499] * 10),
    "noughts.txt": "\n".join(["0" * 999] * 10),
    "months.txt": "\n".join(["jan " * 249] * 10),
}
"""Odd and large, but within the limits: read, or left open in words, and no slower."""


OWN = ["shop.yaml", "words/care.md", "parts/contents.html"]


def new_folder(folder):
    (folder / "orders").mkdir()
    write_shop(folder / "orders")
    return folder


@pytest.fixture
def folder(tmp_path):
    return new_folder(tmp_path)


def measured(folder, *commands):
    run = subprocess.run(
        [sys.executable, "-c", MEASURED],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(REPOSITORY)},
        input=json.dumps(commands),
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=300,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    return [json.loads(line) for line in run.stdout.splitlines()]


@pytest.fixture(scope="module")
def checks(tmp_path_factory):
    folder = new_folder(tmp_path_factory.mktemp("orders"))
    for at, text in enumerate(ORDERS.values()):
        (folder / "orders" / f"T-{at}.yaml").write_text(text, encoding="utf-8")
    commands = [["check", f"orders/T-{at}.yaml"] for at in range(len(ORDERS))]
    return dict(zip(ORDERS, measured(folder, *commands), strict=True))


@pytest.fixture(scope="module")
def drafts(tmp_path_factory):
    folder = new_folder(tmp_path_factory.mktemp("drafts"))
    for name, text in (DRAFTS | READ_ANYWAY).items():
        (folder / name).write_text(text, encoding="utf-8")
    shown = ["--to", "-", "--order", "A-1"]
    commands = [["draft", name, *([] if name.endswith(".csv") else shown)] for name in DRAFTS | READ_ANYWAY]
    return dict(zip(DRAFTS | READ_ANYWAY, measured(folder, *commands), strict=True))


@pytest.mark.parametrize("name", ORDERS)
def test_an_order_is_refused_in_words(checks, name):
    seconds, used, status, told = checks[name]

    assert status == 2
    assert re.match(r"\norders/T-[0-9]+\.yaml:", told)
    assert len(told) < 60_000
    assert seconds < MOST_SECONDS
    assert used < MOST_BYTES


@pytest.mark.parametrize("name", DRAFTS)
def test_what_a_draft_starts_from_is_refused_in_words(drafts, name):
    seconds, used, status, told = drafts[name]

    assert status == 2
    assert len(told.strip().splitlines()) >= 3
    assert len(told) < 20_000
    assert seconds < MOST_SECONDS
    assert used < MOST_BYTES


@pytest.mark.parametrize("name", READ_ANYWAY)
def test_what_is_just_within_the_limits_is_hardly_slower(drafts, name):
    seconds, used, status, told = drafts[name]

    assert status in (0, 2)
    assert told.strip()
    assert seconds < 2 * MOST_SECONDS
    assert used < MOST_BYTES


@pytest.mark.parametrize("where", OWN)
def test_a_file_of_the_shops_own_is_refused_in_words(folder, where):
    order, path = write_order(folder / "orders"), folder / "orders" / where
    path.parent.mkdir(exist_ok=True)
    path.write_text("x" * 30_000_000, encoding="utf-8")

    ((seconds, used, status, told),) = measured(folder, ["check", str(order.relative_to(folder))])

    assert status == 2
    assert f"{where}: the file is too large: 30000000 bytes" in told
    assert seconds < MOST_SECONDS
    assert used < MOST_BYTES


@pytest.mark.parametrize(
    "where", ["shop.yaml", "words/care.md", "parts/contents.html", "faq/fogging.md", "T-0002.yaml"]
)
def test_a_build_reads_no_more_of_a_large_file_to_see_whether_it_changed(folder, where):
    write_order(folder / "orders")
    path = folder / "orders" / where
    path.parent.mkdir(exist_ok=True)
    with path.open("wb") as file:
        file.truncate(400_000_000)  # takes no room on the disk

    ((_, used, status, told),) = measured(folder, ["build"])

    assert status == 2
    assert f"{where}: the file is too large: 400000000 bytes" in told
    assert used < MOST_BYTES


def test_a_file_may_be_as_large_as_the_limit(tmp_path):
    (tmp_path / "a").write_bytes(b"x" * 11)

    assert bytes_of(tmp_path / "a", 11) == b"x" * 11
    assert len(bytes_of(tmp_path / "a", 5)) == 6


def test_too_many_values_are_told_apart_from_too_many_brackets(folder):
    path = folder / "orders" / "T-0001.yaml"
    for words, text in {
        "too many values": "a: [" + "x, " * 10_001 + "x]",
        "too many brackets": "a: " + "[" * 9,
    }.items():
        path.write_text(text + "]" * 9 * (words == "too many brackets"), encoding="utf-8")
        with pytest.raises(OrderError, match=words):
            read_order(path, read_shop(folder / "orders" / "shop.yaml"))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes with a name are a thing of POSIX")
def test_a_pipe_or_a_device_is_no_file_and_nobody_waits_for_it(folder):
    os.mkfifo(folder / "pipe")

    for path in (folder / "pipe", folder):
        with pytest.raises(NoFileError):
            bytes_of(path, 10)
    (folder / "orders" / "T-0002.yaml").symlink_to("/dev/zero")
    os.mkfifo(folder / "orders" / "T-0003.yaml")
    for name in ("T-0002", "T-0003"):
        ((_, _, status, told),) = measured(folder, ["check", f"orders/{name}.yaml"])
        assert status == 2
        assert f"orders/{name}.yaml:" in told


@pytest.mark.parametrize("bracket", ["[]", '{"a":1}'])
def test_a_health_record_may_be_as_deep_as_the_limit_and_no_deeper(bracket):
    start, end = bracket[0] if bracket == "[]" else '{"a":', bracket[-1]

    assert tree_of(start * RECORD_DEPTH + "1" + end * RECORD_DEPTH, "a.json")
    with pytest.raises(TreeError, match=r"^a\.json: there are more than 50 brackets inside each other"):
        tree_of(start * (RECORD_DEPTH + 1) + "1" + end * (RECORD_DEPTH + 1), "a.json")
