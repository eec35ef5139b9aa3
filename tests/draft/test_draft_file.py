"""The drafted order file: every key of an order in it, never over another file; a check asks for the rest."""

from __future__ import annotations

import io
import re
import time

import pytest
import yaml

from explain.cli import main
from explain.draft.sources import SourceError, source_of
from explain.draft.start import AskedError, place_of
from explain.draft.taken import Taken
from explain.draft.typed_text import read_text
from explain.draft.writing import as_typed, open_paths, order_text
from explain.order import OrderError, read_shop
from explain.order.document import read_document
from explain.order.keys import ORDER_KEYS
from explain.order.order import read_plan
from tests.story.invented import write_shop

TEXTS = ["OD -3.25 -0.75 x 172 OS -3.00 DS add 2 PD 63", "R -2.00 -0.50", "nothing at all", "R balance L -1.00 add x"]


@pytest.fixture
def shop_folder(tmp_path, monkeypatch):
    """A folder with a shop in orders/, in which we stand."""
    (tmp_path / "orders").mkdir()
    write_shop(tmp_path / "orders")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def run(capsys):
    """Run explain draft and give its exit status and all it said."""

    def run_it(*arguments):
        status = main(["draft", *map(str, arguments)])
        said = capsys.readouterr()
        return status, said.out + said.err

    return run_it


def faults_of(path):
    with pytest.raises(OrderError) as caught:
        read_plan(path, read_shop(path.parent / "shop.yaml"))
    return caught.value.faults


@pytest.mark.parametrize("text", TEXTS)
def test_a_check_of_the_draft_asks_for_exactly_what_is_left_open(shop_folder, run, text):
    assert run(text, "--order", "A-0001")[0] == 0

    asked = sorted(fault.key for fault in faults_of(shop_folder / "orders" / "A-0001.yaml"))

    assert asked == sorted(open_paths(Taken({"order": "A-0001", "date": "x"}).over(read_text(text))))


def test_each_open_line_says_what_to_type_where_the_check_points(shop_folder, run):
    run("R -2.00 -0.50 L -1.00", "--order", "A-0001")
    path = shop_folder / "orders" / "A-0001.yaml"
    lines = path.read_text(encoding="utf-8").splitlines()

    assert all("# TO TYPE: " in lines[fault.line - 1] for fault in faults_of(path))
    assert "has a cylinder but no axis" in next(line for line in lines if line.startswith("  right:"))


def test_the_draft_lists_every_key_of_an_order_with_a_word_about_it():
    text = order_text(Taken(), "nothing")
    for key in ORDER_KEYS.keys:
        line = next(
            (
                line
                for line in text.splitlines()
                if re.match(rf"[# ]*(?:or in parts:|each line:)?.*\b{key.name}:", line)
            ),
            "",
        )
        assert line, key.path
    top = [line for line in text.splitlines()[3:] if "or in parts" not in line and "each line" not in line]
    assert [line for line in top if not re.search(r"\S.*# \S", line)] == []


def test_an_optional_line_works_once_its_mark_is_taken_away():
    lines = order_text(read_text(TEXTS[0]), "a test").splitlines()
    waiting = [line for line in lines if re.match(r"  # near-pd:|# use:", line)]

    for line in waiting:
        lines[lines.index(line)] = line.replace("# ", "", 1)
    content = yaml.safe_load("\n".join(lines))

    assert len(waiting) == 2
    assert {"near-pd"} <= set(content["prescription"])
    assert "use" in content


def test_the_first_line_names_the_schema_for_editors():
    assert order_text(Taken(), "nothing").splitlines()[0] == "# yaml-language-server: $schema=order.schema.json"


def test_a_file_that_is_there_is_never_replaced(shop_folder, run):
    (shop_folder / "orders" / "A-0001.yaml").write_text("mine\n", encoding="utf-8")

    status, said = run("R -1.00 L -1.00", "--order", "A-0001")

    assert (status, (shop_folder / "orders" / "A-0001.yaml").read_text(encoding="utf-8")) == (2, "mine\n")
    assert "never replaces" in said


def test_a_draft_may_be_shown_and_not_written(shop_folder, capsys):
    assert main(["draft", "R -1.00 L -1.00", "--to", "-"]) == 0
    said = capsys.readouterr()

    assert yaml.safe_load(said.out)["prescription"]["right"] == "-1.00 DS"
    assert said.err.startswith("Right eye: sphere minus 1.00")
    assert [path.name for path in (shop_folder / "orders").iterdir()] == ["shop.yaml"]


