"""Every reader of something typed or sent, as a function of bytes that raises only where the reader is wrong.

Each returns True for what was read and False for what was refused in words, so that a run can say how many there were.
"""

from __future__ import annotations

import io
import tempfile
from collections.abc import Callable, Iterable, Sequence
from contextlib import redirect_stderr, redirect_stdout
from datetime import date
from pathlib import Path

from explain.cli import parser
from explain.draft.fhir import read_record
from explain.draft.sources import source_of
from explain.draft.start import Wish, drafts_from
from explain.draft.table import read_table
from explain.draft.taken import SIDES, DraftError, Taken
from explain.draft.trace_order import read_trace_order
from explain.draft.typed_text import read_text
from explain.draft.understood import report
from explain.draft.writing import open_paths, order_text
from explain.order import OrderError, read_order, read_plan, read_shop
from explain.order.answer import read_answer
from explain.order.document import LINE_BREAK, document_in
from explain.order.faults import Fault, Finding, Findings, UnclearError
from explain.order.nodes import Group, Text
from explain.order.order import faults_in
from explain.order.trace import trace_in
from explain.order.typed import read_eye
from explain.site.clean import safe_html
from explain.site.faq import story_of
from explain.story.answers import AnswerError
from tests.conftest import REPOSITORY

SHOP = read_shop(REPOSITORY / "orders" / "shop.yaml")
TODAY = date(2026, 11, 25)
LONGEST_MESSAGE = 1500
FOLDER = tempfile.TemporaryDirectory(prefix="explain-fuzz-")
HERE = Path(FOLDER.name)


def is_told(findings: Iterable[Finding], lines: int) -> None:
    """Every finding names its file and a line that is there, in three whole parts that a screen can show."""
    for one in findings:
        said = str(one)
        assert one.file, said
        assert 0 <= one.line <= max(lines, 1), f"line {one.line} of {lines}: {said}"
        assert one.message, said
        assert one.advice, said
        assert one.allowed or not one.line, said
        is_shown(said)


def refused(faults: Sequence[Fault], data: bytes) -> bool:
    """False, for what was refused: there is a fault, and each is told."""
    assert faults
    is_told(faults, line_count(data))
    return False


def is_shown(said: str) -> None:
    """Words that a terminal shows as they are: no marks that move the cursor, no half characters, no end of them."""
    odd = [sign for sign in said if not sign.isprintable() and sign not in "\n\u00a0\u202f"]
    assert not odd, f"{odd!r} in {said!r}"
    assert len(said) < LONGEST_MESSAGE, said
    assert "Traceback" not in said


def line_count(data: bytes) -> int:
    """Lines as a reader of YAML counts them."""
    return len(LINE_BREAK.split(data.decode("utf-8-sig", errors="replace")))


def order(data: bytes) -> bool:
    """An order file, whole and as a plan."""
    path = HERE / "order.yaml"
    path.write_bytes(data)
    done = []
    for reader in (read_order, read_plan):
        try:
            read = reader(path, SHOP)
        except OrderError as error:
            done.append(refused(error.faults, data))
        else:
            is_told((doubt for doubt in read.doubts if doubt.file == path.as_posix()), line_count(data))
            done.append(True)
    assert done[1] or not done[0], "a plan asks for no more than an order"
    return done[0]


def shop(data: bytes) -> bool:
    """A shop file."""
    path = HERE / "shop.yaml"
    path.write_bytes(data)
    try:
        read_shop(path)
    except OrderError as error:
        return refused(error.faults, data)
    return True


def answer(data: bytes) -> bool:
    """An answer for everyone: its header, its text, what its example gives, its HTML."""
    path = HERE / "an-answer.md"
    path.write_bytes(data)
    try:
        read = read_answer(path, {"an-answer", "thick-edges"})
        is_told(read.doubts, line_count(data))
        html = safe_html(read.answer.text)
        assert not {"<script", "javascript:", "<img", "<!--"} & {html.lower()}
        story_of(read.answer, SHOP)
    except (OrderError, AnswerError) as error:
        return refused(error.faults, data)
    return True


def trace(data: bytes) -> bool:
    """A frame's outline as a tracer sends it."""
    try:
        read = trace_in(data, "frame.txt", "rounded")
    except OrderError as error:
        return refused(error.faults, b"\n" * len(data))
    for outline in (read.right, read.left):
        assert all(abs(x) < 60 and abs(y) < 60 for x, y in outline), outline
    for doubt in read.doubts:
        is_shown(str(doubt))
    return True


def typed_eye(data: bytes) -> bool:
    """The line of one eye, as it stands in an order."""
    try:
        eye = read_eye(data.decode("utf-8", errors="replace"), "the right eye", "right")
    except UnclearError as unclear:
        is_shown(f"{unclear.remark.message}\n{unclear.remark.allowed}\n{unclear.remark.advice}")
        return False
    power = eye.power
    if power is not None:
        assert abs(power.sphere_dpt) <= 30
        assert abs(power.cylinder_dpt) <= 10
        assert 0 < power.axis_deg <= 180
    return True


def typed_text(data: bytes) -> bool:
    """A prescription in somebody's own words."""
    return _drafted(read_text(data.decode("utf-8", errors="replace")))


def trace_order(data: bytes) -> bool:
    """An order for lenses as a laboratory gets it."""
    return _drafted(read_trace_order(data, "frame.txt", "traces/frame.txt"))


def record(data: bytes) -> bool:
    """A health record (JSON)."""
    return _drafted_or_refused(lambda: [read_record(data.decode("utf-8", errors="replace"), "a record")])


def table(data: bytes) -> bool:
    """A table of orders (CSV)."""
    text = data.decode("utf-8", errors="replace")
    return _drafted_or_refused(lambda: [row.taken for row in read_table(text, "orders.csv", SHOP, HERE, TODAY)])


def source(data: bytes) -> bool:
    """Anything that arrives on the standard input, in any encoding."""
    given = io.BytesIO(data)

    def taken() -> list[Taken]:
        drafts = drafts_from(source_of("-", given), Wish("A-1", str(HERE / "A-1.yaml")), TODAY)
        return [draft.taken for draft in drafts]

    return _drafted_or_refused(taken)


def flags(data: bytes) -> bool:
    """A command line: parsed, or refused by the parser; nothing is run."""
    said = io.StringIO()
    words = data.decode("utf-8", errors="replace").split("\n")
    try:
        with redirect_stdout(said), redirect_stderr(said):
            parser().parse_args(words)
    except SystemExit as left:
        status = left.code
    else:
        status = 0
    assert status in (0, 2)
    assert "Traceback" not in said.getvalue()
    return status == 0


def _drafted_or_refused(read: Callable[[], list[Taken]]) -> bool:
    try:
        found = read()
    except DraftError as error:
        is_shown_in_parts(str(error))
        return False
    done = list(map(_drafted, found))
    return all(done)


def is_shown_in_parts(said: str) -> None:
    """Several messages, each as is_shown wants it."""
    for part in said.split("\n\n"):
        is_shown(part)


def _drafted(taken: Taken) -> bool:
    """Each eye is read or asked about, what is told can be shown, what is written is what was taken.

    What the reader of orders then finds is what was left open, and nothing else that was taken.
    """
    open_to_type = {*taken.questions, *open_paths(taken)}
    assert {f"prescription.{side}" for side in SIDES} <= {*taken.values, *open_to_type}
    is_shown_in_parts(report(taken).replace("\n", "\n\n"))
    text = order_text(taken, "what was sent")
    group = document_in(text, Findings("a draft"))
    for path, value in taken.values.items():
        if isinstance(value, str):
            assert _text_at(group, path) == " ".join(value.split()), (path, value)
    refused = {fault.key: fault for fault in faults_in(text, HERE / "draft.yaml", SHOP)}
    wrong = [fault for key, fault in refused.items() if key in taken.values and not _is_left_open(key, taken)]
    assert not wrong, "\n\n".join(map(str, wrong))
    return not taken.questions


def _is_left_open(key: str, taken: Taken) -> bool:
    """True for a key that cannot be judged while something it depends on is to be typed."""
    return key in open_paths(taken) or key in ("frame.outline", "frame.size", "frame.depth")


def _text_at(group: Group, path: str) -> str | None:
    node: object = group
    for name in path.split("."):
        if not isinstance(node, Group) or name not in node.entries:
            return None
        node = node.entries[name].value
    return node.text if isinstance(node, Text) else None


READERS: dict[str, Callable[[bytes], bool]] = {
    "order": order,
    "shop": shop,
    "answer": answer,
    "trace": trace,
    "trace-order": trace_order,
    "typed-eye": typed_eye,
    "typed-text": typed_text,
    "record": record,
    "table": table,
    "source": source,
    "flags": flags,
}