def test_a_pasted_letter_comes_from_standard_input(shop_folder, run, monkeypatch):
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO("OD −2,00\nOS −1,75\n".encode())))

    status, said = run("-", "--to", "orders/B-1.yaml")

    assert status == 0
    content = yaml.safe_load((shop_folder / "orders" / "B-1.yaml").read_text(encoding="utf-8"))
    assert (content["order"], content["prescription"]["left"]) == ("B-1", "-1.75 DS")
    assert said.index("Right eye") < said.index("is written")


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["R -1.00", "--order", "../out"], "cannot be the number"),
        (["R -1.00", "--order", "NUL"], "cannot be the number"),
        (["letter.txt", "--order", "A"], "no such file"),
        (["orders", "--order", "A"], "a folder"),
        (["R -1.00", "--to", "nowhere/a.yaml"], "cannot be written"),
        ([" ", "--order", "A"], "nothing in it"),
    ],
)
def test_what_cannot_be_started_says_why_and_what_to_do(shop_folder, run, arguments, word):
    status, said = run(*arguments)

    assert status == 2
    assert word in said
    assert len(said.strip().splitlines()) >= 2
    assert [path.name for path in (shop_folder / "orders").iterdir()] == ["shop.yaml"]


@pytest.mark.parametrize(
    "data", [b"%PDF-1.4 x", b"\x89PNG\r\n", b"x" * 1_000_001, b"", b"<?xml version='1.0'?><Bundle/>"]
)
def test_a_source_that_is_no_text_or_too_large_is_refused_in_words(data):
    with pytest.raises(SourceError, match=r"standard input: .*\n"):
        source_of("-", io.BytesIO(data))


@pytest.mark.parametrize("data", [b"\xff\xfeR\x00 \x00-\x001\x00", b"R -1.00 \xb0", b"\xff\xfe\x00", b"R\x00 -1.00"])
def test_text_in_another_encoding_is_read(data):
    assert read_text(source_of("-", io.BytesIO(data)).text).questions


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("OD=-2.00\nOS=-1.75\nPD=63", "text"),
        ("RIGHT=-2.00 DS\nLEFT=-1.75 DS\nADD=2.00\nPD=63", "text"),
        ("trcfmt=1;360;E;R;F\nr=2500;2500", "trace"),
        (" HBOX = 51.00\r TRCFMT = 1;360;E;R;F", "trace"),
        ("SPH=-2.00;-1.75\nCYL=0;0\nIPD=31;31", "trace"),
    ],
)
def test_what_names_an_eye_is_a_typed_prescription_and_what_announces_an_outline_a_trace(text, kind):
    assert source_of("-", io.BytesIO(text.encode())).kind == kind


@pytest.mark.parametrize("piece", ["\n", " ", "\r", "\x00 ", '"\n'])
def test_a_long_stretch_of_nothing_is_passed_over_at_once(piece):
    started = time.process_time()
    source_of("-", io.BytesIO((piece * 300_000).encode() + b"OD -2.00 OS -1.75"))

    assert time.process_time() - started < 1


@pytest.mark.parametrize(
    "value", ["yes", "-", "a: b", "x #y", "[a", "*a", "null", "it's", 'say "x"', "63", "+1.00 DS", "-1 x", "é", "a, b"]
)
def test_any_value_is_typed_so_that_it_reads_back_as_it_is(tmp_path, value):
    path = tmp_path / "a.yaml"
    path.write_text(f"for: {as_typed(value)} # x\nuse: {as_typed((value, value))}\n", encoding="utf-8")
    group, _ = read_document(path)

    assert group.entries["for"].value.text == value
    assert [item.text for item in group.entries["use"].value.items] == [value, value]


def test_the_help_fits_a_screen_and_has_an_example(capsys):
    with pytest.raises(SystemExit):
        main(["draft", "--help"])
    said = capsys.readouterr().out

    assert "Example: explain draft" in said
    assert len(said.splitlines()) <= 24


@pytest.mark.usefixtures("shop_folder")
def test_the_place_of_a_draft_is_named_by_its_number():
    assert place_of("A-1", None).path.as_posix() == "orders/A-1.yaml"
    assert place_of(None, "-").path is None
    assert place_of(None, None).path.as_posix() == "orders/A-0001.yaml"
    with pytest.raises(AskedError):
        place_of("A 1", None)


def test_a_finished_draft_is_an_order(tmp_path):
    write_shop(tmp_path)
    lines = order_text(Taken({"order": "A-1", "date": "2026-10-02"}).over(read_text(TEXTS[0])), "a test")
    for name, value in {
        "for": "Odile", "name": "Rowan", "size": "52-18-140", "depth": "38", "outline": "rounded",
        "design": "reading", "material": "high-index-1.67",
    }.items():  # fmt: skip
        lines = re.sub(rf"^( *){name}:( +# TO TYPE)", rf"\1{name}: {value}\2", lines, flags=re.MULTILINE)
    path = tmp_path / "A-1.yaml"
    path.write_text(lines, encoding="utf-8")

    order = read_plan(path, read_shop(tmp_path / "shop.yaml")).order

    assert order.right.power.axis_deg == 172
    assert (order.left.add_dpt, order.fit.pd_right_mm) == (2.0, 31.5)
